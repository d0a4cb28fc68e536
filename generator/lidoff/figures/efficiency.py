"""Average efficiency as measured, and the published limits where the measurement is that of the test procedure."""

from collections.abc import Iterator, Mapping

from lidoff.engineering.combined_uncertainty import mean_uncertainty
from lidoff.engineering.supply_efficiency import TEST_LOADS, average_efficiency
from lidoff.figures.assumptions import Assumptions
from lidoff.figures.figure import Corner, Figure
from lidoff.figures.full_load import output_and_input
from lidoff.figures.known import Absent, Known, absent, computed, figure, resting_on
from lidoff.figures.meters import SHARED_ERROR, power_spread
from lidoff.figures.points import PointRow, series_of
from lidoff.figures.procedure import NOT_JUDGED, efficiency_minimum, no_load_maximum
from lidoff.figures.rows import NOMINAL_MAINS_HZ, NOMINAL_MAINS_V, measured, nominal, of_first_sample
from lidoff.record.model import Record
from lidoff.record.model.electrical import EfficiencyPoint, NoLoad

Groups = Mapping[Corner, list[PointRow]]
Series = list[list[PointRow]]

OUTPUT_V = (5.0, 9.0, 12.0, 15.0, 20.0, 28.0, 36.0, 48.0)
LOADS_PCT = tuple(100 * load for load in TEST_LOADS)
NEAR_PCT = 2.5
SAME_INSTRUMENT = 1.0
"""Correlation of the four efficiencies: the same instruments' errors move all of them alike."""
NO_POINTS = "no efficiency points are recorded"
MORE_OUT_THAN_IN = "a measured output power is not below the input power, which only a fault of measurement explains"


def efficiency_figures(record: Record, groups: Groups, assumptions: Assumptions) -> Iterator[Figure]:
    """Average efficiency and its limit at each port, mains and voltage; the no-load limit at each mains."""
    if not groups:
        yield absent("average_efficiency_pct", NO_POINTS)
        yield absent("efficiency_limit_pct", f"{NOT_JUDGED} {NO_POINTS}")
    for corner, rows in groups.items():
        yield from _average_and_limit(record, corner, rows, assumptions)
    yield from _no_load_limits(record)


def points_by_corner(record: Record) -> Groups:
    """Efficiency rows by port, nominal mains and nominal output voltage, in each corner those of one sample.

    Points are never put together from several sweeps: of those of a corner the first with all four loads counts, else
    the longest.
    """
    return {corner: fullest(series) for corner, series in series_by_corner(record).items()}


def fullest(series: Series) -> list[PointRow]:
    """The series of a corner that counts: the first with all four loads, else the longest."""
    return max(series, key=_completeness)


def series_by_corner(record: Record) -> dict[Corner, Series]:
    """All series of the first sample in each corner: the record's own rows, then each sweep in a file."""
    labelled = {
        port.id: tuple(offer.voltage_v for offer in port.label if offer.kind == "fixed" and offer.voltage_v is not None)
        for port in record.ports
    }
    corners: dict[Corner, list[PointRow]] = {}
    for place, row in enumerate(measured(record).efficiency):
        corners.setdefault(_corner(row, labelled.get(row.port, ())), []).append((place, row))
    return {corner: series_of(of_first_sample(record, rows)) for corner, rows in corners.items()}


def _completeness(rows: list[PointRow]) -> tuple[bool, int]:
    loads = [load for _, row in rows if (load := load_pct(row)) is not None]
    has_all = all(any(abs(load - wanted) <= NEAR_PCT for load in loads) for wanted in LOADS_PCT)
    return has_all, 0 if has_all else len(rows)


def _corner(row: EfficiencyPoint, labelled: tuple[float, ...]) -> Corner:
    """What an efficiency row was set to."""
    output_v = nominal(row.output_v, (*labelled, *OUTPUT_V), tolerance=0.075) if row.set_v is None else row.set_v
    return Corner(row.port, nominal(row.mains_v, NOMINAL_MAINS_V), nominal(row.mains_hz, NOMINAL_MAINS_HZ), output_v)


def load_pct(row: EfficiencyPoint) -> float | None:
    """Load as a percentage of its base, None where no base is recorded."""
    if row.load_pct is not None:
        return row.load_pct
    return 100 * row.output_a / row.load_base_a if row.load_base_a else None


def _average_and_limit(
    record: Record, corner: Corner, rows: list[PointRow], assumptions: Assumptions
) -> Iterator[Figure]:
    try:
        four = _four_loads(rows)
        average = _average(record, four, assumptions)
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


def _average(record: Record, four: list[PointRow], assumptions: Assumptions) -> Known:
    parts: list[Known] = []
    powers: list[tuple[float, float]] = []
    shared = assumptions.known(SHARED_ERROR)
    spreads = []
    for place, row in four:
        voltage, current, taken = output_and_input(place, row)
        given = voltage.value * current.value
        if given >= taken.value:
            raise Absent(MORE_OUT_THAN_IN)
        parts += (voltage, current, taken)
        powers.append((given, taken.value))
        spreads.append(power_spread(record, row, shared.value))
    average = computed(average_efficiency, powers)
    if None in spreads:
        return resting_on(average, parts)
    each = [one.of_efficiency(row, shared.value) for one, (_, row) in zip(spreads, four, strict=True)]
    parts += [shared] if any(one.is_one_meter for one in spreads) else []
    return resting_on(average, parts, mean_uncertainty(each, SAME_INSTRUMENT))


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
