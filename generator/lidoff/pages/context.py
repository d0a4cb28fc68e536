"""What every page is made against: the entries in order, the settings, and an index of them where a page asks for it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.pages.kinship import Kinship
from lidoff.pages.of_entries import OfEntries
from lidoff.pages.views.comparison_lines import Line, packed_lines, unpacked_lines
from lidoff.pages.vocabulary import definitions, label
from lidoff.record.model.component import Component
from lidoff.record.sketch import PartSketch
from lidoff.rows.tiers import tier_label, tier_labels, tier_slug, tier_text
from lidoff.settings import Settings
from lidoff.trends.shared_texts import SharedTexts


@dataclass(frozen=True, slots=True)
class Use:
    """One place where a part is used."""

    entry: Entry
    place: int
    component: Component | PartSketch


@dataclass(frozen=True, slots=True)
class PartUses:
    """A part with all its uses; ``slug`` is maker/number as in its address."""

    slug: str
    maker: str | None
    part_number: str
    uses: tuple[Use, ...]

    @property
    def name(self) -> str:
        """Maker and number."""
        return f"{self.maker} {self.part_number}" if self.maker else self.part_number

    @property
    def entries(self) -> tuple[Entry, ...]:
        """The products that hold it, each once."""
        return tuple({use.entry.slug: use.entry for use in self.uses}.values())


@dataclass(frozen=True, slots=True)
class MakerUses:
    """A maker of parts: its parts that have a number, and its other parts."""

    slug: str
    name: str
    parts: tuple[PartUses, ...]
    unnumbered: tuple[Use, ...]


@dataclass(frozen=True, slots=True)
class Group:
    """Products that share a tier, a brand or a topology."""

    slug: str
    name: str
    entries: tuple[Entry, ...]


@dataclass(frozen=True)
class Context:
    """The whole collection as pages see it; entries stand newest first.

    What is indexed of it is made when the first page asks. ``known`` is what was made of single entries, here and in
    earlier states of the collection.
    """

    settings: Settings
    entries: tuple[Entry, ...]
    known: OfEntries = field(default_factory=OfEntries)

    @cached_property
    def by_slug(self) -> Mapping[str, Entry]:
        """The entries by their slugs."""
        return {entry.slug: entry for entry in self.entries}

    @cached_property
    def parts(self) -> Mapping[str, PartUses]:
        """The parts that have a number, by the slugs in their addresses."""
        return _parts(self._uses)

    @cached_property
    def makers(self) -> Mapping[str, MakerUses]:
        """The makers of parts."""
        return _makers(self._uses, self.parts.values())

    @cached_property
    def candidates(self) -> Mapping[str, tuple[Use, ...]]:
        """The parts that may be the one whose slug is the key, but were not taken for it."""
        return _candidates(self._uses)

    @cached_property
    def brands(self) -> Mapping[str, Group]:
        """The products of each brand."""
        return _brands(self.entries)

    @cached_property
    def tiers(self) -> Mapping[str, Group]:
        """The products of each power tier."""
        return _tiers(self.entries, self.settings.tiers_w)

    @cached_property
    def topologies(self) -> Mapping[str, Group]:
        """The products of each isolated converter."""
        return _topologies(self.entries)

    @cached_property
    def kinship(self) -> Kinship:
        """Who is related to whom."""
        return Kinship(self.by_slug, self.settings.base, self.known)

    def tier_of(self, entry: Entry) -> Group:
        """The tier of a product."""
        return self.tiers[tier_slug(tier_label(entry.sketch.product.rated_power_w, self.settings.tiers_w))]

    def lines_of(self, entry: Entry) -> tuple[Line, ...]:
        """What comparisons say of a product, made once for its data file and for each comparison that shows it."""
        return unpacked_lines(self.known.of(entry, "lines", packed_lines))

    @cached_property
    def _uses(self) -> Sequence[Use]:
        """Every part of every product; a hundred thousand of them are held to the end."""
        share = SharedTexts().part

        def made(entry: Entry) -> tuple[Use, ...]:
            uses = tuple(Use(entry, place, part) for place, part in enumerate(entry.sketch.components))
            for use in uses:
                share(use.component)
            return uses

        return [use for entry in self.entries for use in self.known.of(entry, "uses", made)]


def make_context(entries: Iterable[Entry], settings: Settings, earlier: Context | None = None) -> Context:
    """The collection, indexed when pages ask; ``earlier`` is an earlier state of it."""
    ordered = tuple(newest_first(entries))
    if earlier is None:
        return Context(settings, ordered)
    slugs = {entry.slug for entry in ordered}
    if slugs != earlier.by_slug.keys():
        earlier.known.keep(slugs)
    return Context(settings, ordered, earlier.known)


def newest_first(entries: Iterable[Entry]) -> list[Entry]:
    """Newest year first, then by slug; those without a year last."""
    return sorted(entries, key=lambda entry: (-(entry.year or 0), entry.slug))


def _parts(uses: Iterable[Use]) -> dict[str, PartUses]:
    by_slug: dict[str, list[Use]] = {}
    for use in uses:
        if use.component.part_number:
            slug = addresses.part_slug(use.component.maker, use.component.part_number)
            by_slug.setdefault(slug, []).append(use)
    return {slug: _named(slug, tuple(found)) for slug, found in sorted(by_slug.items())}


def _named(slug: str, uses: tuple[Use, ...]) -> PartUses:
    """The part under the spelling that is first in the alphabet, so that it does not depend on the order of records."""
    maker, number = min((use.component.maker or "", use.component.part_number or "") for use in uses)
    return PartUses(slug, maker or None, number, uses)


def _makers(uses: Iterable[Use], parts: Iterable[PartUses]) -> dict[str, MakerUses]:
    names: dict[str, str] = {}
    numbered: dict[str, list[PartUses]] = {}
    others: dict[str, list[Use]] = {}
    for part in parts:
        if part.maker:
            numbered.setdefault(addresses.slug(part.maker), []).append(part)
    for use in uses:
        maker = use.component.maker
        if maker:
            key = addresses.slug(maker)
            names[key] = min(names.get(key, maker), maker)
            if not use.component.part_number:
                others.setdefault(key, []).append(use)
    return {
        key: MakerUses(key, name, tuple(numbered.get(key, ())), tuple(others.get(key, ())))
        for key, name in sorted(names.items())
    }


def _brands(entries: Sequence[Entry]) -> dict[str, Group]:
    members: dict[str, list[Entry]] = {}
    for entry in entries:
        members.setdefault(entry.slug.partition("/")[0], []).append(entry)
    return {
        slug: Group(slug, min(entry.sketch.product.brand for entry in found), tuple(found))
        for slug, found in sorted(members.items())
    }


def _tiers(entries: Sequence[Entry], tiers_w: Sequence[float]) -> dict[str, Group]:
    members: dict[str, list[Entry]] = {label: [] for label in tier_labels(tiers_w)}
    for entry in entries:
        members[tier_label(entry.sketch.product.rated_power_w, tiers_w)].append(entry)
    return {
        tier_slug(label): Group(tier_slug(label), tier_text(label), tuple(found)) for label, found in members.items()
    }


def _topologies(entries: Sequence[Entry]) -> dict[str, Group]:
    """A group for every word of the vocabulary, those without a product too."""
    members: dict[str, list[Entry]] = {word: [] for word in definitions()["primary"]}
    for entry in entries:
        conversion = entry.sketch.conversion
        if conversion and conversion.primary in members:
            members[conversion.primary].append(entry)
    return {word: Group(word, label("primary", word), tuple(found)) for word, found in members.items()}


def _candidates(uses: Iterable[Use]) -> dict[str, tuple[Use, ...]]:
    found: dict[str, list[Use]] = {}
    for use in uses:
        candidates = use.component.candidates
        for slug in dict.fromkeys(addresses.part_slug(one.maker, one.part_number) for one in candidates):
            found.setdefault(slug, []).append(use)
    return {slug: tuple(uses) for slug, uses in found.items()}
