"""What the page of one product knows of all others, brought up to date record by record."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field

from lidoff.entry import Entry
from lidoff.pages.kin import Kin, kin_of, later_of
from lidoff.pages.neighbours import Crowd, crowd_of
from lidoff.record.gist import RecordGist
from lidoff.record.model.product import Product
from lidoff.record.model.record import Record
from lidoff.trends.likeness import nearest_by, pointing_keys
from lidoff.trends.traits import traits


@dataclass(slots=True)
class Kindred:
    """The products that have pages, by their slugs, and which of them hold each trait that points at a design."""

    products: dict[str, Product] = field(default_factory=dict)
    _records: dict[str, RecordGist] = field(default_factory=dict)
    _holders: dict[str, set[str]] = field(default_factory=lambda: defaultdict(set))
    _crowd: Crowd | None = None

    def follow(self, records: Mapping[str, RecordGist]) -> None:
        """Take in what all records say now that have pages, by their slugs."""
        for slug in self._records.keys() - records.keys():
            self._put(slug, None)
        for slug, record in records.items():
            if self._records.get(slug) is not record:
                self._put(slug, record)

    @contextmanager
    def joined_by(self, slug: str, record: RecordGist) -> Iterator[None]:
        """With one more product for a while: one that has no page now, but had."""
        self._put(slug, record)
        try:
            yield
        finally:
            self._put(slug, None)

    def _put(self, slug: str, record: RecordGist | None) -> None:
        known = self._records.pop(slug, None)
        if known is not None:
            del self.products[slug]
            for key in pointing_keys(traits(known)):
                self._holders[key].discard(slug)
        if record is not None:
            self._records[slug], self.products[slug] = record, record.product
            for key in pointing_keys(traits(record)):
                self._holders[key].add(slug)
        self._crowd = None

    def crowd(self, tiers_w: tuple[float, ...]) -> Crowd:
        """How many products there are of each tier and brand."""
        if self._crowd is None:
            self._crowd = crowd_of(self.products.items(), tiers_w)
        return self._crowd

    def kin(self, entry: Entry, record_of: Callable[[str], Record]) -> Kin:
        """The relatives of a product that has a page."""
        keys = pointing_keys(traits(self._records[entry.slug]))
        holders = {key: self._holders[key] for key in keys}
        count = len(self.products)
        likenesses = nearest_by(entry.slug, holders, count, lambda slug: traits(self._records[slug]))
        return kin_of(entry, likenesses, self.products, later_of(self.products), record_of)
