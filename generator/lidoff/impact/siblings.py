"""Which products a new or changed record is likely to share a design with."""

from lidoff.entry import Entry
from lidoff.impact.change import Sibling
from lidoff.impact.records import slug_of
from lidoff.impact.says import PUBLISHED
from lidoff.impact.state import Change
from lidoff.trends.likeness import nearest_by, pointing_keys
from lidoff.trends.traits import traits


def siblings(entry: Entry, change: Change) -> tuple[Sibling, ...]:
    """The nearest published products, most alike first; none where none is alike enough."""
    mine = traits(entry.record)
    holders = {key: {*change.holders(key), entry.path} for key in pointing_keys(mine)}
    paths = {slug_of(path): path for some in holders.values() for path in some}
    count = sum(change.now(PUBLISHED).values()) + (not change.is_published(entry.path, True))
    near = nearest_by(
        entry.slug, {key: [slug_of(path) for path in some] for key, some in holders.items()}, count,
        lambda slug: mine if slug == entry.slug else traits(change.gist(paths[slug]).record),
    )  # fmt: skip
    return tuple(Sibling(paths[one.slug], _title(change, paths[one.slug]), one.index, one.shared) for one in near)


def _title(change: Change, path: str) -> str:
    product = change.gist(path).record.product
    return f"{product.brand} {product.model}"
