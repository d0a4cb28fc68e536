"""Run the stages in their order: load, derive, check records, then all that needs the whole collection."""

import datetime
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from lidoff.checks import COLLECTION_CHECKS, RECORD_CHECKS, all_rules
from lidoff.checks.answers import RULE as ANSWER_RULE
from lidoff.checks.answers import answers_without_warning, apply_answers, digest
from lidoff.checks.check import Notice, Subject
from lidoff.checks.engine import run_collection_checks, run_record_checks
from lidoff.entry import Entry
from lidoff.figures.assumptions import Assumptions, read_assumptions
from lidoff.figures.derive import derive
from lidoff.figures.logs_beside import logs_beside
from lidoff.finding import Finding, Place, has_error, in_order
from lidoff.record.collection import RecordFile, find_records
from lidoff.record.load import Loaded, load_file
from lidoff.record.other_protocols import OtherProtocols, load_other_protocols
from lidoff.rule import Rule
from lidoff.settings import Settings
from lidoff.website import Page, Website

Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Examined:
    """One record file after reading, deriving and checking it on its own."""

    loaded: Loaded
    subject: Subject | None
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class Collection:
    """All record files of a knowledge base, examined, with the findings of every check."""

    examined: tuple[Examined, ...]
    findings: tuple[Finding, ...]

    @property
    def entries(self) -> tuple[Entry, ...]:
        """The records that could be read, with what was found in each."""
        by_path: dict[str, list[Finding]] = {}
        for finding in self.findings:
            by_path.setdefault(finding.path, []).append(finding)
        subjects = [one.subject for one in self.examined if one.subject is not None]
        return tuple(
            Entry(
                path=subject.path,
                slug=subject.slug,
                record=subject.record,
                figures=subject.figures,
                findings=tuple(by_path.get(subject.path, ())),
                logs=subject.logs,
            )
            for subject in subjects
        )

    @property
    def drafts(self) -> frozenset[str]:
        """Paths of the records that say they are drafts, readable or not."""
        return frozenset(one.loaded.path for one in self.examined if one.loaded.status == "draft")

    @property
    def stops_a_build(self) -> bool:
        """Whether an error stands anywhere but in a draft."""
        return has_error([finding for finding in self.findings if finding.path not in self.drafts])


@dataclass(frozen=True, slots=True)
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
        records = [entry.record for entry in self.collection.entries]
        dates = [record.teardown.date for record in records if record.teardown]
        dates += [correction.date for record in records for correction in record.corrections]
        return max((datetime.date.fromisoformat(date) for date in dates), default=None)

    @property
    def shown(self) -> tuple[Entry, ...]:
        """The entries that have pages: every record without an error, and in a preview every readable draft."""
        return tuple(
            entry
            for entry in self.collection.entries
            if (self.with_drafts if entry.is_draft else not has_error(entry.findings))
        )

    def website(self) -> Website:
        """The pages and files made from the entries that are shown."""
        from lidoff.pages.website import build_website

        return build_website(self.shown, self.settings, with_drafts=self.with_drafts)

    def page(self, address: str) -> Page | None:
        """The one page at an address, without making the others; None where there is none."""
        from lidoff.pages.website import find_page

        return find_page(address, self.shown, self.settings, with_drafts=self.with_drafts)


@dataclass(frozen=True, slots=True)
class CheckResult:
    """What ``lidoff check`` prints: the findings that touch what was asked for, and how many records were read."""

    findings: tuple[Finding, ...]
    records: int
    failed: bool


def examine_file(
    file: RecordFile, settings: Settings, assumptions: Assumptions, protocols: OtherProtocols
) -> Examined:
    """Read one record file with its logs, derive its figures and run the checks that need no other record."""
    loaded = load_file(file.path, settings.base)
    if loaded.record is None:
        return Examined(loaded, None, loaded.findings)
    logs = logs_beside(file.path.parent, loaded.record, assumptions)
    figures = derive(loaded.record, assumptions, logs)
    tiers_w = tuple(settings.tiers_w)
    subject = Subject(loaded.path, file.slug, loaded.record, figures, file.companions, tiers_w, protocols, logs)
    noticed = [placed(rule, notice, loaded, {}) for rule, notice in run_record_checks(RECORD_CHECKS, subject)]
    return Examined(loaded, subject, loaded.findings + tuple(noticed))


def read_file(file: RecordFile, settings: Settings, assumptions: Assumptions) -> Examined:
    """Read one record file as far as others need it: its figures without logs, and no check of its own."""
    loaded = load_file(file.path, settings.base)
    if loaded.record is None:
        return Examined(loaded, None, loaded.findings)
    figures = derive(loaded.record, assumptions)
    subject = Subject(loaded.path, file.slug, loaded.record, figures, file.companions, tuple(settings.tiers_w))
    return Examined(loaded, subject, loaded.findings)


def placed(rule: Rule, notice: Notice, loaded: Loaded, others: Mapping[str, Loaded]) -> Finding:
    """The finding that a notice becomes once its place in the file is known."""
    place = loaded.place(notice.field)
    related = tuple(_related_place(path, field, loaded, others) for path, field in notice.related)
    return Finding(
        rule=rule.id,
        severity=notice.severity or rule.severity,
        path=loaded.path,
        line=place.line,
        column=place.column,
        field=notice.field,
        found=notice.found,
        expected=notice.expected,
        fix=notice.fix,
        source=rule.source,
        related=related + notice.places,
        inputs=digest(notice.inputs),
    )


def _related_place(path: str, field: str, loaded: Loaded, others: Mapping[str, Loaded]) -> Place:
    there = loaded if path in ("", loaded.path) else others.get(path)
    return replace(there.place(field), field=field) if there else Place(path, 1, 1, field)


def examine_all(
    settings: Settings, progress: Progress | None = None, wanted: tuple[str, ...] = (".",)
) -> Collection:
    """Examine every record of the knowledge base and run the checks that see all of them.

    ``wanted`` are the paths below which records are examined in full; the others are read for the collection's sake.
    """
    files, stray = find_records(settings.entries_folder, settings.base)
    protocols, faults = load_other_protocols(settings.entries_folder, settings.base)
    assumptions = read_assumptions(settings.assumptions)
    examined = []
    for number, file in enumerate(files, 1):
        in_full = _is_below(file.relative, wanted)
        examined.append(
            examine_file(file, settings, assumptions, protocols) if in_full else read_file(file, settings, assumptions)
        )
        if progress is not None:
            progress(number, len(files))
    return with_collection_checks(tuple(examined), stray + faults)


def with_collection_checks(examined: Sequence[Examined], stray: Sequence[Finding]) -> Collection:
    """The examined records together with what the checks of the whole collection find; drafts hold up no other record."""
    loaded = {one.loaded.path: one.loaded for one in examined}
    subjects = [one.subject for one in examined if one.subject is not None]
    findings = list(stray)
    for one in examined:
        findings.extend(one.findings)
    for rule, path, notice in run_collection_checks(COLLECTION_CHECKS, subjects):
        findings.append(placed(rule, notice, loaded[path], loaded))
    answered = {subject.path: subject.record.answered for subject in subjects if subject.record.answered}
    unneeded = list(answers_without_warning(findings, answered, {rule.id for rule in all_rules()}))
    findings.extend(placed(ANSWER_RULE, notice, loaded[path], loaded) for path, notice in unneeded)
    return Collection(tuple(examined), in_order(apply_answers(findings, answered)))


def check(settings: Settings, paths: Sequence[Path] = (), progress: Progress | None = None) -> CheckResult:
    """What ``lidoff check`` finds; with paths only the findings that touch them.

    An error in a draft fails only the check that names that draft.
    """
    wanted = tuple(_relative(path, settings.base) for path in paths)
    collection = examine_all(settings, progress, wanted or (".",))
    if not paths:
        return CheckResult(collection.findings, len(collection.examined), collection.stops_a_build)
    findings = tuple(finding for finding in collection.findings if _touches(finding, wanted))
    records = sum(1 for one in collection.examined if _is_below(one.loaded.path, wanted))
    return CheckResult(findings, records, has_error(findings))


def collect(settings: Settings, progress: Progress | None = None) -> tuple[Entry, ...]:
    """The entries that count: every readable record that is published."""
    return tuple(entry for entry in examine_all(settings, progress).entries if not entry.is_draft)


def prepare(settings: Settings, with_drafts: bool = False, progress: Progress | None = None) -> Prepared:
    """Read and check everything for one build of the site."""
    return Prepared(settings, examine_all(settings, progress), with_drafts)


def _relative(path: Path, base: Path) -> str:
    resolved = path.resolve()
    return resolved.relative_to(base).as_posix() if resolved.is_relative_to(base) else resolved.as_posix()


def _touches(finding: Finding, wanted: tuple[str, ...]) -> bool:
    return any(_is_below(path, wanted) for path in (finding.path, *(place.path for place in finding.related)))


def _is_below(path: str, wanted: tuple[str, ...]) -> bool:
    return any(path == folder or folder == "." or path.startswith(folder.rstrip("/") + "/") for folder in wanted)
