"""What products are counted as one design: the same maker with the same board, or revisions of one another."""

from collections.abc import Iterable, Mapping

from lidoff.trends.joining import Groups

# a design sorts before a product, so that a platform is named by a design where it has one
_DESIGN, _PRODUCT = "0", "1"
_Node = tuple[str, str]
Said = tuple[str, str | None, str | None]
"""A product's slug, its design and the product that it revises, where there are any."""


def platforms(products: Iterable[Said]) -> Mapping[str, tuple[str, str]]:
    """For each product the name of its platform, and what that rests on: ``board``, ``revision`` or ``product``.

    Products are joined that have the same manufacturer on the label and the same print on the main board, and every
    product with the one that it revises: a family of revisions counts once.
    """
    groups: Groups[_Node] = Groups()
    basis: dict[str, str] = {}
    for slug, design, earlier in products:
        joined = [(_DESIGN, design)] if design else []
        joined += [(_PRODUCT, earlier)] if earlier else []
        for node in joined:
            groups.join((_PRODUCT, slug), node)
        basis[slug] = "revision" if earlier else "board" if design else "product"
    return {slug: (groups.first((_PRODUCT, slug))[1], reason) for slug, reason in basis.items()}
