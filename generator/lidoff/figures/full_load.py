"""What was measured near rated load: efficiency and power factor, else what is assumed of them."""

from collections.abc import Iterator

from lidoff.engineering.supply_efficiency import operating_point
from lidoff.figures.assumptions import Assumptions
from lidoff.figures.known import Known, computed, read, resting_on
from lidoff.figures.label import rated_power_w
from lidoff.figures.points import PointRow, point_field
from lidoff.figures.rows import measured, of_first_sample
from lidoff.record.model import Record
from lidoff.record.model.electrical import EfficiencyPoint

NEAR_RATED = 0.9
HIGH_RANGE_FROM_V = 150.0


def same_range(mains_v: float, other_v: float) -> bool:
    """Whether two mains voltages belong to the same of the two ranges, 100 V to 127 V and 200 V to 240 V."""
    return (mains_v < HIGH_RANGE_FROM_V) == (other_v < HIGH_RANGE_FROM_V)


def output_and_input(place: int, row: EfficiencyPoint) -> tuple[Known, Known, Known]:
    """Output voltage, output current and input power of an efficiency row."""
    at = point_field(place, row)
    return (
        read(f"{at}.output_v", row.output_v, "V"),
        read(f"{at}.output_a", row.output_a, "A"),
        read(f"{at}.input_w", row.input_w, "W"),
    )


def full_load_efficiency(record: Record, assumptions: Assumptions, mains_v: float) -> Known:
    """Efficiency near rated output in the same mains range as ``mains_v``, measured or assumed."""
    rows = of_first_sample(record, _full_load_points(record, mains_v))
    # the nearest mains first, and the highest load there
    for place, row in sorted(rows, key=lambda one: (abs(one[1].mains_v - mains_v), -one[1].output_v * one[1].output_a)):
        parts = output_and_input(place, row)
        efficiency = computed(operating_point, *(part.value for part in parts)).efficiency
        if 0 < efficiency < 1:
            return resting_on(efficiency, parts)
    return assumptions.known("converter_efficiency")


def full_load_power_factor(record: Record, mains_v: float) -> Known | None:
    """Power factor measured near rated output in the same mains range, None where none was."""
    found = [
        (abs(row.mains_v - mains_v), read(f"{point_field(place, row)}.power_factor", row.power_factor, "1"))
        for place, row in of_first_sample(record, _full_load_points(record, mains_v))
        if row.power_factor
    ]
    rows = of_first_sample(record, enumerate(measured(record).power_factor))
    found += [
        (abs(row.mains_v - mains_v), read(f"measured.power_factor[{place}].power_factor", row.power_factor, "1"))
        for place, row in rows
        if row.power_factor and same_range(row.mains_v, mains_v) and is_near_rated(record, row.output_w)
    ]
    return min(found, key=lambda near: near[0])[1] if found else None


def _full_load_points(record: Record, mains_v: float) -> Iterator[PointRow]:
    rated = rated_power_w(record)
    if rated is None:
        return
    for place, row in enumerate(measured(record).efficiency):
        near = row.output_v * row.output_a >= NEAR_RATED * rated
        if near and row.input_w > 0 and same_range(row.mains_v, mains_v):
            yield place, row


def is_near_rated(record: Record, output_w: float) -> bool:
    """Whether an output power is near the rated one; it is not where no rated power is recorded."""
    rated = rated_power_w(record)
    return rated is not None and output_w >= NEAR_RATED * rated
