"""The bulk bus: its capacitors, whether a boost stage feeds it, its highest and lowest voltage, the power it gives."""

from collections.abc import Iterable

from lidoff.engineering.bulk_capacitor import bus_valley, peak_voltage
from lidoff.engineering.bus_power import input_power
from lidoff.engineering.capacitor_network import parallel_capacitance, series_capacitance
from lidoff.engineering.mains_voltage import highest_mains_voltage, lowest_mains_voltage
from lidoff.engineering.power_factor_stage import boost_stress
from lidoff.engineering.voltage_margin import series_string_rating
from lidoff.figures.assumptions import Assumptions
from lidoff.figures.full_load import full_load_efficiency
from lidoff.figures.known import Absent, Known, computed, read, resting_on
from lidoff.figures.label import high_line, label_input, rated_power
from lidoff.record.model import Record
from lidoff.record.model.component import Component

BULK = "bulk-capacitor"
LOW_LINE_BULK = "low-line-bulk-capacitor"
LOW_LINE_V = 115.0
BOOST = frozenset(("boost-critical", "boost-continuous", "boost-interleaved", "boost", "totem-pole"))
BOOST_ROLES = frozenset(("pfc-controller", "pfc-switch", "pfc-diode", "pfc-inductor"))
BOOSTED = "a boost stage holds the bus, so it has no valley of the mains half wave"
REACHES_ZERO = "the bus reaches zero: in this model the capacitor cannot carry rated power to the next half wave"
_CAPACITANCES = (("capacitance_uf", "µF", 1e6), ("capacitance_nf", "nF", 1e9), ("capacitance_pf", "pF", 1e12))

Part = tuple[int, Component]


def with_role(record: Record, role: str) -> list[Part]:
    """The components of a role, each with its place in the list."""
    return [(place, part) for place, part in enumerate(record.components) if role in part.roles]


def quantity(place: int, part: Component) -> tuple[int, tuple[Known, ...]]:
    """How many equal parts a line stands for, and the field that says so where it is not one."""
    count = part.quantity or 1
    return count, (read(f"components[{place}].quantity", count, "1"),) if count > 1 else ()


def capacitance_of(place: int, part: Component) -> Known:
    """Capacitance of one part."""
    for key, unit, per_si in _CAPACITANCES:
        value = getattr(part.ratings, key, None)
        if value is not None:
            return read(f"components[{place}].ratings.{key}", value, unit, per_si)
    raise Absent(f"the capacitance of {part.ref} is not recorded")


def branches(parts: Iterable[Part]) -> tuple[list[list[float]], list[Known]]:
    """Capacitances as parallel branches of series strings, with what they rest on."""
    strings: dict[str, list[float]] = {}
    parallel: list[list[float]] = []
    rests_on: list[Known] = []
    for place, part in parts:
        one = capacitance_of(place, part)
        count, counted = quantity(place, part)
        rests_on += (one, *counted)
        if part.series_string:
            strings.setdefault(part.series_string, []).extend([one.value] * count)
        else:
            parallel += [[one.value]] * count
    return parallel + list(strings.values()), rests_on


def bulk_capacitance(record: Record, low_line: bool = False) -> Known:
    """Capacitance of the bus; that at low mains voltage counts the parts that are switched in only there."""
    parts = with_role(record, BULK)
    if not parts:
        raise Absent("no bulk capacitor is recorded")
    strings, rests_on = branches(parts + (with_role(record, LOW_LINE_BULK) if low_line else []))
    return resting_on(computed(parallel_capacitance, [computed(series_capacitance, one) for one in strings]), rests_on)


def has_low_line_part(record: Record) -> bool:
    """Whether a bulk capacitor is switched in at low mains voltage only."""
    return bool(with_role(record, LOW_LINE_BULK))


def bulk_rating(record: Record) -> Known:
    """Voltage at which the first bulk capacitor reaches its rating; those for low mains voltage are left out."""
    strings: dict[str, list[Part]] = {}
    parts = with_role(record, BULK)
    if not parts:
        raise Absent("no bulk capacitor is recorded")
    for place, part in parts:
        strings.setdefault(part.series_string or f"alone {place}", []).append((place, part))
    return min((_string_rating(one) for one in strings.values()), key=lambda rating: rating.value)


def _string_rating(parts: list[Part]) -> Known:
    ratings: list[float] = []
    rests_on: list[Known] = []
    for place, part in parts:
        if part.ratings is None or part.ratings.voltage_v is None:
            raise Absent(f"the rated voltage of {part.ref} is not recorded")
        count, counted = quantity(place, part) if part.series_string else (1, ())
        one = read(f"components[{place}].ratings.voltage_v", part.ratings.voltage_v, "V")
        ratings += [one.value] * count
        rests_on += (one, *counted)
    if len(ratings) > 1 and len({capacitance_of(place, part).value for place, part in parts}) > 1:
        raise Absent("unequal bulk capacitors in series: how the voltage divides is not known")
    return resting_on(computed(series_string_rating, ratings), rests_on)


def is_boosted(record: Record) -> bool:
    """Whether a boost stage feeds the bus: as concluded, else as the parts show where all main parts are listed."""
    pfc = record.conversion.pfc if record.conversion else None
    if pfc in BOOST:
        return True
    if pfc in ("none", "passive"):
        return False
    if pfc != "undetermined":
        if any(BOOST_ROLES.intersection(part.roles) for part in record.components):
            return True
        if record.components and record.coverage is not None and record.coverage.parts in ("every", "main"):
            return False
    raise Absent("it is not recorded whether a boost stage feeds the bulk capacitor")


def bus_peak(record: Record, assumptions: Assumptions) -> Known:
    """Highest voltage of the bus: the crest of the highest mains voltage, or the bus of a boost stage if higher."""
    mains = high_line(record, assumptions)
    if not is_boosted(record):
        return resting_on(computed(peak_voltage, mains.value), (mains,), function=peak_voltage)
    bus = boost_bus(record, assumptions)
    peak = computed(boost_stress, bus.value, mains.value)
    # the mains counts only where its crest is above the bus
    return resting_on(peak, (bus,) if peak == bus.value else (bus, mains), function=boost_stress)


def boost_bus(record: Record, assumptions: Assumptions) -> Known:
    """Bus voltage behind a boost stage."""
    if record.conversion is not None and record.conversion.bus_v is not None:
        return read("conversion.bus_v", record.conversion.bus_v, "V")
    return assumptions.known("boost_bus_v")


def power_from_bus(record: Record, assumptions: Assumptions, mains_v: float) -> Known:
    """Power that the converter takes from the bus at rated output."""
    power, efficiency = rated_power(record), full_load_efficiency(record, assumptions, mains_v)
    return resting_on(computed(input_power, power.value, efficiency.value), (power, efficiency))


def bridge_drop(record: Record, assumptions: Assumptions) -> Known:
    """Drop of both bridge diodes in the path."""
    for place, part in with_role(record, "bridge-rectifier"):
        if part.ratings is not None and part.ratings.forward_v is not None:
            # stated for one diode; two conduct
            return read(f"components[{place}].ratings.forward_v", part.ratings.forward_v, "V", per_si=1 / 2)
    return assumptions.known("bridge_drop_v")


def valley(
    record: Record, assumptions: Assumptions, mains_v: float, mains_hz: float, capacitance: Known | None = None
) -> Known:
    """Lowest bus voltage of a half wave at rated power; ``capacitance`` is that of the bus at low mains voltage."""
    capacitance = capacitance or bulk_capacitance(record, low_line=True)
    if is_boosted(record):
        raise Absent(BOOSTED)
    _require_labelled(record, assumptions, mains_v)
    power, drop = power_from_bus(record, assumptions, mains_v), bridge_drop(record, assumptions)
    found = computed(bus_valley, power.value, capacitance.value, mains_v, mains_hz, drop.value)
    if found is None:
        raise Absent(REACHES_ZERO)
    return resting_on(found.valley_voltage, (capacitance, power, drop))


def _require_labelled(record: Record, assumptions: Assumptions, mains_v: float) -> None:
    """Refuse a mains voltage that lies outside the labelled range and its tolerance."""
    labelled, tolerance = label_input(record), assumptions.known("mains_tolerance_pct").value
    low, high = labelled.voltage_min_v, labelled.voltage_max_v
    if low is not None and mains_v < computed(lowest_mains_voltage, low, tolerance):
        raise Absent(f"{mains_v:g} V lies below the labelled input of {low:g} V")
    if high is not None and mains_v > computed(highest_mains_voltage, high, tolerance):
        raise Absent(f"{mains_v:g} V lies above the labelled input of {high:g} V")
