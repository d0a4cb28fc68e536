"""The X capacitors have a discharge path, and a recorded resistor is quick enough."""

from collections.abc import Iterator

from lidoff.checks.amounts import computed, recorded
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.coverage import lists_every_part, lists_main_parts
from lidoff.engineering.capacitor_network import parallel_capacitance
from lidoff.engineering.mains_discharge import longest_time_constant, time_constant
from lidoff.figures.bus import Part, branches, with_role
from lidoff.figures.known import Absent
from lidoff.record.model import Record
from lidoff.record.model.component import Component
from lidoff.rule import Rule

RULE = Rule(
    id="x-capacitor-discharge",
    title="X capacitors above 0.1 µF have a discharge path that is quick enough",
    severity="warning",
    scope="record",
    why=(
        "An X capacitor can leave its voltage on the plug pins. A resistor across it or the pins of a controller "
        "discharge it; a varistor does not. That no path is recorded is a warning only where every part is listed and "
        "nothing was hidden, and a note where the main parts are. A recorded resistor is judged by its time constant, "
        "nominal values, where it is recorded how several are connected. None of this says how long to wait: treat as "
        "charged until proved dead."
    ),
    source=(
        "IEC 60950-1, 2.1.1.7: above 0.1 µF a time constant of at most 1 s for equipment with an ordinary plug; IEC "
        "62368-1, 5.5.2.2, instead measures the voltage 2 s after unplugging"
    ),
    formula=r"\tau = R C > 1 \text{ s}",
)

RESISTOR, CONTROLLER = "x-discharge-resistor", "x-discharge-controller"


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for X capacitors without a path, or with a slow one."""
    record = subject.record
    capacitors = [(place, part) for place, part in with_role(record, "x-capacitor") if _has_capacitance(part)]
    total = _capacitance(capacitors)
    # a sum of decimal values may lie a hair above 0.1 µF
    longest = None if total is None else longest_time_constant(total * (1 - 1e-9))
    if total is None or longest is None or with_role(record, CONTROLLER):
        return
    resistors = with_role(record, RESISTOR)
    if not resistors:
        if lists_main_parts(record):
            yield _no_path(record, capacitors, total)
        return
    resistance = _resistance(resistors)
    if resistance is not None and time_constant(resistance, total) > longest:
        yield _slow(resistors, capacitors, resistance, total)


def _has_capacitance(part: Component) -> bool:
    keys = ("capacitance_uf", "capacitance_nf", "capacitance_pf")
    return any(getattr(part.ratings, key, None) is not None for key in keys)


def _capacitance(capacitors: list[Part]) -> float | None:
    """All X capacitors in parallel, those of a known value; None where there is none."""
    try:
        strings, _ = branches(capacitors)
    except Absent:
        return None
    return parallel_capacitance([one for string in strings for one in string]) if strings else None


def _resistance(resistors: list[Part]) -> float | None:
    """The path's resistance, None where a value or the connection of several is not recorded."""
    values = []
    for _, part in resistors:
        values += [getattr(part.ratings, "resistance_ohm", None)] * (part.quantity or 1)
    strings = {part.series_string for _, part in resistors}
    if None in values or 0.0 in values or (len(values) > 1 and (len(strings) > 1 or None in strings)):
        return None
    return sum(values)


def _no_path(record: Record, capacitors: list[Part], total: float) -> Notice:
    is_whole = lists_every_part(record)
    where = ", though every part is listed" if is_whole else " among the main parts"
    return Notice(
        field=f"components[{capacitors[0][0]}].ratings",
        found=f"{computed(total * 1e9, 'nF')} across the mains and no discharge path{where}",
        expected=f"a part with the role {RESISTOR} or {CONTROLLER}",
        fix="look for resistors across it and controller pins that lead to it; treat it as charged until proved dead",
        severity=None if is_whole else "note",
        related=tuple(("", f"components[{place}].ratings") for place, _ in capacitors[1:]),
        inputs=(total, is_whole),
    )


def _slow(resistors: list[Part], capacitors: list[Part], resistance: float, total: float) -> Notice:
    return Notice(
        field=f"components[{resistors[0][0]}].ratings.resistance_ohm",
        found=f"{recorded(resistance / 1e6, 'MΩ')} across {computed(total * 1e9, 'nF')}, a time constant of "
        f"{computed(time_constant(resistance, total), 's')}",
        expected="a time constant of at most 1 s, as in IEC 60950-1; IEC 62368-1 takes the voltage after 2 s instead",
        fix="check the print of resistor and capacitor and how several are connected; look for a controller's pins too",
        related=tuple(("", f"components[{place}].ratings") for place, _ in capacitors),
        inputs=(resistance, total),
    )


CHECK = RecordCheck(RULE, run)
