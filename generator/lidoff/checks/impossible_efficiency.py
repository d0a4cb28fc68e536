"""No isolated supply gives more than it takes, nor almost as much."""

from collections.abc import Iterator

from lidoff.checks.amounts import computed, percent, recorded
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.points import each_file_once, field_of, fields_of, lines_of, points
from lidoff.engineering.uncertainty import expanded_uncertainty
from lidoff.figures.meters import power_spread
from lidoff.record.model import Record
from lidoff.record.model.electrical import EfficiencyPoint
from lidoff.rule import Rule

RULE = Rule(
    id="impossible-efficiency",
    title="A measured point takes more power than it gives",
    severity="warning",
    scope="record",
    why=(
        "Output power at or above input power is a slip of the pen or a fault of measurement: a swapped row, an input "
        "meter on the wrong range, voltage and current read at different times. A mains supply with an isolating "
        "transformer stays clearly below 98 % at every load; a point above it deserves the same look."
    ),
    source="conservation of energy needs no source; 98 % for isolated mains supplies: common practice, no source",
    formula=r"\frac{V_o I_o}{P_{in}} - U > 0.98",
)

HIGHEST = 0.98


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for points that give more than they can."""
    yield from each_file_once(_found(subject))


def _found(subject: Subject) -> Iterator[tuple[EfficiencyPoint, Notice]]:
    for place, row in points(subject):
        given = row.output_v * row.output_a
        if given > HIGHEST * row.input_w and _is_beyond_doubt(subject.record, row, given):
            yield row, _notice(subject, place, row, given)


def _is_beyond_doubt(record: Record, row: EfficiencyPoint, given: float) -> bool:
    """Whether a point is out of reach even with its expanded uncertainty, where the accuracy is recorded."""
    spread = power_spread(record, row) if row.input_w > 0 else None
    return spread is None or given / row.input_w - expanded_uncertainty(spread.of_efficiency(row)) > HIGHEST


def _notice(subject: Subject, place: int, row: EfficiencyPoint, given: float) -> Notice:
    if row.input_w > given:
        told = f", an efficiency of {percent(given / row.input_w)}"
        expected = f"an efficiency below {percent(HIGHEST, 2)}, as every isolated mains supply has"
    else:
        told, expected = "", "more input than output power"
    return Notice(
        field=field_of(place, row, "input_w"),
        found=f"{computed(given, 'W', 4)} out of {recorded(row.input_w, 'W')} from the mains{told}",
        expected=expected,
        fix="compare output_v, output_a and input_w with the notes of the measurement; measure the point again",
        related=fields_of(place, row, "output_v", "output_a"),
        inputs=(row.output_v, row.output_a, row.input_w),
        places=lines_of(subject, row),
    )


CHECK = RecordCheck(RULE, run)
