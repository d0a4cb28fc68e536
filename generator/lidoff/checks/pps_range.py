"""The voltage ranges of PPS objects."""

from collections.abc import Iterator

from lidoff.checks.captures import Seen, amount, listed, spoken
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.engineering.usb_pd_pps import nominal_pps_voltage, pps_ranges, required_pps_offers
from lidoff.engineering.usb_pd_rules import SPR_POWER
from lidoff.engineering.usb_pd_supplies import ProgrammableSupply
from lidoff.figures.citation import citation
from lidoff.rule import Rule

RULE = Rule(
    id="pps-range",
    title="PPS objects cover the ranges of the specification",
    severity="warning",
    scope="record",
    why=(
        "PPS ranges end at 5.9, 11, 16 or 21 V and begin at 3.3 V; 3.0 V was usual in early editions and 5.0 V is in "
        "a late one. Other ends exist, so they are worth a note, as is a port that offers PPS but not the range that "
        "goes with its power. A range whose end is not above its beginning is a warning: nothing can be asked of it."
    ),
    source=f"{citation(pps_ranges)}; the range of a power: {citation(required_pps_offers)}",
)

SAME = 0.05
MINIMA = sorted({low for one in pps_ranges() for low in one.minima})
MAXIMA = {one.nominal_voltage: one.maximum for one in pps_ranges()}


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for unusual and impossible ranges, each word once, and for ranges that a port alone leaves out."""
    for seen, item, also in subject.words:
        supply = item.source_object.supply
        if isinstance(supply, ProgrammableSupply) and (wrong := _wrong(supply)):
            expected, severity = wrong
            yield Notice(
                field=seen.at(item.position),
                found=spoken(item.source_object),
                expected=expected,
                fix="check the word against the capture; keep it where the port really offers it so",
                severity=severity,
                related=also,
                inputs=(item.source_object.word,),
            )
    told: set[tuple[str, float]] = set()
    for seen in subject.captures:
        if (missing := _missing(seen)) and (seen.port_field, missing[0]) not in told:
            told.add((seen.port_field, missing[0]))
            yield _missing_notice(seen, *missing)


def _wrong(supply: ProgrammableSupply) -> tuple[str, str] | None:
    if supply.voltage_max <= supply.voltage_min:
        return "a highest voltage above the lowest", "warning"
    if nominal_pps_voltage(supply.voltage_max) is None:
        return f"a range up to {listed([f'{high:g}' for high in MAXIMA.values()], 'or')} V", "note"
    if min(abs(supply.voltage_min - low) for low in MINIMA) > SAME:
        return f"a range from {listed([f'{low:g}' for low in MINIMA], 'or')} V", "note"
    return None


def _missing(seen: Seen) -> tuple[float, list[float]] | None:
    """The end of the range that the power asks for and that is not there, and the ends of those that are."""
    ends = [o.source_object.supply.voltage_max for o in seen.message.objects if o.source_object.kind == "pps"]
    power = min(seen.message.rated, SPR_POWER)
    if not seen.alone or not ends or power <= 0 or None in map(nominal_pps_voltage, filter(None, ends)):
        return None
    end = MAXIMA[required_pps_offers(power)[-1].nominal_voltage]
    return None if max(ends) >= end - SAME else (end, ends)


def _missing_notice(seen: Seen, end: float, ends: list[float]) -> Notice:
    return Notice(
        field=seen.field,
        found=f"PPS up to {listed([f'{one:g}' for one in ends])} V",
        expected=f"a PPS range up to {end:g} V, as the fixed objects come to {amount(seen.message.rated, 'W')}",
        fix="check that no word was left out; keep it where the port really offers no more",
        severity="note",
        inputs=(*seen.capture.words,),
    )


CHECK = RecordCheck(RULE, run)
