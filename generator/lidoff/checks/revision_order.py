"""A revision comes after the product that it revises."""

from collections.abc import Iterator, Mapping, Sequence

from lidoff.checks.check import CollectionCheck, Gist, Notice
from lidoff.rule import Rule

RULE = Rule(
    id="revision-order",
    title="A revision comes after what it revises, under the same brand",
    severity="warning",
    scope="collection",
    why=(
        "A product that was launched before the one that it revises is the wrong way round, or a year is wrong; one "
        "that revises itself, through others or at once, has no earlier one at all. A revision under another brand is "
        "a note: brands change hands, but the same design under another name is no revision."
    ),
    formula="year of launch of the revision ≥ year of launch of the earlier product",
    source="Lidoff's own decision",
)


def run(subjects: Sequence[Gist]) -> Iterator[tuple[str, Notice]]:
    """Notices for revisions that are older than their original, lead back to themselves, or are of another brand."""
    by_slug = {subject.slug: subject for subject in subjects}
    earlier = {subject.slug: subject.record.product.revision_of for subject in subjects}
    for subject in subjects:
        original = by_slug.get(earlier[subject.slug] or "")
        if original is None:
            continue
        ring = ring_through(subject.slug, earlier)
        if ring:
            yield subject.path, _ring(ring, original)
        else:
            yield from ((subject.path, notice) for notice in _compared(subject, original))


def ring_through(slug: str, earlier: Mapping[str, str | None]) -> tuple[str, ...]:
    """The products from one back to itself; empty where its chain ends, or runs into a ring of others.

    Examples
    --------
    >>> earlier = {"a": "b", "b": "a", "c": "a", "d": "x"}
    >>> ring_through("a", earlier), ring_through("c", earlier), ring_through("d", earlier)
    (('a', 'b', 'a'), (), ())
    """
    chain = [slug]
    current = earlier.get(slug)
    while current is not None and current not in chain:
        chain.append(current)
        current = earlier.get(current)
    return (*chain, slug) if current == slug else ()


def _ring(ring: tuple[str, ...], original: Gist) -> Notice:
    return Notice(
        field="product.revision_of",
        found=f"{ring[1]}, which leads back here: {' revises '.join(ring[:4])}{' and so on' if len(ring) > 4 else ''}",
        expected="an earlier product that does not revise this one",
        fix="take revision_of out of the earliest product of the ring",
        related=((original.path, "product.revision_of"),),
        inputs=ring,
    )


def _compared(subject: Gist, original: Gist) -> Iterator[Notice]:
    product, earlier = subject.record.product, original.record.product
    if product.launched is not None and earlier.launched is not None and product.launched < earlier.launched:
        yield Notice(
            field="product.launched",
            found=f"launched in {product.launched}, and revises a product of {earlier.launched}",
            expected=f"{earlier.launched} or later",
            fix="correct a year, or put revision_of in the other record",
            related=((original.path, "product.launched"),),
            inputs=(product.launched, earlier.launched),
        )
    if product.brand != earlier.brand:
        yield Notice(
            field="product.revision_of",
            found=f"{product.brand} {product.model} revises a product of the brand {earlier.brand}",
            expected="an earlier product of the same brand",
            fix="leave it if the brand was renamed or sold; else take it out",
            severity="note",
            related=((original.path, "product.brand"),),
            inputs=(product.brand, earlier.brand),
        )


CHECK = CollectionCheck(RULE, run)
