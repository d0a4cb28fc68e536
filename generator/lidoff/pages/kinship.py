"""Which products of a collection are related: made once a build, when the first page asks."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from lidoff.cache.code_version import code_version
from lidoff.cache.store import Store
from lidoff.entry import Entry
from lidoff.examination.desk import digest
from lidoff.examination.packing import decoded, encoded
from lidoff.pages.kin import Kin, kin_of, later_of
from lidoff.pages.of_entries import OfEntries
from lidoff.record.model.product import Product
from lidoff.trends.likeness import Likeness, nearest_of_all, same_designs

FOLDER = ".lidoff/cache/likeness"
NAME = "nearest"
PACKAGE = Path(__file__).parents[1]


@dataclass(frozen=True, slots=True)
class Kept:
    """The nearest others of each product, with a digest of all that they rest on."""

    rests_on: str
    nearest: Mapping[str, tuple[Likeness, ...]]


class Kinship:
    """Likeness and revisions of all products that have pages; ``known`` is what was made of each before."""

    def __init__(self, by_slug: Mapping[str, Entry], base: Path, known: OfEntries) -> None:
        self._by_slug = by_slug
        self._store = Store(base / FOLDER)
        self._known = known

    def kin(self, entry: Entry) -> Kin:
        """The relatives of one of the products."""
        return kin_of(
            entry, self.nearest[entry.slug], self._products, self._later, lambda slug: self._by_slug[slug].record
        )

    @cached_property
    def nearest(self) -> Mapping[str, tuple[Likeness, ...]]:
        """For each product the nearest others, as an earlier build found them where no design has changed."""
        designs = [(slug, self._known.of(entry, "design", _design)) for slug, entry in self._by_slug.items()]
        rests_on = digest(code_version(PACKAGE), encoded(designs))
        kept = decoded(self._store.get(NAME) or b"", Kept)
        if kept is not None and kept.rests_on == rests_on:
            return kept.nearest
        found = nearest_of_all(self._by_slug.values())
        self._store.put(NAME, encoded(Kept(rests_on, found)))
        return found

    @cached_property
    def designs(self) -> tuple[tuple[str, ...], ...]:
        """Groups of products that are one design."""
        return same_designs(self.nearest)

    @cached_property
    def _products(self) -> Mapping[str, Product]:
        return {slug: entry.sketch.product for slug, entry in self._by_slug.items()}

    @cached_property
    def _later(self) -> Mapping[str, Sequence[str]]:
        return later_of(self._products)


def _design(entry: Entry) -> str:
    """A digest of what traits are read from."""
    record = entry.sketch
    return digest(encoded((record.label, record.boards, record.components, record.magnetics, record.conversion)))
