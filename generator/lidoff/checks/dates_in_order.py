"""Launch, purchase and teardown stand in an order that can have been."""

from collections.abc import Iterator
from datetime import date

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.date_codes import first_day
from lidoff.record.model import Record
from lidoff.rule import Rule

RULE = Rule(
    id="dates-in-order",
    title="Launch, purchase and teardown are in an order that can have been",
    severity="warning",
    scope="record",
    why=(
        "A unit is opened after it was bought, and bought in a shop in the year of its launch or later. Units from "
        "the maker or from before production may be older than the launch. A correction is not older than the "
        "teardown that it corrects."
    ),
    formula="year of launch ≤ year of purchase in a shop; purchase ≤ teardown; teardown ≤ correction",
    source="Lidoff's own decision",
)

BEFORE_LAUNCH = frozenset({"pre-production", "maker"})


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for dates that contradict each other."""
    record = subject.record
    if record.teardown is not None:
        yield from _against_teardown(record, record.teardown.date)
    launched = record.product.launched
    for place, sample in enumerate(record.samples):
        if launched is not None and sample.bought is not None and sample.source == "retail":
            if int(sample.bought[:4]) < launched:
                found = f"{sample.id} bought in {sample.bought}, before the launch in {launched}"
                expected, inputs = "a purchase in the year of the launch or later", (sample.bought, launched)
                yield _notice(f"samples[{place}].bought", found, expected, "product.launched", inputs)


def _against_teardown(record: Record, teardown: str) -> Iterator[Notice]:
    opened = date.fromisoformat(teardown)
    for place, sample in enumerate(record.samples):
        if sample.bought is not None and first_day(sample.bought) > opened:
            yield _notice(
                f"samples[{place}].bought", f"{sample.id} bought in {sample.bought}, opened on {teardown}",
                "a purchase before the teardown", "teardown.date", (sample.bought, teardown),
            )  # fmt: skip
    launched = record.product.launched
    early = any(sample.source in BEFORE_LAUNCH for sample in record.samples)
    if launched is not None and launched > opened.year and not early:
        yield _notice(
            "product.launched", f"launched in {launched}, opened on {teardown}",
            "a launch before the teardown, unless a unit came from the maker", "teardown.date", (launched, teardown),
        )  # fmt: skip
    for place, correction in enumerate(record.corrections):
        if date.fromisoformat(correction.date) < opened:
            yield _notice(
                f"corrections[{place}].date", f"a correction of {correction.date} to a teardown of {teardown}",
                "a correction after the teardown", "teardown.date", (correction.date, teardown),
            )  # fmt: skip


def _notice(field: str, found: str, expected: str, other: str, inputs: tuple[object, ...]) -> Notice:
    return Notice(field, found, expected, "correct the date that is wrong", related=(("", other),), inputs=inputs)


CHECK = RecordCheck(RULE, run)
