"""Figures of the bulk capacitor: size, voltages, energy, discharge."""

from collections.abc import Iterator
from functools import cache, partial

from lidoff.engineering.bulk_capacitor import capacitance_per_power, peak_voltage, stored_energy
from lidoff.engineering.mains_discharge import time_to_voltage
from lidoff.engineering.voltage_margin import voltage_margin
from lidoff.figures.assumptions import Assumptions
from lidoff.figures.bus import (
    LOW_LINE_V,
    bulk_capacitance,
    bulk_rating,
    bus_peak,
    has_low_line_part,
    is_boosted,
    quantity,
    valley,
    with_role,
)
from lidoff.figures.figure import Corner, Figure
from lidoff.figures.known import Absent, Known, attempt, computed, read, resting_on
from lidoff.figures.label import rated_power
from lidoff.record.model import Record

VALLEY_CORNERS = ((90.0, 47.0), (100.0, 50.0), (115.0, 60.0))
TOUCHABLE_V = 60.0


def bulk_figures(record: Record, assumptions: Assumptions) -> Iterator[Figure]:
    """Figures of the bulk capacitor; what is switched in at low mains voltage only has figures of its own corner."""
    capacitance, peak = cache(partial(bulk_capacitance, record)), cache(partial(bus_peak, record, assumptions))
    whole = cache(partial(bulk_capacitance, record, low_line=True)) if has_low_line_part(record) else capacitance
    yield from attempt("bulk_capacitance_uf", capacitance)
    yield from attempt("bulk_uf_per_w", lambda: _per_power(capacitance(), rated_power(record)))
    yield from attempt("bulk_peak_v", peak)
    yield from attempt("bulk_voltage_margin_pct", lambda: _margin(bulk_rating(record), peak()))
    for mains_v, mains_hz in VALLEY_CORNERS:
        corner = Corner(mains_v=mains_v, mains_hz=mains_hz)
        at_corner = partial(valley, record, assumptions, mains_v, mains_hz)
        yield from attempt("bulk_valley_v", lambda find=at_corner: find(whole()), corner)
    yield from attempt("stored_energy_j", lambda: _energy(capacitance(), peak()))
    yield from attempt("bleed_time_to_60v_s", lambda: _bleed_time(_bleed_path(record), capacitance(), peak()))
    if whole is not capacitance:
        corner = Corner(mains_v=LOW_LINE_V)
        yield from attempt("bulk_capacitance_uf", whole, corner)
        yield from attempt("bulk_uf_per_w", lambda: _per_power(whole(), rated_power(record)), corner)
        yield from attempt("stored_energy_j", lambda: _energy(whole(), _low_line_crest(record)), corner)


def _per_power(capacitance: Known, power: Known) -> Known:
    return resting_on(computed(capacitance_per_power, capacitance.value, power.value), (capacitance, power))


def _margin(rating: Known, peak: Known) -> Known:
    return resting_on(computed(voltage_margin, rating.value, peak.value), (rating, peak))


def _energy(capacitance: Known, voltage: Known) -> Known:
    return resting_on(computed(stored_energy, capacitance.value, voltage.value), (capacitance, voltage))


def _low_line_crest(record: Record) -> Known:
    """Crest of a nominal low mains voltage."""
    if is_boosted(record):
        raise Absent("a boost stage holds the bus, whatever the mains voltage")
    return Known(computed(peak_voltage, LOW_LINE_V))


def _bleed_time(resistance: Known, capacitance: Known, start: Known) -> Known:
    seconds = computed(time_to_voltage, resistance.value, capacitance.value, start.value, TOUCHABLE_V)
    return resting_on(seconds, (resistance, capacitance, start))


def _bleed_path(record: Record) -> Known:
    """Resistance of the recorded bleed path; several resistors count only where their connection is recorded."""
    parts = with_role(record, "bleed-resistor")
    if not parts:
        raise Absent("no bleed resistor is recorded")
    values: list[float] = []
    rests_on: list[Known] = []
    for place, part in parts:
        if part.ratings is None or part.ratings.resistance_ohm is None:
            raise Absent(f"the resistance of {part.ref} is not recorded")
        count, counted = quantity(place, part)
        one = read(f"components[{place}].ratings.resistance_ohm", part.ratings.resistance_ohm, "Ω")
        values += [one.value] * count
        rests_on += (one, *counted)
    strings = {part.series_string for _, part in parts}
    if len(values) > 1 and (len(strings) > 1 or None in strings):
        raise Absent("several bleed resistors are recorded, but not that they form one series string")
    return resting_on(sum(values), rests_on)
