"""What products are counted as one design: the same maker with the same board, or revisions of one another."""

from collections.abc import Iterable, Mapping

from lidoff.entry import Entry
from lidoff.record.sketch import Readable
from lidoff.trends.joining import Groups
from lidoff.trends.traits import folded

# a design sorts before a product, so that a platform is named by a design where it has one
_DESIGN, _PRODUCT = "0", "1"
_Node = tuple[str, str]


def platforms(entries: Iterable[Entry]) -> Mapping[str, tuple[str, str]]:
    """For each product the name of its platform, and what that rests on: ``board``, ``revision`` or ``product``.

    Products are joined that have the same manufacturer on the label and the same print on the main board, and every
    product with the one that it revises: a family of revisions counts once.
    """
    groups: Groups[_Node] = Groups()
    basis: dict[str, str] = {}
    for entry in entries:
        design, earlier = design_of(entry.sketch), entry.sketch.product.revision_of
        joined = [(_DESIGN, design)] if design else []
        joined += [(_PRODUCT, earlier)] if earlier else []
        for node in joined:
            groups.join((_PRODUCT, entry.slug), node)
        basis[entry.slug] = "revision" if earlier else "board" if design else "product"
    return {slug: (groups.first((_PRODUCT, slug))[1], reason) for slug, reason in basis.items()}


def design_of(record: Readable) -> str | None:
    """The manufacturer on the label with the print on the main board; None where one of them is not recorded."""
    label = record.label
    manufacturer = label.manufacturer if label else None
    prints = [board.silkscreen for board in record.boards if board.role == "main" and board.silkscreen]
    return f"{folded(manufacturer)} / {folded(prints[0])}" if manufacturer and prints else None
