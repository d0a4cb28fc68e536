"""Two records are not of one product under two spellings."""

from collections.abc import Iterator, Sequence

from lidoff.checks.check import CollectionCheck, Gist, Notice
from lidoff.checks.drafts import published_first
from lidoff.checks.names import bare
from lidoff.rule import Rule

RULE = Rule(
    id="same-product-twice",
    title="A product has one record",
    severity="warning",
    scope="collection",
    why=(
        "Two records whose brand and model differ only by case, spaces, hyphens and other signs are most likely of one "
        "product: it would count twice in every table, and its samples would be torn apart. Further units go into one "
        "record as samples. Records that are linked as a revision are left alone."
    ),
    source="Lidoff's own decision",
)


def run(subjects: Sequence[Gist]) -> Iterator[tuple[str, Notice]]:
    """A notice for each record whose product an earlier record has under another spelling."""
    first: dict[tuple[str, str], Gist] = {}
    for subject in published_first(subjects):
        product = subject.record.product
        other = first.setdefault((bare(product.brand), bare(product.model)), subject)
        if other is subject or subject.slug == other.record.product.revision_of or other.slug == product.revision_of:
            continue
        yield (
            subject.path,
            Notice(
                field="product.model",
                found=f"{product.brand} {product.model}, beside {other.record.product.brand} {other.record.product.model}",
                expected="one record a product, with its units as samples",
                fix="merge the records and note the old path in formerly; link true revisions by revision_of",
                related=((other.path, "product.model"),),
                inputs=(product.brand, product.model, other.slug),
            ),
        )


CHECK = CollectionCheck(RULE, run)
