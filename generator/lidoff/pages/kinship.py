"""Which products of a collection are related: made once a build, when the first page asks."""

from collections.abc import Mapping, Sequence
from functools import cached_property

from lidoff.entry import Entry
from lidoff.pages.kin import Kin, kin_of, later_of
from lidoff.record.model.product import Product
from lidoff.trends.likeness import Likeness, nearest_of_all, same_designs


class Kinship:
    """Likeness and revisions of all products that have pages."""

    def __init__(self, by_slug: Mapping[str, Entry]) -> None:
        self._by_slug = by_slug

    def kin(self, entry: Entry) -> Kin:
        """The relatives of one of the products."""
        return kin_of(
            entry, self.nearest[entry.slug], self._products, self._later, lambda slug: self._by_slug[slug].record
        )

    @cached_property
    def nearest(self) -> Mapping[str, tuple[Likeness, ...]]:
        """For each product the nearest others."""
        return nearest_of_all(self._by_slug.values())

    @cached_property
    def designs(self) -> tuple[tuple[str, ...], ...]:
        """Groups of products that are one design."""
        return same_designs(self.nearest)

    @cached_property
    def _products(self) -> Mapping[str, Product]:
        return {slug: entry.record.product for slug, entry in self._by_slug.items()}

    @cached_property
    def _later(self) -> Mapping[str, Sequence[str]]:
        return later_of(self._products)
