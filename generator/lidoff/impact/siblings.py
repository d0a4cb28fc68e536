"""Which products a new or changed record is likely to share a design with."""

from collections.abc import Sequence

from lidoff.entry import Entry
from lidoff.impact.change import Sibling
from lidoff.trends.likeness import nearest_to
from lidoff.trends.traits import traits


def siblings(entry: Entry, published: Sequence[Entry]) -> tuple[Sibling, ...]:
    """The nearest published products, most alike first; none where none is alike enough."""
    others = {other.slug: other for other in published}
    found = {slug: traits(other.record) for slug, other in others.items()} | {entry.slug: traits(entry.record)}
    return tuple(
        Sibling(others[one.slug].path, others[one.slug].title, one.index, one.shared)
        for one in nearest_to(entry.slug, found)
    )
