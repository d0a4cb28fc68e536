"""What all checks say of every record, brought up to date after an edit without running them on all records again."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from lidoff.checks import COLLECTION_CHECKS
from lidoff.checks.check import Notice
from lidoff.checks.company import COMPANIES
from lidoff.checks.engine import run_collection_checks
from lidoff.checks.parts_in_use import Subjects
from lidoff.examination.company import difference
from lidoff.examination.examine import placed
from lidoff.examination.examined import Examined, Outline
from lidoff.examination.run import without_collector
from lidoff.finding import Finding
from lidoff.pipeline import with_answers
from lidoff.rule import Rule

Said = tuple[Rule, Notice]


class Standings:
    """Which record stands in which group of `COMPANIES`, and how, by the records' paths."""

    def __init__(self) -> None:
        self._found: dict[str, dict[str, dict[str, set[str]]]] = {company.name: {} for company in COMPANIES}

    def names(self, kind: str) -> Iterable[str]:
        """The groups of a kind."""
        return self._found[kind]

    def members(self, kind: str, group: str) -> Mapping[str, Collection[str]]:
        """The records that stand in a group in each way."""
        return self._found[kind].get(group, {})

    def join(self, one: Examined) -> None:
        """Take a record in, if it can be read."""
        for kind, group, how in _standings(one):
            self._found[kind].setdefault(group, {}).setdefault(how, set()).add(one.loaded.path)

    def leave(self, one: Examined) -> None:
        """Take it out again; a group without a member is none."""
        for kind, group, how in dict.fromkeys(_standings(one)):
            ways = self._found[kind][group]
            ways[how].remove(one.loaded.path)
            if not ways[how]:
                del ways[how]
            if not ways:
                del self._found[kind][group]


def _standings(one: Examined) -> Iterator[tuple[str, str, str]]:
    if one.is_readable:
        for company in COMPANIES:
            yield from ((company.name, group, how) for group, how in company.standings(one.gist))


@dataclass(slots=True)
class Told:
    """The findings of all checks, by the path that they are about, in their order.

    ``astray`` are those that no record has made. Checks of the collection run on all records at the beginning alone;
    after that only on those that an edited record is held against.
    """

    examined: dict[str, Examined]
    astray: Mapping[str, Sequence[Finding]]
    findings: dict[str, tuple[Finding, ...]] = field(default_factory=dict)
    _standings: Standings = field(default_factory=Standings)
    _noticed: dict[str, list[Said]] = field(default_factory=lambda: defaultdict(list))
    _outlines: dict[str, Outline] = field(default_factory=dict)

    def __post_init__(self) -> None:
        with without_collector():
            for one in self.examined.values():
                self._standings.join(one)
            self._outlines = {path: one.loaded for path, one in self.examined.items()}
            gists = Subjects(one.gist for one in self.examined.values() if one.is_readable)
            for rule, path, notice in run_collection_checks(COLLECTION_CHECKS, gists):
                self._noticed[path].append((rule, notice))
            self._tell({*self.examined, *self.astray})

    def follow(self, changed: Mapping[str, Examined | None], astray: Mapping[str, Sequence[Finding]]) -> None:
        """Bring all up to date: ``changed`` are the records that are new, edited, or, where they are None, gone."""
        old = [self.examined[path] for path in changed if path in self.examined]
        new = [one for one in changed.values() if one is not None]
        found = difference(self._standings, changed.keys(), old, new, self.examined.__getitem__)
        self._replace(changed, old)
        for rule, path, notice in found.gone:
            self._noticed[path].remove((rule, notice))
        for rule, path, notice in found.come:
            self._noticed[path].append((rule, notice))
        strays = {path for path in self.astray | astray if self.astray.get(path) != astray.get(path)}
        self.astray = astray
        self._tell(
            {*changed, *strays, *(path for _, path, _ in (*found.gone, *found.come)), *self._leading_to(changed)}
        )

    def _replace(self, changed: Mapping[str, Examined | None], old: Iterable[Examined]) -> None:
        for one in old:
            self._standings.leave(one)
        for path, one in changed.items():
            if one is None:
                del self.examined[path], self._outlines[path]
            else:
                self.examined[path], self._outlines[path] = one, one.loaded
                self._standings.join(one)

    def _leading_to(self, changed: Collection[str]) -> Iterator[str]:
        """The records whose findings name a line of a changed one: it may stand elsewhere now."""
        for path, noticed in self._noticed.items():
            if any(other in changed for _, notice in noticed for other, _ in notice.related):
                yield path

    def _tell(self, paths: Iterable[str]) -> None:
        """Look for the places of all that is noticed of these records, and heed what they answer."""
        findings: list[Finding] = []
        examined = []
        for path in paths:
            self.findings.pop(path, None)
            findings += self.astray.get(path, ())
            one = self.examined.get(path)
            if one is not None:
                examined.append(one)
                findings += one.findings
                findings += (placed(*said, one.loaded, self._outlines) for said in self._noticed.get(path, ()))
        by_path: dict[str, list[Finding]] = defaultdict(list)
        for finding in with_answers(findings, examined):
            by_path[finding.path].append(finding)
        self.findings.update((path, tuple(found)) for path, found in by_path.items())
