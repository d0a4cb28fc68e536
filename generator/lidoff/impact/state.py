"""Two states of the knowledge base: the stock of the earlier one, and what the changed records make of it."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from lidoff.checks.check import Gist
from lidoff.entry import Entry
from lidoff.examination.examined import Examined
from lidoff.finding import Finding, has_error
from lidoff.impact.change import CellChange
from lidoff.impact.company import Moved, moved
from lidoff.impact.records import Missing, Records, slug_of
from lidoff.impact.says import TRAIT, Counting, said_by, table_topic
from lidoff.impact.stock import Counts, Head, Said, Stock
from lidoff.impact.tables import exchanges, moved_cells
from lidoff.pipeline import with_answers
from lidoff.trends.likeness import pointing_keys
from lidoff.trends.tally import Product, product_of
from lidoff.trends.traits import traits

SUBSTITUTIONS = "substitutions"


@dataclass(frozen=True)
class Change:
    """All that differs between two states: ``stock`` is that of the earlier one."""

    stock: Stock
    records: Records
    by: Counting
    _entries: dict[tuple[bool, str], Entry] = field(default_factory=dict)

    @cached_property
    def numbers(self) -> Mapping[str, int]:
        """The numbers of the earlier records by their paths."""
        return {head.path: number for number, head in enumerate(self.stock.heads)}

    @cached_property
    def changed(self) -> frozenset[int]:
        """The numbers of the earlier records that are changed or gone; raises Missing where the stock has none of one."""
        for path in self.records.old.keys() - self.numbers.keys():
            raise Missing(path)
        return frozenset(self.numbers[path] for path in self.records.old)

    @cached_property
    def moved(self) -> Moved:
        """What the checks of the collection find differently."""
        old, new = list(self.records.old.values()), list(self.records.new.values())
        return moved(self.stock, self.changed, old, new, self._read)

    @cached_property
    def paths(self) -> tuple[str, ...]:
        """The records of which anything can differ: the changed ones, and those of which other things are found."""
        return tuple(sorted({*self.records.old, *self.records.new, *self.moved.gone, *self.moved.come}))

    @cached_property
    def findings(self) -> tuple[Mapping[str, tuple[Finding, ...]], Mapping[str, tuple[Finding, ...]]]:
        """All findings of these records before and after, with what they answer."""
        before, after = {}, {}
        for path in self.paths:
            found = self.stock.findings_of(path)
            before[path] = _all_findings(self.examined(path, False), found)
            after[path] = _all_findings(self.examined(path, True), self.moved.findings(found, path))
        return before, after

    def examined(self, path: str, is_now: bool) -> Examined | None:
        """A record in one of the states; None where it is not there."""
        if path in self.records.old or path in self.records.new:
            return (self.records.new if is_now else self.records.old).get(path)
        return self.records.unchanged(self.stock.heads[self.numbers[path]])

    def entry(self, path: str, is_now: bool) -> Entry | None:
        """A record taken apart; None where it can't be read or is not there."""
        one = self.examined(path, is_now)
        if one is None or not one.is_readable:
            return None
        if (is_now, path) not in self._entries:
            self._entries[is_now, path] = one.entry(self.findings[is_now].get(path, ()))
        return self._entries[is_now, path]

    def is_published(self, path: str, is_now: bool) -> bool:
        """Whether tables count a record in one of the states."""
        if path not in self.findings[is_now]:
            number = self.numbers.get(path)
            return number is not None and self.stock.heads[number].is_published
        one = self.examined(path, is_now)
        return one is not None and is_counted(one, self.findings[is_now][path])

    @cached_property
    def said(self) -> tuple[Counter[Said], Counter[Said]]:
        """What the records that differ say before and after, with the parts exchanged between them and their relatives."""
        return self._said(False), self._said(True)

    def now(self, topic: str) -> Counts:
        """How often each thing is said under a topic after the change."""
        before, after = self.said
        counts = Counter(self.stock.said(topic))
        for said, sign in ((before, -1), (after, 1)):
            for (under, item), count in said.items():
                if under == topic:
                    counts[item] += sign * count
        return {item: count for item, count in counts.items() if count}

    def cells(self) -> Iterator[CellChange]:
        """The cells of trend tables that move."""
        before, after = self.said
        differing = {topic for topic, _ in (before - after) | (after - before)}
        for name, definition in self.by.tables.items():
            topic = table_topic(name)
            if topic in differing:
                states = (self.stock.said(topic), self.now(topic))
                lines = (definition.tally.lines(counts, self.by.tiers) for counts in states)
                yield from moved_cells(name, *lines)

    def holders(self, key: str) -> Iterator[str]:
        """The published products that have a trait after the change, by their paths."""
        for number in self.stock.members(TRAIT, key).get("", ()):
            path = self.stock.heads[number].path
            if path not in self.findings[True]:
                yield path
        for path in self.paths:
            if self.is_published(path, True) and key in pointing_keys(traits(self.gist(path).record)):
                yield path

    def gist(self, path: str) -> Gist:
        """The gist of a record that can be read after the change."""
        return self.examined(path, True).gist

    def _said(self, is_now: bool) -> Counter[Said]:
        products = {path: product for path in self.paths if (product := self._product(path, is_now)) is not None}
        found = Counter(
            said
            for path, product in products.items()
            for said in said_by(product, self.is_published(path, is_now), self.by)
        )
        published = {
            product.entry.slug: product
            for path, product in (products | self._relatives(is_now)).items()
            if self.is_published(path, is_now)
        }
        found.update((table_topic(SUBSTITUTIONS), item) for item in exchanges(published, published))
        return found

    def _relatives(self, is_now: bool) -> dict[str, Product]:
        """The other products that these records revise, and those that revise them, in any of the states."""
        slugs = set()
        for path in self.paths:
            slugs.add(slug_of(path))
            for some in (self.examined(path, False), self.examined(path, True)):
                if some is not None and some.is_readable:
                    slugs.add(some.gist.record.product.revision_of)
        numbers = set()
        for slug in slugs - {None}:
            for standing, members in self.stock.members("address", slug).items():
                if standing in ("here", "looked for"):
                    numbers.update(members)
        paths = [self.stock.heads[number].path for number in numbers]
        found = {path: self._product(path, is_now) for path in paths if path not in self.paths}
        return {path: product for path, product in found.items() if product is not None}

    def _product(self, path: str, is_now: bool) -> Product | None:
        entry = self.entry(path, is_now)
        return None if entry is None else product_of(entry, self.by.tiers_w)

    def _read(self, number: int) -> Examined:
        return self.records.unchanged(self.stock.heads[number])


def is_counted(one: Examined, findings: Sequence[Finding]) -> bool:
    """Whether tables count a record that has these findings."""
    return one.is_readable and one.loaded.status != "draft" and not has_error(findings)


def head_of(one: Examined, findings: Sequence[Finding]) -> Head:
    """What the stock says of a record that has these findings."""
    return Head(one.loaded.path, one.key, one.is_readable, is_counted(one, findings))


def _all_findings(one: Examined | None, of_collection: Iterable[Finding]) -> tuple[Finding, ...]:
    return () if one is None else with_answers([*one.findings, *of_collection], [one])
