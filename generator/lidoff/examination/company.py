"""What the checks of the collection notice differently once some records have changed, by looking at those held against them."""

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol, TypeVar

from lidoff.checks.check import Notice
from lidoff.checks.company import COMPANIES, Company, Standing
from lidoff.checks.engine import run_collection_checks
from lidoff.checks.parts_in_use import Subjects
from lidoff.examination.examined import Examined, Outline
from lidoff.examination.run import without_collector
from lidoff.rule import Rule

Key = TypeVar("Key")
Read = Callable[[Key], Examined]
Noticed = tuple[Rule, str, Notice]
Outlines = Mapping[str, Outline]


class Groups(Protocol[Key]):
    """Who stands in which group, and how, before the change; records have keys."""

    def names(self, kind: str) -> Iterable[str]:
        """The groups of a kind."""
        ...

    def members(self, kind: str, group: str) -> Mapping[str, Iterable[Key]]:
        """The records that stand in a group in each way."""
        ...


@dataclass(frozen=True, slots=True)
class Difference:
    """What is noticed no more, and what newly, with the outlines of all records that were looked at in each state."""

    gone: Sequence[Noticed]
    come: Sequence[Noticed]
    was: Outlines
    now: Outlines


def difference(
    groups: Groups[Key], keys: Collection[Key], old: Sequence[Examined], new: Sequence[Examined], read: Read
) -> Difference:
    """What differs once the records with these keys, as they were, are replaced by new ones; ``read`` reads others."""
    was, now = _Side(old), _Side(new)
    for company in COMPANIES:
        before, after = (list(_standings(company, examined)) for examined in (old, new))
        if company.is_whole and _by_path(company, old) == _by_path(company, new):
            continue
        others = [read(key) for key in _others(company, groups, keys, [*before, *after], read)]
        noticed, noticed_now = was.noticed(company, others), now.noticed(company, others)
        was.keep(_beyond(noticed, noticed_now))
        now.keep(_beyond(noticed_now, noticed))
    return Difference(was.kept, now.kept, was.outlines, now.outlines)


class _Side:
    """One of the two states: what is noticed there and not in the other."""

    def __init__(self, changed: Sequence[Examined]) -> None:
        self._changed = changed
        self.outlines = {one.loaded.path: one.loaded for one in changed}
        self.kept: list[Noticed] = []

    def noticed(self, company: Company, others: Sequence[Examined]) -> list[Noticed]:
        """What the checks notice of the changed records and the others together."""
        together = sorted((*others, *self._changed), key=lambda one: one.loaded.path)
        self.outlines |= {one.loaded.path: one.loaded for one in others}
        with without_collector():
            gists = Subjects(one.gist for one in together if one.is_readable)
            return list(run_collection_checks(company.checks, gists))

    def keep(self, noticed: Iterable[Noticed]) -> None:
        """Keep what this side alone has noticed."""
        self.kept.extend(noticed)


def _by_path(company: Company, examined: Iterable[Examined]) -> Mapping[str, list[Standing]]:
    """How each record stands, by its path: two that change places are not the same as before."""
    return {one.loaded.path: sorted(company.standings(one.gist)) for one in examined if one.is_readable}


def _standings(company: Company, examined: Iterable[Examined]) -> Iterator[Standing]:
    yield from (standing for one in examined if one.is_readable for standing in company.standings(one.gist))


def _others(
    company: Company, all_groups: Groups[Key], keys: Collection[Key], standings: Sequence[Standing], read: Read
) -> frozenset[Key]:
    """The records that are held against the changed ones: the members of all their groups that have something to tell."""
    said: dict[str, set[str]] = defaultdict(set)
    for group, how in standings:
        said[group].add(how)
    beside = _beside(company, all_groups, said)
    groups, seen, found = [*said, *beside], set(), set()
    while groups:
        group = groups.pop()
        if group in seen:
            continue
        seen.add(group)
        members = {how: set(some).difference(keys) for how, some in all_groups.members(company.name, group).items()}
        members = {how: some for how, some in members.items() if some}
        if group in beside or len(said[group] | members.keys()) > 1:
            fresh = set().union(*members.values()) - found
            found |= fresh
            if company.is_chained:
                groups += [other for key in fresh for other, _ in company.standings(read(key).gist)]
    return frozenset(found)


def _beside(company: Company, all_groups: Groups[Key], groups: Iterable[str]) -> frozenset[str]:
    """The groups that are held against others, and those others."""
    if company.near is None:
        return frozenset()
    wanted = frozenset(groups)
    pairs = company.near(dict.fromkeys((*all_groups.names(company.name), *wanted)))
    return frozenset(group for pair in pairs if not wanted.isdisjoint(pair) for group in pair)


def _beyond(noticed: Iterable[Noticed], others: Iterable[Noticed]) -> Iterator[Noticed]:
    """What is not among others, each as often as it is more there than here."""
    left = list(others)
    for one in noticed:
        if one in left:
            left.remove(one)
        else:
            yield one
