"""A measured output voltage lies near the one that was requested."""

from collections.abc import Iterator
from dataclasses import dataclass

from lidoff.checks.amounts import percent, recorded
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.points import each_file_once, field_of, fields_of, lines_of, points
from lidoff.figures.rows import measured
from lidoff.record.model.electrical import EfficiencyPoint, Regulation
from lidoff.rule import Rule

RULE = Rule(
    id="output-voltage",
    title="Measured output voltages are near the requested ones",
    severity="warning",
    scope="record",
    why=(
        "A source keeps a fixed voltage within 5 % at its connector. Farther off is worth a word: a source that makes "
        "up for the drop of a cable, or a programmable supply that limits its current. More than 10 % off is mostly a "
        "row with the wrong voltage. At the end of a cable the drop of the cable is allowed, with its recorded "
        "resistance, else with the most that the cable standard allows."
    ),
    source=(
        "USB Power Delivery, vSrcNew, 5 % either way (from memory); USB Type-C, drop of a cable, 500 mV in the supply "
        "and 250 mV in the return line (from memory); the bound of 10 %: common practice, no source"
    ),
    formula=r"\left| \frac{V_o}{V_{set}} - 1 \right| > 0.05",
)

WORTH_A_WORD = 0.05
UNLIKELY = 0.10
LARGEST_CABLE_DROP_V = 0.75


@dataclass(frozen=True, slots=True)
class Reading:
    """A measured voltage with the requested one, and the voltage that a cable may have taken from it."""

    place: int
    row: EfficiencyPoint | Regulation
    measured_v: float
    allowed_drop_v: float


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for voltages far from the requested ones."""
    yield from each_file_once(_found(subject))


def _found(subject: Subject) -> Iterator[tuple[EfficiencyPoint | Regulation, Notice]]:
    for reading in _readings(subject):
        low = reading.measured_v / reading.row.set_v - 1
        high = (reading.measured_v + reading.allowed_drop_v) / reading.row.set_v - 1
        off = high if high < 0 else low if low > 0 else 0.0
        if abs(off) > WORTH_A_WORD:
            yield reading.row, _notice(subject, reading, off)


def _readings(subject: Subject) -> Iterator[Reading]:
    for place, row in points(subject):
        if row.set_v is not None:
            resistance = None if row.cable_mohm is None else row.cable_mohm / 1e3
            drop = _allowed_drop(row.measured_at, row.output_a, resistance)
            yield Reading(place, row, row.output_v, drop)
    for place, row in enumerate(measured(subject.record).regulation):
        yield Reading(place, row, row.measured_v, _allowed_drop(row.measured_at, row.load_a, None))


def _fields(reading: Reading) -> tuple[str, tuple[tuple[str, str], ...]]:
    """The field of the measured voltage, and that of the requested one."""
    place, row = reading.place, reading.row
    if isinstance(row, Regulation):
        return f"measured.regulation[{place}].measured_v", (("", f"measured.regulation[{place}].set_v"),)
    return field_of(place, row, "output_v"), fields_of(place, row, "set_v")


def _allowed_drop(measured_at: str | None, current: float, resistance: float | None) -> float:
    """Voltage that a cable may take; a place of measurement that is not recorded may be a cable's end."""
    if measured_at in ("connector", "board") or current == 0:
        return 0.0
    return LARGEST_CABLE_DROP_V if resistance is None else current * resistance


def _notice(subject: Subject, reading: Reading, off: float) -> Notice:
    is_unlikely = abs(off) > UNLIKELY
    side = "above" if off > 0 else "below"
    beyond = " with the drop of a cable allowed" if reading.allowed_drop_v and off < 0 else ""
    field, related = _fields(reading)
    return Notice(
        field=field,
        found=f"{recorded(reading.measured_v, 'V')}, {percent(abs(off))} {side} the requested "
        f"{recorded(reading.row.set_v, 'V')}{beyond}",
        expected=f"a voltage within {percent(WORTH_A_WORD, 1)} of the requested one",
        fix="check both voltages and measured_at; if they stand, say in the row's note what moves the voltage",
        severity=None if is_unlikely else "note",
        related=related,
        inputs=(reading.row.set_v, reading.measured_v, reading.allowed_drop_v),
        places=lines_of(subject, reading.row),
    )


CHECK = RecordCheck(RULE, run)
