"""The value code printed on a resistor or capacitor means the value that is recorded."""

from collections.abc import Iterator, Sequence

from lidoff.checks.amounts import recorded
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.part_values import capacitance, farads, ohms
from lidoff.checks.prints import Print, capacitance_prints, resistance_print, voltage_prints
from lidoff.record.model.component import Component, Ratings
from lidoff.rule import Rule

RULE = Rule(
    id="marking-decodes",
    title="The code printed on a resistor or capacitor means the value that is recorded",
    severity="warning",
    scope="record",
    why=(
        "A code is read in every way that its characters allow: letter codes, three and four digits, EIA-96, written "
        "units, and a voltage code before the value. Only where no reading comes near the recorded value, one of the "
        "two is wrong, most often by a power of ten. Prints with an unreadable character in the code are passed over, "
        "and so are bare digits on electrolytic and polymer capacitors, where they may be microfarads, volts or a lot."
    ),
    formula="|recorded / read − 1| ≤ 5 %; four digits on a resistor 1 %; or the recorded tolerance if larger",
    source=(
        "IEC 60062, letter and digit codes; EIA-96; EIA-198; rated-voltage code of the EIA and JIS (all from memory). "
        "M for milliohm on shunts, and which digits are a code: common practice, no source"
    ),
)

COARSE, FINE = 0.05, 0.01
MEASURED = 0.2
"""Room for a value that was measured on the board and not looked up."""
NO_LINK_ABOVE_OHM = 0.1


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for prints that mean another value than the one recorded."""
    for place, part in enumerate(subject.record.components):
        if part.ratings is None or part.marking is None or not part.marking.lines:
            continue
        if part.ratings.resistance_ohm is not None:
            yield from _resistor(place, part, part.ratings.resistance_ohm)
        found = capacitance(part.ratings)
        if found is not None:
            yield from _capacitor(place, part, *found)


def _resistor(place: int, part: Component, resistance: float) -> Iterator[Notice]:
    code = resistance_print(part)
    if code is None:
        return
    room = max(_tolerance(part.ratings), FINE if len(code.text) > 3 and code.text.isdigit() else COARSE)
    if any(_agree(resistance, value, room) for value in code.values):
        return
    read = " or ".join(dict.fromkeys(ohms(value) for value in code.values[:2]))
    yield _notice(place, part, [code], ohms(resistance), read, (code.text, resistance))


def _capacitor(place: int, part: Component, key: str, value: float) -> Iterator[Notice]:
    room = max(_tolerance(part.ratings), MEASURED if part.identified_by == "measurement" else COARSE)
    codes = capacitance_prints(part)
    readings = [reading for code in codes for reading in code.values]
    if readings and not any(_agree(value, reading, room) for reading in readings):
        read = " or ".join(dict.fromkeys(farads(reading) for reading in readings))
        yield _notice(place, part, codes, farads(value), read, (tuple(code.text for code in codes), value))
    ratings = part.ratings
    rated = [one for one in (ratings.voltage_v, ratings.voltage_ac_v, ratings.voltage_transient_v) if one is not None]
    prints = voltage_prints(part) if rated else ()
    if prints and not any(_agree(one, code.values[0], FINE) for one in rated for code in prints):
        read = " or ".join(dict.fromkeys(recorded(code.values[0], "V") for code in prints))
        yield _notice(place, part, prints, recorded(rated[0], "V"), read, (tuple(code.text for code in prints), *rated))


def _tolerance(ratings: Ratings | None) -> float:
    return (ratings.tolerance_pct or 0.0) / 100 if ratings is not None else 0.0


def _agree(one: float, read: float, room: float) -> bool:
    return abs(one / read - 1) <= room + 1e-9 if read else one <= NO_LINK_ABOVE_OHM


def _notice(
    place: int, part: Component, codes: Sequence[Print], value: str, read: str, inputs: tuple[object, ...]
) -> Notice:
    printed = " and ".join(dict.fromkeys(code.text for code in codes))
    return Notice(
        field=f"components[{place}].marking.lines[{codes[0].line}]",
        found=f"{printed} on {part.ref}, which reads {read}; recorded is {value}",
        expected="a print that can mean the recorded value",
        fix="read the print again, then correct it or the rating",
        related=(("", f"components[{place}].ratings"),),
        inputs=inputs,
    )


CHECK = RecordCheck(RULE, run)
