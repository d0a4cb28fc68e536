"""A log that the record names can be read, and its contents are what a log of a charger's port can hold."""

from collections.abc import Iterator

from lidoff.bench.log_report import Oddity
from lidoff.bench.logs import LogResult, log_rows
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.figures.rows import measured
from lidoff.finding import Place
from lidoff.rule import Rule

RULE = Rule(
    id="log-readable",
    title="Logs can be read, and say what they are",
    severity="error",
    scope="record",
    why=(
        "Figures and curves come from the files that `log` names, by the headings that `columns` gives. A file that is "
        "empty, not a table, too large, or without those columns in numbers gives none of them. Separator, decimal "
        "sign, encoding and the form of the time are found out and told on the page. A file that can be read but holds "
        "something odd, such as gaps, a clock that was set, or text among the numbers, is read as far as it goes; what "
        "was done about it is told."
    ),
    source="Lidoff's own decision; the bounds from which a heading must have another unit: common practice, no source",
)


def run(subject: Subject) -> Iterator[Notice]:
    """One notice for each log that can't be read or holds something odd."""
    for place, row in enumerate(measured(subject.record).soak):
        if row.log is not None and not row.columns:
            yield _without_columns(f"measured.soak[{place}].log", row.log)
    rows = dict(log_rows(subject.record))
    for at, result in subject.logs.items():
        oddities = result.report.oddities if result.report is not None else ()
        if result.fault is not None:
            yield _fault(subject, at, result)
        elif any(odd.is_grave for odd in oddities) or (oddities and rows[at].note is None):
            yield _odd(subject, at, result, oddities)


def _fault(subject: Subject, at: str, result: LogResult) -> Notice:
    fault = result.fault
    return Notice(
        field=f"{at}.columns.{fault.key}" if fault.key else f"{at}.log",
        found=f"{result.file}: {fault.found}",
        expected=fault.expected,
        fix=fault.fix,
        places=(Place(file_beside(subject, result.file), fault.line, 1),),
    )


def _without_columns(field: str, name: str) -> Notice:
    return Notice(
        field=field,
        found=f"{name}, which is not read: the line has no columns",
        expected="columns: which heading of the file is which quantity",
        fix="add columns with time_s, and power_w or surface_c",
        severity="note",
    )


def _odd(subject: Subject, at: str, result: LogResult, oddities: tuple[Oddity, ...]) -> Notice:
    """What was odd, the grave things first; a file that is only a little odd is worth a note.

    A row with a note of its own has explained small things already.
    """
    ordered = sorted(oddities, key=lambda odd: not odd.is_grave)
    further = f", and {len(ordered) - 1} more" if len(ordered) > 1 else ""
    return Notice(
        field=f"{at}.log",
        found=f"{result.file}: {ordered[0].text}{further}",
        expected="a number in every cell, and times that go on without a gap",
        fix="look at those lines; if they stand, say in the row's note what happened",
        severity="warning" if ordered[0].is_grave else "note",
        inputs=tuple(odd.text for odd in ordered),
        places=tuple(Place(file_beside(subject, result.file), odd.line, 1) for odd in ordered),
    )


def file_beside(subject: Subject, name: str) -> str:
    """The path of a file beside the record, as messages write it."""
    return f"{subject.path.rpartition('/')[0]}/{name}".lstrip("/")


CHECK = RecordCheck(RULE, run)
