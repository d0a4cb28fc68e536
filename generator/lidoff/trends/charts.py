"""The charts of the trend pages by the name of the table that they belong to."""

from collections.abc import Callable, Mapping

import pandas as pd

from lidoff.engineering.trend_line import TrendLine
from lidoff.figures.show import MINUS
from lidoff.trends.bar_chart import bar_chart
from lidoff.trends.canvas import Drawing, Sign
from lidoff.trends.dimensions import DIMENSIONS, spelled
from lidoff.trends.formats import shown
from lidoff.trends.frames import Frames
from lidoff.trends.palette import SHAPES, Fill, fill_of
from lidoff.trends.point_chart import Axes, Line, Words, medians, point_chart, spread_out
from lidoff.trends.positions import PRIMARY_SWITCH
from lidoff.trends.statistics import Trend, trend_over_years
from lidoff.trends.svg import Link
from lidoff.trends.table import Table
from lidoff.trends.tiers import UNKNOWN

DENSITY = "power_density_w_per_cm3"

Draw = Callable[[Frames, Table, Link, str], Drawing | None]


def draw_chart(frames: Frames, table: Table, link: Link, prefix: str = "") -> Drawing | None:
    """The chart of a table, or None where the table has none or there is nothing to draw.

    ``link`` turns an address of the site such as ``/products/b/m/`` into what the page writes; ``prefix`` begins every
    id in the SVG, so that several charts can stand on one page.
    """
    draw = _CHARTS.get(table.name)
    return draw(frames, table, link, prefix or f"chart-{table.name}") if draw else None


def has_chart(name: str) -> bool:
    """Whether a table comes with a chart."""
    return name in _CHARTS


def _bars(dimension: str) -> Draw:
    def draw(frames: Frames, table: Table, link: Link, prefix: str) -> Drawing | None:
        words = DIMENSIONS[dimension].order(frames, [row.key for row in table.rows])
        places = {word: place for place, word in enumerate(dict.fromkeys((*words, *(row.key for row in table.rows))))}
        return bar_chart(table, {row.key: fill_of(row.key, places[row.key]) for row in table.rows}, link, prefix)

    return draw


def density_by_year(frames: Frames, table: Table, link: Link, prefix: str) -> Drawing | None:
    """Power density against the year, by technology of the primary switch."""
    known = frames.products.dropna(subset=["year", DENSITY])
    if known.empty:
        return None
    at, group = known["year"].astype("float64"), known[PRIMARY_SWITCH.field].map(spelled)
    points = pd.DataFrame({
        "slug": known["slug"], "at": at, "y": known[DENSITY], "x": spread_out(known[DENSITY], at, 0.7), "group": group,
    })  # fmt: skip
    facts = [f"{shown(y)} W/cm³, {year:.0f}, {word}" for y, year, word in zip(points["y"], at, group, strict=True)]
    points["words"] = _named(known, facts)
    years = [float(year) for year in range(int(at.min()), int(at.max()) + 1)]
    ends = (years[0] - 0.5, years[-1] + 0.5)
    axes = Axes("year of launch, else of teardown", "W/cm³", tuple(years[:: -(-len(years) // 12)]), ends)
    lines = medians(points, 0.4)
    captions = ["Short lines: medians of years with five products or more."] if lines else []
    trend = trend_over_years(known, DENSITY)
    if trend:
        lines.append(_trend_line(trend.line, ends))
        captions.append(_trend_words(trend))
    signs = _signs([spelled(word) for word in DIMENSIONS[PRIMARY_SWITCH.field].order(frames, ())])
    description = "One mark a product, those of a year side by side; shape and colour show the primary switch."
    words = Words(prefix, "Power density against year", description, " ".join(captions))
    return point_chart(points, signs, axes, lines, words, link)


def bulk_against_power(frames: Frames, table: Table, link: Link, prefix: str) -> Drawing | None:
    """Bulk capacitance per watt against rated power, with and without a boost stage."""
    known = frames.products.dropna(subset=["rated_power_w", "bulk_uf_per_w"])
    if known.empty:
        return None
    points = pd.DataFrame({
        "slug": known["slug"], "at": known["rated_power_w"], "x": known["rated_power_w"], "y": known["bulk_uf_per_w"],
        "group": known["pfc"].map(_boost_stage),
    })  # fmt: skip
    points["words"] = _named(
        known,
        [
            f"{shown(y)} µF/W at {x:g} W, {group}"
            for x, y, group in zip(points["x"], points["y"], points["group"], strict=True)
        ],
    )
    lowest, highest = (float(bound) for bound in (known["rated_power_w"].min(), known["rated_power_w"].max()))
    ends = (0.8 * min(lowest, frames.tiers_w[0]), 1.2 * max(highest, frames.tiers_w[-1]))
    marks = (*(power for power in (5.0, 10.0) if ends[0] <= power < frames.tiers_w[0]), *frames.tiers_w)
    axes = Axes(
        "rated power [W], logarithmic; marks from the first tier on are limits of tiers", "µF/W", marks, ends, "log"
    )
    description = "One mark a product; shape and colour show whether a boost stage feeds the bulk capacitor."
    words = Words(prefix, "Bulk capacitance per watt against rated power", description, "")
    return point_chart(points, _signs(["no boost stage", "boost stage", UNKNOWN]), axes, (), words, link)


def _trend_line(line: TrendLine, ends: tuple[float, float]) -> Line:
    heights = tuple(line.intercept + line.slope * end for end in ends)
    return Line(ends, heights, is_dashed=True)


def _trend_words(trend: Trend) -> str:
    slopes = [_signed(slope) for slope in (trend.line.slope, trend.line.slope_low, trend.line.slope_high)]
    interval = f"95 % interval {slopes[1]} to {slopes[2]}"
    return f"Dashed: Theil–Sen line over {trend.basis}, {slopes[0]} W/cm³ a year ({interval})."


def _signed(value: float) -> str:
    return f"{value:+.3f}".replace("-", MINUS)


def _boost_stage(word: str | None) -> str:
    if word is None or word == "undetermined":
        return UNKNOWN
    return "no boost stage" if word in ("none", "passive") else "boost stage"


def _signs(labels: list[str]) -> list[Sign]:
    """One colour and shape a group; a pattern would be lost on a small mark."""
    fills = [fill_of(label, place) for place, label in enumerate(labels)]
    solid = [Fill(fill.colour, outline=fill.outline) for fill in fills]
    return [
        Sign(label, fill, SHAPES[place % len(SHAPES)])
        for place, (label, fill) in enumerate(zip(labels, solid, strict=True))
    ]


def _named(products: pd.DataFrame, facts: list[str]) -> list[str]:
    """Brand and model in front of what a mark shows."""
    return [
        f"{brand} {model}: {fact}"
        for brand, model, fact in zip(products["brand"], products["model"], facts, strict=True)
    ]


_CHARTS: Mapping[str, Draw] = {
    "technology-by-tier": _bars(PRIMARY_SWITCH.field),
    "topology-by-tier": _bars("topology"),
    "pfc-by-tier": _bars("pfc"),
    "technology-by-year": _bars(PRIMARY_SWITCH.field),
    "density-by-tier": density_by_year,
    "density-by-year": density_by_year,
    "bulk-by-tier": bulk_against_power,
}
