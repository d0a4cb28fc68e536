"""Measured values of a record that tables compare, each picked by one stated rule."""

from lidoff.engineering.statistics_robust import median
from lidoff.entry import Entry
from lidoff.figures.efficiency import NEAR_PCT, load_pct, points_by_corner
from lidoff.figures.points import with_sweeps
from lidoff.record.sketch import Opened, Readable

EUROPEAN_MAINS_V = (220.0, 230.0, 240.0)
MEASURED_COLUMNS = ("efficiency_full_load_pct", "efficiency_tenth_load_pct", "sustained_pct")
HOW_EFFICIENCY_IS_PICKED = (
    "One value a product: at 220 to 240 V mains, at the highest output voltage measured, within "
    f"{NEAR_PCT:g} points of the load; measurements behind a cable are left out. One unit each, different instruments."
)


def measured_row(entry: Entry, opened: Opened) -> dict[str, float | None]:
    """The measured columns of the frame of products; ``opened`` is the entry's record."""
    whole = with_sweeps(entry.record, entry.logs) if entry.logs else opened
    return {
        "efficiency_full_load_pct": efficiency_at(whole, 100.0),
        "efficiency_tenth_load_pct": efficiency_at(whole, 10.0),
        "sustained_pct": sustained_share(entry),
    }


def efficiency_at(record: Readable, wanted_pct: float) -> float | None:
    """Efficiency at a load [%], picked as `HOW_EFFICIENCY_IS_PICKED` says; the median where several points are left."""
    found = [
        (corner.output_v, 100 * row.output_v * row.output_a / row.input_w)
        for corner, rows in points_by_corner(record).items()
        for _, row in rows
        if corner.mains_v in EUROPEAN_MAINS_V
        and row.input_w > 0
        and row.measured_at != "cable-end"
        and _is_near(load_pct(row), wanted_pct)
    ]
    if not found:
        return None
    highest = max(output_v for output_v, _ in found)
    return median([value for output_v, value in found if output_v == highest])


def sustained_share(entry: Entry) -> float | None:
    """The largest power that was kept up, over the rated power [%]."""
    rated = entry.sketch.product.rated_power_w
    kept = [figure.value for figure in entry.figures.present("sustained_power_w")]
    return 100 * max(kept) / rated if kept and rated else None


def _is_near(found_pct: float | None, wanted_pct: float) -> bool:
    return found_pct is not None and abs(found_pct - wanted_pct) <= NEAR_PCT
