"""Nothing in a unit was made after the unit was bought or opened."""

from collections.abc import Iterator
from datetime import date, timedelta

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.date_codes import last_day, reading_of
from lidoff.record.model import Record
from lidoff.rule import Rule

RULE = Rule(
    id="date-code-after-teardown",
    title="Date codes are not later than purchase and teardown",
    severity="note",
    scope="record",
    why=(
        "A code of four digits is read as year and week, week and year, year and month, month and year, and as a "
        "year; readings from more than 8 years before the launch are left out. Only where every other reading lies "
        "after the unit was bought, or opened, something is misread or mistyped, or the number is no date. The "
        "unit's own date code is such a limit for its boards and parts, with half a year to spare. No standard fixes "
        "date codes, so it is a note; a code that names year and week itself, such as 2026-W15, makes it a warning."
    ),
    formula="earliest reading ≤ last day of the purchase, else of the teardown; a part's ≤ the unit's plus 26 weeks",
    source="Common practice, no source: date codes are not standardised",
)

OLD_STOCK_YEARS = 8
OF_UNIT = timedelta(weeks=26)

Dated = tuple[str, str, date, str]


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for date codes of samples, boards and parts that lie in the future of their unit."""
    record = subject.record
    opened = date.fromisoformat(record.teardown.date) if record.teardown is not None else None
    oldest = record.product.launched - OLD_STOCK_YEARS if record.product.launched is not None else 0
    for field, code, limit, event in _dated(record, opened, oldest):
        weeks = _likely(code, oldest)
        if not weeks or min(weeks) <= limit:
            continue
        yield Notice(
            field=field,
            found=f"{code}, which is after {limit.isoformat()}, when {event}, in every likely reading",
            expected="a date code from before that day, or a number that is no date code",
            fix="read the print again; where it is a lot number, move it to the marking or the note",
            severity="warning" if reading_of(code).is_plain else None,
            inputs=(code, limit.isoformat()),
        )


def _likely(code: str, oldest: int) -> list[date]:
    """The weeks that a code can mean, without those long before the product."""
    reading = reading_of(code)
    return [week for week in reading.weeks if week.year >= oldest] if reading is not None else []


def _dated(record: Record, opened: date | None, oldest: int) -> Iterator[Dated]:
    """Every date code with its field, the last day that it can be of, and what happened on that day."""
    bought = [last_day(sample.bought) if sample.bought is not None else None for sample in record.samples]
    made: list[date | None] = []
    for place, (sample, day) in enumerate(zip(record.samples, bought, strict=True)):
        weeks: list[date] = []
        for field, code, limit, event in _limited(f"samples[{place}].date_code", sample.date_code, day, opened):
            weeks = [week for week in _likely(code, oldest) if week <= limit]
            yield field, code, limit, event
        made.append(max(weeks, default=None))
    # the lists of boards and parts may show any of the samples: the one bought or made last sets the limit
    latest = max(bought) if bought and None not in bought else None
    by_code = max(made) + OF_UNIT if made and None not in made else None
    for kind, things in (("boards", record.boards), ("components", record.components)):
        for place, thing in enumerate(things):
            for field, code, limit, event in _limited(f"{kind}[{place}].date_code", thing.date_code, latest, opened):
                if by_code is not None and by_code < limit:
                    yield field, code, by_code, "the unit was half a year old by its own code"
                else:
                    yield field, code, limit, event


def _limited(field: str, code: str | None, bought: date | None, opened: date | None) -> Iterator[Dated]:
    if code is None:
        return
    if bought is not None and (opened is None or bought <= opened):
        yield field, code, bought, "the unit was bought"
    elif opened is not None:
        yield field, code, opened, "the unit was opened"


CHECK = RecordCheck(RULE, run)
