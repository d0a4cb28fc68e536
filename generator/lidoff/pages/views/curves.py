"""Efficiency against load on a page: a chart for each port and mains voltage, the points of sweeps, their files."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from lidoff.entry import Entry
from lidoff.figures.efficiency import NEAR_PCT, Series, fullest, load_pct, series_by_corner
from lidoff.figures.figure import Corner, Figure
from lidoff.figures.points import PointRow, with_sweeps
from lidoff.figures.show import corner_order, corner_text, shown
from lidoff.pages.drawings.efficiency_chart import EfficiencyChart, efficiency_chart
from lidoff.pages.drawings.efficiency_chart import Series as Line
from lidoff.pages.numbers import SPACE, number, quantity
from lidoff.pages.table import Column, Grid
from lidoff.pages.views.log_files import Reading, log_reading, published_names
from lidoff.pages.views.measurements import SWEEP, table
from lidoff.pages.views.readings import efficiency_text
from lidoff.record.model.record import Record

TENTH_PCT = 10.0
TENTH_NOTE = "Efficiency at 10 % load is for information: it is in no average, and nothing is judged by it here."


@dataclass(frozen=True, slots=True)
class SweepView:
    """One sweep: its points and how its file was read."""

    title: str
    points: Grid | None
    reading: Reading


@dataclass(frozen=True, slots=True)
class CurvesView:
    """All charts of efficiency, the average and the point at a tenth of the load beside each other, and all sweeps."""

    charts: tuple[EfficiencyChart, ...]
    summary: Grid | None
    sweeps: tuple[SweepView, ...]


def curves_view(entry: Entry) -> CurvesView:
    """Charts from rows and files alike; what the first sample gave, as in the figures."""
    record = with_sweeps(entry.record, entry.logs)
    corners, figures = series_by_corner(record), entry.figures
    averages = {one.of: one for one in figures.present("average_efficiency_pct")}
    limits = {one.of: one for one in figures.present("efficiency_limit_pct")}
    charts = tuple(_charts(corners, averages, limits))
    return CurvesView(charts, _summary(record, corners, averages), tuple(_sweeps(entry)))


def _summary(record: Record, corners: Mapping[Corner, Series], averages: Mapping[Corner, Figure]) -> Grid | None:
    """For each corner with a point near 10 % load: the average of four loads, and that point."""
    rows = []
    for corner, series in sorted(corners.items(), key=lambda one: corner_order(one[0])):
        points = [row for _, row in fullest(series)]
        near = [row for row in points if abs((load_pct(row) or 0.0) - TENTH_PCT) <= NEAR_PCT and row.input_w > 0]
        if near:
            tenth = efficiency_text(record, min(near, key=lambda row: abs(load_pct(row) - TENTH_PCT)))
            said = shown(averages[corner], SPACE).text if corner in averages else ""
            rows.append((corner_text(corner, SPACE), said, tenth))
    columns = (Column("Of"), Column("Average of four loads", True), Column(f"At 10{SPACE}% load", True))
    return Grid("Average, and at a tenth of the load", columns, tuple(rows), notes=(TENTH_NOTE,)) if rows else None


def _charts(
    corners: Mapping[Corner, Series], averages: Mapping[Corner, Figure], limits: Mapping[Corner, Figure]
) -> Iterator[EfficiencyChart]:
    drawings: dict[tuple[str | None, float | None, float | None], list[tuple[Corner, list[PointRow]]]] = {}
    for corner, series in corners.items():
        # the series with the most loads gives the best line
        drawings.setdefault((corner.port, corner.mains_v, corner.mains_hz), []).append((corner, max(series, key=len)))
    for place, ((port, mains_v, mains_hz), lines) in enumerate(drawings.items(), 1):
        lines.sort(key=lambda one: one[0].output_v or 0.0)
        lines = [_line(corner, rows, averages.get(corner), limits.get(corner)) for corner, rows in lines]
        title = f"Efficiency of port {port} at {quantity(mains_v, 'V')} {quantity(mains_hz, 'Hz')} mains"
        chart = efficiency_chart(str(place), title, lines)
        if chart is not None:
            yield chart


def _line(corner: Corner, rows: list[PointRow], average: Figure | None, limit: Figure | None) -> Line:
    points = tuple(
        (load, 100 * row.output_v * row.output_a / row.input_w)
        for _, row in rows
        if (load := load_pct(row)) is not None and row.input_w > 0
    )
    bases = {row.load_base_a for _, row in rows}
    base = bases.pop() if len(bases) == 1 else None
    voltage = quantity(corner.output_v, "V")
    name = voltage if base is None else f"{voltage}, 100{SPACE}% is {quantity(base, 'A')}"
    judged = (average.value, limit.value) if average and limit else (None, None)
    return Line(voltage, name, points, *judged)


def _sweeps(entry: Entry) -> Iterator[SweepView]:
    names, measured = published_names(entry), entry.record.measured
    for place, row in enumerate(measured.efficiency_sweeps if measured else ()):
        at = f"measured.efficiency_sweeps[{place}]"
        if at in entry.logs:
            result = entry.logs[at]
            title = f"Sweep at port {row.port}: {number(len(result.points))} points"
            kind = replace(SWEEP, caption=title)
            yield SweepView(title, table(result.points, kind, entry.record), log_reading(at, result, names))
