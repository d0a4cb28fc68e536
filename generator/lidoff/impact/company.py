"""What the checks of the collection find differently once some records have changed, by looking at those held against them."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from lidoff.checks.check import Notice
from lidoff.checks.company import COMPANIES, Company, Standing
from lidoff.checks.engine import run_collection_checks
from lidoff.checks.parts_in_use import Subjects
from lidoff.examination.examine import placed
from lidoff.examination.examined import Examined
from lidoff.examination.run import without_collector
from lidoff.finding import Finding
from lidoff.impact.stock import Stock
from lidoff.rule import Rule

Read = Callable[[int], Examined]
Noticed = tuple[Rule, str, Notice]


class Disagreement(Exception):
    """The stock does not fit the records: it has to be taken anew."""


@dataclass(frozen=True, slots=True)
class Moved:
    """Findings of the checks of the collection that went and that came, by the path of their record."""

    gone: Mapping[str, Sequence[Finding]]
    come: Mapping[str, Sequence[Finding]]

    def findings(self, before: Iterable[Finding], path: str) -> list[Finding]:
        """Those of one record after the change."""
        left = list(before)
        for finding in self.gone.get(path, ()):
            if finding not in left:
                raise Disagreement(path)
            left.remove(finding)
        return [*left, *self.come.get(path, ())]


def moved(stock: Stock, numbers: frozenset[int], old: Sequence[Examined], new: Sequence[Examined], read: Read) -> Moved:
    """What differs once the records with these numbers, as they were, are replaced by new ones; ``read`` reads others."""
    was, now = _Side(old), _Side(new)
    for company in COMPANIES:
        before, after = (list(_standings(company, examined)) for examined in (old, new))
        if company.is_whole and _by_path(company, old) == _by_path(company, new):
            continue
        others = [read(number) for number in _others(company, stock, numbers, [*before, *after], read)]
        noticed, noticed_now = was.noticed(company, others), now.noticed(company, others)
        was.keep(_beyond(noticed, noticed_now))
        now.keep(_beyond(noticed_now, noticed))
    return Moved(was.findings, now.findings)


class _Side:
    """One of the two states: what is noticed there, and the findings of what is not noticed in the other."""

    def __init__(self, changed: Sequence[Examined]) -> None:
        self._changed = changed
        self._outlines = {one.loaded.path: one.loaded for one in changed}
        self.findings: dict[str, list[Finding]] = defaultdict(list)

    def noticed(self, company: Company, others: Sequence[Examined]) -> list[Noticed]:
        """What the checks notice of the changed records and the others together."""
        together = sorted((*others, *self._changed), key=lambda one: one.loaded.path)
        self._outlines |= {one.loaded.path: one.loaded for one in others}
        with without_collector():
            gists = Subjects(one.gist for one in together if one.is_readable)
            return list(run_collection_checks(company.checks, gists))

    def keep(self, noticed: Iterable[Noticed]) -> None:
        """Look for the places of what this side alone has noticed."""
        for rule, path, notice in noticed:
            self.findings[path].append(placed(rule, notice, self._outlines[path], self._outlines))


def _by_path(company: Company, examined: Iterable[Examined]) -> Mapping[str, list[Standing]]:
    """How each record stands, by its path: two that change places are not the same as before."""
    return {one.loaded.path: sorted(company.standings(one.gist)) for one in examined if one.is_readable}


def _standings(company: Company, examined: Iterable[Examined]) -> Iterator[Standing]:
    yield from (standing for one in examined if one.is_readable for standing in company.standings(one.gist))


def _others(
    company: Company, stock: Stock, numbers: frozenset[int], standings: Sequence[Standing], read: Read
) -> frozenset[int]:
    """The records that are held against the changed ones: the members of all their groups that have something to tell."""
    said: dict[str, set[str]] = defaultdict(set)
    for group, how in standings:
        said[group].add(how)
    beside = _beside(company, stock, said)
    groups, seen, found = [*said, *beside], set(), set()
    while groups:
        group = groups.pop()
        if group in seen:
            continue
        seen.add(group)
        members = {how: set(some) - numbers for how, some in stock.members(company.name, group).items()}
        members = {how: some for how, some in members.items() if some}
        if group in beside or len(said[group] | members.keys()) > 1:
            fresh = set().union(*members.values()) - found
            found |= fresh
            if company.is_chained:
                groups += [other for number in fresh for other, _ in company.standings(read(number).gist)]
    return frozenset(found)


def _beside(company: Company, stock: Stock, groups: Iterable[str]) -> frozenset[str]:
    """The groups that are held against others, and those others."""
    if company.near is None:
        return frozenset()
    wanted = frozenset(groups)
    pairs = company.near(dict.fromkeys((*stock.groups.get(company.name, ()), *wanted)))
    return frozenset(group for pair in pairs if not wanted.isdisjoint(pair) for group in pair)


def _beyond(noticed: Iterable[Noticed], others: Iterable[Noticed]) -> Iterator[Noticed]:
    """What is not among others, each as often as it is more there than here."""
    left = list(others)
    for one in noticed:
        if one in left:
            left.remove(one)
        else:
            yield one
