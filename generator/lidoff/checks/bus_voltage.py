"""The recorded bus voltage, the boost stage and the bulk capacitor's rating fit each other."""

from collections.abc import Iterator

from lidoff.checks.amounts import computed, recorded
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.ratings import boosted
from lidoff.engineering.bulk_capacitor import peak_voltage
from lidoff.figures.bus import BULK, with_role
from lidoff.figures.label import label_input
from lidoff.record.model import Record
from lidoff.rule import Rule

RULE = Rule(
    id="bus-voltage",
    title="Bus voltage, boost stage and bulk capacitor fit each other",
    severity="note",
    scope="record",
    why=(
        "The field bus_v is the voltage behind a boost stage, so it says nothing without one. A boost stage cannot "
        "regulate below the crest of the mains that feeds it; at 240 V that is 339 V, though some let the bus fall at "
        "low mains. Bulk capacitors of 420 V and more are usual behind a boost stage, and rarer without one, so the "
        "conversion is worth a second look."
    ),
    source="common practice, no source",
    formula=r"V_{bus} < \sqrt{2} V_{label,max}",
)

USUAL_BEHIND_BOOST_V = 420.0


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for values that do not fit."""
    record = subject.record
    is_boosted = boosted(record)
    bus_v = record.conversion.bus_v if record.conversion else None
    if bus_v is not None and is_boosted is False:
        yield _without_stage(bus_v)
    if bus_v is not None and is_boosted:
        yield from _below_crest(record, bus_v)
    if is_boosted is False:
        yield from _high_rating(record)


def _without_stage(bus_v: float) -> Notice:
    return Notice(
        field="conversion.bus_v",
        found=f"{recorded(bus_v, 'V')} behind a boost stage, while no boost stage is recorded",
        expected="bus_v only where a boost stage regulates the bus",
        fix="correct conversion.pfc, or take bus_v out",
        inputs=(bus_v,),
    )


def _below_crest(record: Record, bus_v: float) -> Iterator[Notice]:
    highest = label_input(record).voltage_max_v
    if highest is not None and bus_v < peak_voltage(highest):
        yield Notice(
            field="conversion.bus_v",
            found=f"a boost stage's bus of {recorded(bus_v, 'V')}, below the crest of {recorded(highest, 'V')} mains",
            expected=f"at least {computed(peak_voltage(highest), 'V')} at the highest labelled mains",
            fix="check bus_v; where the bus follows the mains, record its highest voltage",
            related=(("", "label.input.voltage_max_v"),),
            inputs=(bus_v, highest),
        )


def _high_rating(record: Record) -> Iterator[Notice]:
    for place, part in with_role(record, BULK):
        rating = part.ratings.voltage_v if part.ratings is not None else None
        if rating is not None and rating >= USUAL_BEHIND_BOOST_V and part.series_string is None:
            yield Notice(
                field=f"components[{place}].ratings.voltage_v",
                found=f"{part.ref} is rated {recorded(rating, 'V')}, and no boost stage is recorded",
                expected="a rating of 400 V or so without a boost stage; more is rarer and no fault",
                fix="look for a boost stage before the capacitor; if there is none, leave it",
                inputs=(rating,),
            )


CHECK = RecordCheck(RULE, run)
