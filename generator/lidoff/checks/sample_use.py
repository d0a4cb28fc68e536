"""Of several samples, the rows of one list name the first one or leave it out, but do not mix both."""

import dataclasses
from collections.abc import Iterator

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.record.model import Record
from lidoff.record.model.measured import Measured
from lidoff.rule import Rule

RULE = Rule(
    id="sample-use",
    title="Where a list names its first sample, every row names its own",
    severity="note",
    scope="record",
    why=(
        "A row that names no sample belongs to the first one, so naming the others alone is enough. Where some rows "
        "of a list name the first sample all the same, a row without a name may be a slip, and two units would be "
        "mixed."
    ),
    source="Lidoff's own decision",
)

LISTS = tuple(
    field.name for field in dataclasses.fields(Measured)
    if field.default == () and field.name != "other_samples"
)  # fmt: skip


def run(subject: Subject) -> Iterator[Notice]:
    """A notice for each list that names its first sample in some rows and leaves it out in others."""
    record = subject.record
    if len(record.samples) < 2:
        return
    first = record.samples[0].id
    for field, rows in _lists(record):
        unnamed = [place for place, row in enumerate(rows) if row.sample is None]
        if unnamed and any(row.sample == first for row in rows):
            yield Notice(
                field=f"{field}[{unnamed[0]}]",
                found=f"{len(unnamed)} of {len(rows)} rows without a sample, so of {first}, which others name",
                expected="the sample of each row, since the first one is named too",
                fix=f"add sample: {first} to the rows that lack it, or the sample that is meant",
                inputs=tuple(row.sample for row in rows),
            )


def _lists(record: Record) -> Iterator[tuple[str, tuple]]:
    if record.measured is not None:
        for name in LISTS:
            yield f"measured.{name}", getattr(record.measured, name)
    for place, port in enumerate(record.ports):
        yield f"ports[{place}].advertised", port.advertised or ()


CHECK = RecordCheck(RULE, run)
