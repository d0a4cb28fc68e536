"""Chip resistors come in preferred values."""

from collections.abc import Iterator
from functools import lru_cache

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.part_values import ohms
from lidoff.checks.prints import CHIP
from lidoff.engineering.preferred_values import is_preferred, nearest_preferred
from lidoff.rule import Rule

RULE = Rule(
    id="preferred-value",
    title="A chip resistor has a value of an E series",
    severity="note",
    scope="record",
    why=(
        "Chip resistors are sold in the values of the series up to E192. Another value is most often a measured one "
        "or a slip of a digit. Links of 0 Ω, values below 0.1 Ω and shunts below 1 Ω are left out: they are also made "
        "in whole and half milliohms. It is a reason to look: special values exist."
    ),
    formula="resistance in E24 or E192, in any decade",
    source="IEC 60063, tables of the E series (from memory; equal to the package eseries 1.2.1)",
)

SHUNT_BELOW_OHM, SMALL_OHM = 1.0, 0.1
NO_FIXED_VALUE = frozenset({"thermistor", "inrush-thermistor", "varistor"})


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for chip resistors of unusual value."""
    for place, part in enumerate(subject.record.components):
        value = part.ratings.resistance_ohm if part.ratings is not None else None
        if value is None or part.package is None or not CHIP.match(part.package):
            continue
        smallest = SHUNT_BELOW_OHM if "current-sense-resistor" in part.roles else SMALL_OHM
        if value < smallest or not NO_FIXED_VALUE.isdisjoint(part.roles) or is_in_a_series(value):
            continue
        nearest = " or ".join(dict.fromkeys(ohms(nearest_preferred(value, size)) for size in (24, 192)))
        yield Notice(
            field=f"components[{place}].ratings.resistance_ohm",
            found=f"{ohms(value)} for {part.ref}, which is in no E series",
            expected=f"a preferred value, such as {nearest}",
            fix="record the nominal value, as printed or as the nearest preferred one",
            inputs=(value,),
        )


@lru_cache(maxsize=4096)
def is_in_a_series(value: float) -> bool:
    """Whether a value is in E24 or E192; kept, since records use few values again and again."""
    return is_preferred(value, 24) or is_preferred(value, 192)


CHECK = RecordCheck(RULE, run)
