"""An efficiency sweep in a file -> the same points that a record holds in its own rows."""

import numpy as np

from lidoff.bench.log_report import Oddity, Unreadable, plain, rows, shown
from lidoff.bench.log_table import GRAVE, Table
from lidoff.bench.swept_point import SweptPoint
from lidoff.record.model.electrical import EfficiencySweep

MOST_POINTS = 500
NEEDED = ("mains_v", "mains_hz", "output_v", "output_a", "input_w")
OF_THE_SWEEP = ("mains_v", "mains_hz", "set_v", "load_base_a", "warm_up_min")
WORDS = (
    "port", "measured_at", "input_instrument", "output_instrument", "sample", "instrument", "note"
)  # fmt: skip
MOST = {
    "mains_v": 480.0, "mains_hz": 440.0, "set_v": 50.0, "output_v": 60.0, "output_a": 20.0, "input_w": 2000.0,
    "load_pct": 200.0, "load_base_a": 20.0, "power_factor": 1.0, "cable_mohm": 2000.0, "warm_up_min": 10_000.0,
}  # fmt: skip


def swept_points(sweep: EfficiencySweep, at: str, table: Table) -> tuple[tuple[SweptPoint, ...], tuple[Oddity, ...]]:
    """The points of a sweep, and what was odd; ``at`` is the sweep's field. Raises Unreadable."""
    numbers = dict(table.numbers)
    if len(table.lines) > MOST_POINTS:
        raise Unreadable(
            f"{len(table.lines)} rows", f"one row for each load, at most {MOST_POINTS} together",
            "export the mean of each load and not every reading", int(table.lines[0]),
        )  # fmt: skip
    if "output_w" in numbers and "output_a" not in numbers and "output_v" in numbers:
        power, voltage = numbers.pop("output_w"), numbers["output_v"]
        numbers["output_a"] = np.divide(power, voltage, out=np.full_like(power, np.nan), where=voltage > 0)
    whole = {name: getattr(sweep, name) for name in OF_THE_SWEEP if getattr(sweep, name) is not None}
    _require_columns(numbers, whole, table)
    _require_plausible(numbers, table)
    words = {name: getattr(sweep, name) for name in WORDS if getattr(sweep, name) is not None}
    is_whole = np.logical_and.reduce([np.isfinite(numbers[name]) for name in NEEDED if name in numbers])
    names = [name for name in numbers if name in MOST]
    points = []
    for place in np.flatnonzero(is_whole):
        read = {name: float(numbers[name][place]) for name in names if np.isfinite(numbers[name][place])}
        line = int(table.lines[place])
        points.append(SweptPoint(**{**whole, **words, **read}, at=f"{at}.log[{line}]", line=line))
    if not points:
        fix = "export the sweep again"
        raise Unreadable("no row with all its numbers", "one row for each load", fix, int(table.lines[0]))
    return tuple(points), _left_out(table, is_whole)


def _require_columns(numbers: dict[str, object], whole: dict[str, object], table: Table) -> None:
    missing = [name for name in NEEDED if name not in numbers and name not in whole]
    if missing:
        places = "in the line of the sweep, or as a column" if missing[0].startswith("mains") else "among the columns"
        raise Unreadable(f"no {missing[0]}", f"{missing[0]} {places}", f"add {missing[0]}", max(table.header.line, 1))


def _require_plausible(numbers: dict[str, np.ndarray], table: Table) -> None:
    """Refuse numbers that a record's own rows could not hold either."""
    for name, column in numbers.items():
        is_wrong = (column < 0) | (column > MOST.get(name, np.inf))
        if is_wrong.any():
            place = int(np.flatnonzero(is_wrong)[0])
            raise Unreadable(
                f"{plain(float(column[place]))} for {shown(name)}",
                f"0 to {MOST[name]:g}" if name in MOST else "0 or more",
                "check the column and its unit", int(table.lines[place]),
            )  # fmt: skip


def _left_out(table: Table, is_whole: np.ndarray) -> tuple[Oddity, ...]:
    count = int((~is_whole).sum())
    first = int(table.lines[~is_whole][0]) if count else 0
    if not count or any(odd.line == first for odd in table.oddities):
        return ()
    said = f"{rows(count)} without a number in each of the needed columns, left out"
    return (Oddity(said, first, count > GRAVE * len(is_whole)),)
