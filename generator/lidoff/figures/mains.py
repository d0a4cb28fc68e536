"""Figures of the mains side: current in operation, at switch-on, and through the Y capacitors."""

from collections.abc import Iterator

from lidoff.engineering.mains_current import inrush_peak, mains_current, touch_current_bound
from lidoff.figures.assumptions import Assumptions
from lidoff.figures.bus import branches, is_boosted, with_role
from lidoff.figures.figure import Corner, Figure
from lidoff.figures.full_load import full_load_efficiency, full_load_power_factor
from lidoff.figures.known import Absent, Known, attempt, computed, read, resting_on
from lidoff.figures.label import high_line, highest_frequency, lowest_labelled, rated_power
from lidoff.record.model import Record

# where a part sits in the path of the inrush current, and the field that holds its resistance when cold
SERIES_PARTS = (("inrush-thermistor", "cold_resistance_ohm"), ("fusible-resistor", "resistance_ohm"))


def mains_figures(record: Record, assumptions: Assumptions) -> Iterator[Figure]:
    """Figures of the mains side."""
    lowest = lowest_labelled(record, assumptions)
    yield from attempt("mains_current_a", lambda: _current(record, assumptions, lowest), Corner(mains_v=lowest.value))
    yield from attempt("y_touch_current_ua", lambda: _touch_current(record, assumptions))
    yield from attempt("inrush_peak_a", lambda: _inrush(record, assumptions))


def _current(record: Record, assumptions: Assumptions, mains: Known) -> Known:
    power = rated_power(record)
    efficiency = full_load_efficiency(record, assumptions, mains.value)
    power_factor = full_load_power_factor(record, mains.value) or _assumed_power_factor(record, assumptions)
    parts = (power, efficiency, power_factor, mains)
    return resting_on(computed(mains_current, *(part.value for part in parts)), parts)


def _assumed_power_factor(record: Record, assumptions: Assumptions) -> Known:
    if record.conversion is not None and record.conversion.pfc == "passive":
        raise Absent("no power factor near rated load is recorded, and passive correction leaves it open")
    return assumptions.known("power_factor_boost" if is_boosted(record) else "power_factor_uncorrected")


def _touch_current(record: Record, assumptions: Assumptions) -> Known:
    """Upper bound through the capacitors to the output; those to protective earth stand apart."""
    parts = with_role(record, "y-capacitor")
    if not parts:
        raise Absent("no Y capacitor is recorded")
    unknown = [part.ref for _, part in parts if part.across is None]
    if unknown and record.product.protection_class != "ii":
        raise Absent(f"what {unknown[0]} bridges is not recorded, nor that there is no protective earth")
    bridging = [(place, part) for place, part in parts if part.across in ("primary-secondary", None)]
    if not bridging:
        raise Absent("the recorded Y capacitors lead to protective earth or the case, none to the output")
    strings, rests_on = branches(bridging)
    mains, frequency = high_line(record, assumptions), highest_frequency(record, assumptions)
    current = computed(touch_current_bound, strings, mains.value, frequency.value)
    return resting_on(current, (*rests_on, mains, frequency))


def _inrush(record: Record, assumptions: Assumptions) -> Known:
    rests_on: list[Known] = []
    total = 0.0
    for role, key in SERIES_PARTS:
        for place, part in with_role(record, role):
            resistance = getattr(part.ratings, key, None)
            if resistance is None:
                kind = "cold resistance" if key == "cold_resistance_ohm" else "resistance"
                raise Absent(f"the {kind} of {part.ref} is not recorded")
            if part.quantity not in (None, 1):
                raise Absent(f"{part.ref} stands for {part.quantity} parts, and how they are connected is not recorded")
            rests_on.append(read(f"components[{place}].ratings.{key}", resistance, "Ω"))
            total += resistance
    if not rests_on:
        raise Absent("no series resistance of the mains input is recorded")
    mains = high_line(record, assumptions)
    return resting_on(computed(inrush_peak, mains.value, total), (*rests_on, mains))
