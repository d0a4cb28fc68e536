"""Run the stages in their order: load, derive, check records, then all that needs the whole collection.

The stages are loaded when they are needed: where nothing has changed since an earlier run, most of them are not.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from lidoff.crew.here import HERE, Crew
from lidoff.examination.desk import Desk
from lidoff.examination.survey import ALL, Survey, Verdict, is_below, survey
from lidoff.finding import Finding, has_error, in_order
from lidoff.record.collection import RecordFile
from lidoff.record.other_protocols import OtherProtocols
from lidoff.settings import Settings

if TYPE_CHECKING:
    from lidoff.checks.check import CollectionCheck
    from lidoff.entry import Entry
    from lidoff.examination.examined import Examined
    from lidoff.pages.context import Context
    from lidoff.pages.trend_tables import Trends
    from lidoff.website import Page, Website

Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class Collection:
    """All record files of a knowledge base, examined, with the findings of every check.

    ``key`` is a digest of all that this rests on, the same for the same files and settings; empty where there is none.
    """

    examined: tuple[Examined, ...]
    findings: tuple[Finding, ...]
    key: str = ""

    @cached_property
    def entries(self) -> tuple[Entry, ...]:
        """The records that could be read, with what was found in each."""
        from lidoff.examination.run import without_collector

        by_path = self.findings_by_path
        with without_collector():
            return tuple(one.entry(by_path.get(one.loaded.path, ())) for one in self.examined if one.is_readable)

    def after(self, earlier: Collection) -> Collection:
        """The same, with the entries of an earlier state where it has made them and they say the same."""
        if "entries" not in vars(earlier):
            return self
        before = {one.loaded.path: one for one in earlier.examined}
        known = {entry.path: entry for entry in earlier.entries}
        by_path, entries = self.findings_by_path, []
        for one in self.examined:
            path = one.loaded.path
            entry, findings = known.get(path), by_path.get(path, ())
            if entry is not None and before.get(path) is one and entry.findings == findings:
                entries.append(entry)
            elif one.is_readable:
                entries.append(one.entry(findings))
        found = replace(self)
        vars(found).update(entries=tuple(entries))
        return found

    def settled(self) -> Collection:
        """The same for whoever asks for its entries alone: what they were made of is held no more."""
        found = replace(self, examined=())
        vars(found).update(entries=self.entries, drafts=self.drafts)
        return found

    @cached_property
    def findings_by_path(self) -> Mapping[str, tuple[Finding, ...]]:
        """The findings of each record file."""
        by_path: dict[str, list[Finding]] = {}
        for finding in self.findings:
            by_path.setdefault(finding.path, []).append(finding)
        return {path: tuple(findings) for path, findings in by_path.items()}

    @cached_property
    def drafts(self) -> frozenset[str]:
        """Paths of the records that say they are drafts, readable or not."""
        return frozenset(one.loaded.path for one in self.examined if one.loaded.status == "draft")

    @property
    def stops_a_build(self) -> bool:
        """Whether an error stands anywhere but in a draft."""
        return stops_a_build(self.findings, self.drafts)


def stops_a_build(findings: Sequence[Finding], drafts: frozenset[str]) -> bool:
    """Whether an error stands anywhere but in a draft."""
    return has_error([finding for finding in findings if finding.path not in drafts])


@dataclass(frozen=True)
class Prepared:
    """Everything that one build of the site rests on. A published site leaves drafts out, a preview shows them."""

    settings: Settings
    collection: Collection
    with_drafts: bool = False

    @property
    def findings(self) -> tuple[Finding, ...]:
        """The findings of every record that this build is about."""
        hidden = frozenset() if self.with_drafts else self.collection.drafts
        return tuple(finding for finding in self.collection.findings if finding.path not in hidden)

    @property
    def stops_a_build(self) -> bool:
        """Whether an error stands anywhere but in a draft."""
        return self.collection.stops_a_build

    @property
    def newest(self) -> datetime.date | None:
        """The newest teardown or correction: what stands for "now" in a build that can be repeated."""
        records = [entry.sketch for entry in self.collection.entries]
        dates = [record.teardown.date for record in records if record.teardown]
        dates += [correction.date for record in records for correction in record.corrections]
        return max((datetime.date.fromisoformat(date) for date in dates), default=None)

    @cached_property
    def shown(self) -> tuple[Entry, ...]:
        """The entries that have pages: every record without an error, and in a preview every readable draft."""
        return tuple(
            entry
            for entry in self.collection.entries
            if (self.with_drafts if entry.is_draft else not has_error(entry.findings))
        )

    def settled(self) -> Prepared:
        """The same for one build: what only a preview goes back to is held no more."""
        return replace(self, collection=self.collection.settled())

    def website(self) -> Website:
        """The pages and files made from the entries that are shown."""
        from lidoff.pages.website import build_website

        return build_website(self.shown, self.settings, with_drafts=self.with_drafts)

    def page(self, address: str) -> Page | None:
        """The one page at an address, without making the others; None where there is none."""
        from lidoff.pages.website import page_at

        return page_at(address, *self.seen)

    @cached_property
    def seen(self) -> tuple[Context, Trends]:
        """What pages and files that show many records are made against."""
        from lidoff.pages.website import seen_by_pages

        return seen_by_pages(self.shown, self.settings, self.with_drafts)

    def followed_by(self, collection: Collection) -> Prepared:
        """The same for a later state, which takes over what was made of records that are still the same."""
        found = replace(self, collection=collection.after(self.collection))
        if "seen" in vars(self):
            from lidoff.pages.website import seen_by_pages

            vars(found).update(seen=seen_by_pages(found.shown, self.settings, self.with_drafts, self.seen))
        return found


@dataclass(frozen=True, slots=True)
class CheckResult:
    """What ``lidoff check`` prints: the findings that touch what was asked for, and how many records were read."""

    findings: tuple[Finding, ...]
    records: int
    failed: bool


def examine_file(file: RecordFile, settings: Settings, protocols: OtherProtocols) -> Examined:
    """Read one record file with its logs, derive its figures and run the checks that need no other record."""
    from lidoff.examination.examine import examine

    return examine(file, Desk(settings, protocols))


def examine_all(
    settings: Settings,
    progress: Progress | None = None,
    wanted: tuple[str, ...] = ALL,
    whole: bool = True,
    crew: Crew = HERE,
) -> Collection:
    """Examine every record of the knowledge base and run the checks that see all of them.

    ``wanted`` are the paths below which records are examined in full; the others are read for the collection's sake.
    What earlier runs kept is taken where nothing has changed. Without ``whole`` there are findings and no entries.
    """
    return _examine(survey(settings, wanted), progress, whole, crew)


def _examine(found: Survey, progress: Progress | None, whole: bool, crew: Crew = HERE) -> Collection:
    from lidoff.examination.run import examined_files, without_collector

    assert found.desk.assumptions  # an assumption that can't be used is told even where no record needs it
    with without_collector():
        examined = examined_files(found.jobs, found.desk, whole, progress, crew)
    verdict = found.kept_verdict()
    if verdict is not None:
        return Collection(examined, verdict.findings, found.key)
    collection = replace(with_collection_checks(examined, found.astray), key=found.key)
    if all(job.is_in_full for job in found.jobs):
        found.keep_verdict(Verdict(collection.findings, collection.drafts))
    return collection


def with_collection_checks(examined: Sequence[Examined], stray: Sequence[Finding]) -> Collection:
    """The examined records with what the checks of the whole collection find; drafts hold up no other record."""
    from lidoff.checks import COLLECTION_CHECKS

    findings = [*stray, *(finding for one in examined for finding in one.findings)]
    findings += collection_findings(examined, COLLECTION_CHECKS)
    return Collection(tuple(examined), with_answers(findings, examined))


def collection_findings(examined: Sequence[Examined], checks: Sequence[CollectionCheck]) -> list[Finding]:
    """What checks of the collection find in these records, before anything that the records answer."""
    from lidoff.checks.engine import run_collection_checks
    from lidoff.checks.parts_in_use import Subjects
    from lidoff.examination.examine import placed
    from lidoff.examination.run import without_collector

    loaded = {one.loaded.path: one.loaded for one in examined}
    with without_collector():
        subjects = Subjects(one.gist for one in examined if one.is_readable)
        return [
            placed(rule, notice, loaded[path], loaded) for rule, path, notice in run_collection_checks(checks, subjects)
        ]


def with_answers(findings: Sequence[Finding], examined: Sequence[Examined]) -> tuple[Finding, ...]:
    """All findings of these records in their order, answered ones as notes, with the answers that nothing asks for."""
    from lidoff.checks import all_rules
    from lidoff.checks.answers import RULE, answers_without_warning, apply_answers
    from lidoff.examination.examine import placed

    loaded = {one.loaded.path: one.loaded for one in examined}
    gists = [one.gist for one in examined if one.is_readable]
    answered = {gist.path: gist.record.answered for gist in gists if gist.record.answered}
    unneeded = list(answers_without_warning(findings, answered, {rule.id for rule in all_rules()}))
    told = (placed(RULE, notice, loaded[path], loaded) for path, notice in unneeded)
    return in_order(apply_answers((*findings, *told), answered))


def check(settings: Settings, paths: Sequence[Path] = (), progress: Progress | None = None) -> CheckResult:
    """What ``lidoff check`` finds; with paths only the findings that touch them.

    An error in a draft fails only the check that names that draft.
    """
    wanted = tuple(_relative(path, settings.base) for path in paths) or ALL
    found = survey(settings, wanted)
    verdict = found.kept_verdict()
    if verdict is None:
        collection = _examine(found, progress, whole=False)
        verdict = Verdict(collection.findings, collection.drafts)
    if not paths:
        return CheckResult(verdict.findings, len(found.jobs), stops_a_build(verdict.findings, verdict.drafts))
    findings = tuple(finding for finding in verdict.findings if _touches(finding, wanted))
    return CheckResult(findings, sum(job.is_in_full for job in found.jobs), has_error(findings))


def collect(settings: Settings, progress: Progress | None = None) -> tuple[Entry, ...]:
    """The entries that count: every readable record that is published."""
    return tuple(entry for entry in examine_all(settings, progress).entries if not entry.is_draft)


def prepare(
    settings: Settings, with_drafts: bool = False, progress: Progress | None = None, crew: Crew = HERE
) -> Prepared:
    """Read and check everything for one build of the site."""
    return Prepared(settings, examine_all(settings, progress, crew=crew), with_drafts)


def _relative(path: Path, base: Path) -> str:
    resolved = path.resolve()
    return resolved.relative_to(base).as_posix() if resolved.is_relative_to(base) else resolved.as_posix()


def _touches(finding: Finding, wanted: tuple[str, ...]) -> bool:
    return any(is_below(path, wanted) for path in (finding.path, *(place.path for place in finding.related)))
