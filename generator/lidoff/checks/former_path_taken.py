"""A former path leads to one product, and to none that is there under that path itself."""

from collections.abc import Iterator, Sequence

from lidoff.checks.check import CollectionCheck, Gist, Notice
from lidoff.checks.drafts import is_draft, published_first
from lidoff.rule import Rule

RULE = Rule(
    id="former-path-taken",
    title="A former path belongs to one record alone",
    severity="error",
    scope="collection",
    why=(
        "A former path keeps a page that points to the product's present one, so that links from elsewhere stay good. "
        "It can point to one product only, and not from the place of a product that is there."
    ),
    source="Lidoff's own decision",
)


def run(subjects: Sequence[Gist]) -> Iterator[tuple[str, Notice]]:
    """Notices for former paths that are a product's present path or are claimed twice.

    Where a draft is one of the two, the notice is about the draft, which holds up no other record.
    """
    present = {subject.slug: subject for subject in subjects}
    claimed: dict[str, tuple[Gist, int]] = {}
    for subject in published_first(subjects):
        for place, path in enumerate(subject.record.product.formerly):
            field = f"product.formerly[{place}]"
            if path in claimed:
                other, other_place = claimed[path]
                there = other.path, f"product.formerly[{other_place}]"
                yield subject.path, _notice(field, f"{path}, which {other.slug} has had too", there)
            elif path in present and is_draft(present[path]) and not is_draft(subject):
                there = subject.path, field
                yield present[path].path, _notice("product.model", f"{path}, a former path of {subject.slug}", there)
            elif path in present:
                where = "this record itself" if path == subject.slug else "another record"
                yield subject.path, _notice(field, f"{path}, where {where} lies", (present[path].path, "product.model"))
            claimed.setdefault(path, (subject, place))


def _notice(field: str, found: str, other: tuple[str, str]) -> Notice:
    return Notice(
        field=field,
        found=found,
        expected="a former path of one product, at which no product lies now",
        fix="take the path out of formerly, or move the record that lies there",
        related=(other,),
    )


CHECK = CollectionCheck(RULE, run)
