"""Average efficiency as measured, and the published limits where the measurement is that of the test procedure."""

from collections.abc import Iterator, Mapping

from lidoff.engineering.combined_uncertainty import mean_uncertainty, ratio_uncertainty
from lidoff.engineering.supply_efficiency import TEST_LOADS, average_efficiency
from lidoff.figures.figure import Corner, Figure
from lidoff.figures.full_load import PointRow, output_and_input
from lidoff.figures.known import Absent, Known, absent, computed, figure, resting_on
from lidoff.figures.procedure import NOT_JUDGED, efficiency_minimum, no_load_maximum
from lidoff.figures.rows import (
    NOMINAL_MAINS_HZ,
    NOMINAL_MAINS_V,
    measured,
    nominal,
    of_first_sample,
    reading_uncertainty,
)
from lidoff.record.model import Record
from lidoff.record.model.electrical import EfficiencyPoint, NoLoad

Groups = Mapping[Corner, list[PointRow]]

OUTPUT_V = (5.0, 9.0, 12.0, 15.0, 20.0, 28.0, 36.0, 48.0)
LOADS_PCT = tuple(100 * load for load in TEST_LOADS)
NEAR_PCT = 2.5
SAME_INSTRUMENT = 1.0
"""Correlation of the four efficiencies: the same instruments' errors move all of them alike."""
NO_POINTS = "no efficiency points are recorded"
MORE_OUT_THAN_IN = "a measured output power is not below the input power, which only a fault of measurement explains"


def efficiency_figures(record: Record, groups: Groups) -> Iterator[Figure]:
    """Average efficiency and its limit at each port, mains and voltage; the no-load limit at each mains."""
    if not groups:
        yield absent("average_efficiency_pct", NO_POINTS)
        yield absent("efficiency_limit_pct", f"{NOT_JUDGED} {NO_POINTS}")
    for corner, rows in groups.items():
        yield from _average_and_limit(record, corner, rows)
    yield from _no_load_limits(record)


def points_by_corner(record: Record) -> Groups:
    """Efficiency rows by port, nominal mains and nominal output voltage, in each corner those of one sample."""
    labelled = {
        port.id: tuple(offer.voltage_v for offer in port.label if offer.kind == "fixed" and offer.voltage_v is not None)
        for port in record.ports
    }
    corners: dict[Corner, list[PointRow]] = {}
    for place, row in enumerate(measured(record).efficiency):
        corners.setdefault(_corner(row, labelled.get(row.port, ())), []).append((place, row))
    return {corner: of_first_sample(record, rows) for corner, rows in corners.items()}


def _corner(row: EfficiencyPoint, labelled: tuple[float, ...]) -> Corner:
    """What an efficiency row was set to."""
    output_v = nominal(row.output_v, (*labelled, *OUTPUT_V), tolerance=0.075) if row.set_v is None else row.set_v
    return Corner(row.port, nominal(row.mains_v, NOMINAL_MAINS_V), nominal(row.mains_hz, NOMINAL_MAINS_HZ), output_v)


def load_pct(row: EfficiencyPoint) -> float | None:
    """Load as a percentage of its base, None where no base is recorded."""
    if row.load_pct is not None:
        return row.load_pct
    return 100 * row.output_a / row.load_base_a if row.load_base_a else None


def _average_and_limit(record: Record, corner: Corner, rows: list[PointRow]) -> Iterator[Figure]:
    try:
        four = _four_loads(rows)
        average = _average(record, four)
    except Absent as reason:
        yield absent("average_efficiency_pct", str(reason), corner)
        yield absent("efficiency_limit_pct", f"{NOT_JUDGED} {reason}", corner)
        return
    yield figure("average_efficiency_pct", average, corner)
    try:
        limit, source = efficiency_minimum(record, corner, [row for _, row in four])
        yield figure("efficiency_limit_pct", limit, corner, source=source)
    except Absent as reason:
        yield absent("efficiency_limit_pct", f"{NOT_JUDGED} {reason}", corner)


def _four_loads(rows: list[PointRow]) -> list[PointRow]:
    """The rows at 100, 75, 50 and 25 %, the nearest where there are several."""
    loads = [(load_pct(row), place, row) for place, row in rows]
    if all(load is None for load, _, _ in loads):
        raise Absent("it is not recorded which load the points stand for")
    four = []
    for wanted in LOADS_PCT:
        near = [one for one in loads if one[0] is not None and abs(one[0] - wanted) <= NEAR_PCT]
        if near:
            _, place, row = min(near, key=lambda one: abs(one[0] - wanted))
            four.append((place, row))
    if len(four) < len(LOADS_PCT):
        found = ", ".join(f"{load:g}" for load in sorted(round(load) for load, _, _ in loads if load is not None))
        raise Absent(f"the average needs points at 25, 50, 75 and 100 % load, found {found} %")
    return four


def _average(record: Record, four: list[PointRow]) -> Known:
    parts: list[Known] = []
    powers: list[tuple[float, float]] = []
    spreads: list[float | None] = []
    for place, row in four:
        voltage, current, taken = output_and_input(place, row)
        given = voltage.value * current.value
        if given >= taken.value:
            raise Absent(MORE_OUT_THAN_IN)
        parts += (voltage, current, taken)
        powers.append((given, taken.value))
        spreads.append(_efficiency_uncertainty(record, row, given))
    average = computed(average_efficiency, powers)
    known = [spread for spread in spreads if spread is not None]
    return resting_on(average, parts, mean_uncertainty(known, SAME_INSTRUMENT) if len(known) == len(spreads) else None)


def power_uncertainties(record: Record, row: EfficiencyPoint, given: float) -> tuple[float, float] | None:
    """Standard uncertainties of output and input power, None where one of the two power meters is not recorded."""
    output = reading_uncertainty(record, row.output_instrument or row.instrument, "power", given)
    taken = reading_uncertainty(record, row.input_instrument or row.instrument, "power", row.input_w)
    return None if output is None or taken is None else (output, taken)


def _efficiency_uncertainty(record: Record, row: EfficiencyPoint, given: float) -> float | None:
    spreads = power_uncertainties(record, row, given)
    return None if spreads is None else ratio_uncertainty(given, spreads[0], row.input_w, spreads[1])


def no_load_corner(row: NoLoad) -> Corner:
    """The nominal mains of a no-load row, which is the corner of its limit."""
    mains_hz = None if row.mains_hz is None else nominal(row.mains_hz, NOMINAL_MAINS_HZ)
    return Corner(mains_v=nominal(row.mains_v, NOMINAL_MAINS_V), mains_hz=mains_hz)


def _no_load_limits(record: Record) -> Iterator[Figure]:
    rows = list(enumerate(measured(record).no_load))
    if not rows:
        yield absent("no_load_limit_w", f"{NOT_JUDGED} no no-load power is recorded")
    corners: dict[Corner, list] = {}
    for place, row in rows:
        corners.setdefault(no_load_corner(row), []).append((place, row))
    for corner, found in corners.items():
        _, row = of_first_sample(record, found)[0]
        try:
            limit, source = no_load_maximum(record, row)
            yield figure("no_load_limit_w", limit, corner, source=source)
        except Absent as reason:
            yield absent("no_load_limit_w", f"{NOT_JUDGED} {reason}", corner)
