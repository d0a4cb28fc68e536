"""Examine one record file: read it, derive its figures, run the checks that need no other record."""

from collections.abc import Mapping
from dataclasses import replace

from lidoff.checks import RECORD_CHECKS
from lidoff.checks.answers import digest
from lidoff.checks.check import Notice, Subject
from lidoff.checks.engine import run_record_checks
from lidoff.entry import Entry
from lidoff.examination.beside import Beside
from lidoff.examination.desk import Desk
from lidoff.examination.examined import Examined, Kept, Outline, kept_of
from lidoff.figures.derive import derive
from lidoff.finding import Finding, Place
from lidoff.record.collection import RecordFile
from lidoff.record.load import Loaded, load_file
from lidoff.rows.record_rows import packed_rows
from lidoff.rule import Rule


def examine(file: RecordFile, desk: Desk) -> Examined:
    """One record file in full, as it is now."""
    loaded, kept = examine_in_full(file, desk)
    marks = replace(loaded.marks, spots=kept.spots)
    return Examined(Outline(loaded.path, loaded.status, marks), file.slug, kept, desk.tiers_w)


def examine_in_full(file: RecordFile, desk: Desk) -> tuple[Loaded, Kept]:
    """Read one record file with its logs and pictures, derive its figures and run the checks of single records."""
    loaded = load_file(file.path, desk.settings.base)
    if loaded.record is None:
        return loaded, kept_of(loaded, None, loaded.findings, ())
    beside = Beside(file, loaded.record, desk)
    logs, pictures = beside.logs(), beside.pictures()
    subject = Subject(
        path=loaded.path, slug=file.slug, record=loaded.record, figures=derive(loaded.record, desk.assumptions, logs),
        files=file.companions, tiers_w=desk.tiers_w, other_protocols=desk.protocols, logs=logs, pictures=pictures,
    )  # fmt: skip
    noticed = [placed(rule, notice, loaded, {}) for rule, notice in run_record_checks(RECORD_CHECKS, subject)]
    entry = Entry(loaded.path, file.slug, subject.record, subject.figures, logs=logs)
    rows = packed_rows(entry, desk.tiers_w)
    return loaded, kept_of(loaded, subject, loaded.findings + tuple(noticed), tuple(beside.keys), rows)


def examine_for_others(file: RecordFile, desk: Desk) -> tuple[Loaded, Kept]:
    """Read one record file as far as others need it: neither its logs, nor the checks of its own."""
    loaded = load_file(file.path, desk.settings.base)
    if loaded.record is None:
        return loaded, kept_of(loaded, None, loaded.findings, ())
    beside = Beside(file, loaded.record, desk)
    figures = derive(loaded.record, desk.assumptions)
    subject = Subject(loaded.path, file.slug, loaded.record, figures, pictures=beside.pictures())
    return loaded, replace(kept_of(loaded, subject, loaded.findings, tuple(beside.keys)), figures=b"")


def placed(rule: Rule, notice: Notice, loaded: Loaded | Outline, others: Mapping[str, Outline]) -> Finding:
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


def _related_place(path: str, field: str, loaded: Loaded | Outline, others: Mapping[str, Outline]) -> Place:
    there = loaded if path in ("", loaded.path) else others.get(path)
    return replace(there.place(field), field=field) if there else Place(path, 1, 1, field)
