"""The charts of the trend pages by the name of the table that they belong to."""

from collections.abc import Callable, Mapping

import pandas as pd
import vl_convert

from lidoff.engineering.trend_line import TrendLine
from lidoff.figures.show import MINUS
from lidoff.rows.positions import PRIMARY_SWITCH, UNDETERMINED
from lidoff.rows.tiers import NOT_STATED, UNKNOWN, tier_text
from lidoff.trends.adoption_chart import adoption_chart
from lidoff.trends.bar_chart import bar_chart
from lidoff.trends.canvas import Drawing, Sign, Sketch
from lidoff.trends.dimensions import DIMENSIONS, spelled
from lidoff.trends.formats import shown
from lidoff.trends.frames import Frames
from lidoff.trends.heat_chart import heat_chart
from lidoff.trends.margins import margins
from lidoff.trends.palette import SHAPES, Fill, fill_of
from lidoff.trends.point_chart import Axes, Line, Words, medians, point_chart, spread_out
from lidoff.trends.statistics import Trend, trend_over_years
from lidoff.trends.svg import Link, framed
from lidoff.trends.table import Table, counted
from lidoff.trends.years_chart import years_chart

DRAWS = f"vl-convert {vl_convert.__version__}"
DENSITY = "power_density_w_per_cm3"

Sketched = Callable[[Frames, Table, Link, str], Sketch | None]


def drawn(view: str) -> str:
    """What Vega draws of a Vega-Lite view in JSON."""
    return vl_convert.vegalite_to_svg(view)


def draw_chart(
    frames: Frames, table: Table, link: Link, prefix: str = "",
    draw: Callable[[str], str] = drawn,
) -> Drawing | None:  # fmt: skip
    """The chart of a table, or None where the table has none or there is nothing to draw.

    ``link`` turns an address of the site such as ``/products/b/m/`` into what the page writes; ``prefix`` begins every
    id in the SVG, so that several charts can stand on one page. ``draw`` turns a Vega-Lite view in JSON into SVG.
    """
    sketched = _CHARTS.get(table.name)
    sketch = sketched(frames, table, link, prefix or f"chart-{table.name}") if sketched else None
    if sketch is None:
        return None
    svg = tier_text(framed(draw(sketch.view), sketch.frame))
    return Drawing(svg.replace(f">{UNKNOWN}<", f">{NOT_STATED}<"), tier_text(sketch.caption))


def has_chart(name: str) -> bool:
    """Whether a table comes with a chart."""
    return name in _CHARTS


def _bars(dimension: str) -> Sketched:
    def draw(frames: Frames, table: Table, link: Link, prefix: str) -> Sketch | None:
        words = DIMENSIONS[dimension].order(frames.tiers, [row.key for row in table.rows])
        places = {word: place for place, word in enumerate(dict.fromkeys((*words, *(row.key for row in table.rows))))}
        return bar_chart(table, {row.key: fill_of(row.key, places[row.key]) for row in table.rows}, link, prefix)

    return draw


def density_by_year(frames: Frames, table: Table, link: Link, prefix: str) -> Sketch | None:
    """Power density against the year, by technology of the primary switch."""
    known = frames.products.dropna(subset=["year", DENSITY])
    if known.empty:
        return None
    at, group = known["year"].astype("float64"), known[PRIMARY_SWITCH.field].map(spelled)
    points = pd.DataFrame({
        "target": _pages(known), "at": at, "y": known[DENSITY], "x": spread_out(known[DENSITY], at, 0.7), "group": group,
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
    signs = _signs([spelled(word) for word in DIMENSIONS[PRIMARY_SWITCH.field].order(frames.tiers, ())])
    description = "One mark a product, those of a year side by side; shape and colour show the primary switch."
    words = Words(prefix, "Power density against year", description, " ".join(captions))
    return point_chart(points, signs, axes, lines, words, link)


def bulk_against_power(frames: Frames, table: Table, link: Link, prefix: str) -> Sketch | None:
    """Bulk capacitance per watt against rated power, with and without a boost stage."""
    known = frames.products.dropna(subset=["rated_power_w", "bulk_uf_per_w"])
    if known.empty:
        return None
    points = pd.DataFrame({
        "target": _pages(known), "at": known["rated_power_w"], "x": known["rated_power_w"], "y": known["bulk_uf_per_w"],
        "group": known["pfc"].map(_boost_stage),
    })  # fmt: skip
    points["words"] = _named(
        known,
        [
            f"{shown(y)} µF/W at {x:g} W, {group}"
            for x, y, group in zip(points["x"], points["y"], points["group"], strict=True)
        ],
    )
    axes = _over_power(frames, known["rated_power_w"], "µF/W")
    description = "One mark a product; shape and colour show whether a boost stage feeds the bulk capacitor."
    words = Words(prefix, "Bulk capacitance per watt against rated power", description, "")
    return point_chart(points, _signs(["no boost stage", "boost stage", UNDETERMINED]), axes, (), words, link)


def margin_against_power(frames: Frames, table: Table, link: Link, prefix: str) -> Sketch | None:
    """Efficiency margin against rated power, by technology of the primary switch."""
    known = frames.products.merge(margins(frames), on="slug").dropna(subset=["rated_power_w"])
    if known.empty:
        return None
    group = known[PRIMARY_SWITCH.field].map(spelled)
    points = pd.DataFrame({"target": _pages(known), "x": known["rated_power_w"], "y": known["value"], "group": group})
    facts = [
        f"{_signed(y, 2)} points at {x:g} W, {word}" for x, y, word in zip(points["x"], points["y"], group, strict=True)
    ]
    points["words"] = _named(known, facts)
    axes = _over_power(frames, known["rated_power_w"], "percentage points")
    signs = _signs([spelled(word) for word in DIMENSIONS[PRIMARY_SWITCH.field].order(frames.tiers, ())])
    caption = (
        f"The line at zero is the published minimum. {counted(len(known), 'product')} judged and of known power; the "
        "others are not judged. One unit each; the meters' uncertainty is not drawn."
    )
    description = (
        "One mark a product: measured average less the published minimum, the smallest where several were judged."
    )
    words = Words(prefix, "Efficiency margin against rated power", description, caption)
    return point_chart(points, signs, axes, [Line(axes.x_domain, (0.0, 0.0))], words, link)


def _over_power(frames: Frames, powers: pd.Series, y_title: str) -> Axes:
    """Axes over the rated power, with the limits of the tiers as marks."""
    ends = (0.8 * min(float(powers.min()), frames.tiers_w[0]), 1.2 * max(float(powers.max()), frames.tiers_w[-1]))
    marks = (*(power for power in (5.0, 10.0) if ends[0] <= power < frames.tiers_w[0]), *frames.tiers_w)
    title = f"rated power [W], logarithmic; the marks from {frames.tiers_w[0]:g} W on are tier limits"
    return Axes(title, y_title, marks, ends, "log")


def _pages(products: pd.DataFrame) -> pd.Series:
    return "/products/" + products["slug"] + "/"


def _trend_line(line: TrendLine, ends: tuple[float, float]) -> Line:
    heights = tuple(line.intercept + line.slope * end for end in ends)
    return Line(ends, heights, is_dashed=True)


def _trend_words(trend: Trend) -> str:
    slopes = [_signed(slope) for slope in (trend.line.slope, trend.line.slope_low, trend.line.slope_high)]
    interval = f"95 % interval {slopes[1]} to {slopes[2]}"
    return f"Dashed: Theil–Sen line over {trend.basis}, {slopes[0]} W/cm³ a year ({interval})."


def _signed(value: float, digits: int = 3) -> str:
    return f"{value:+.{digits}f}".replace("-", MINUS)


def _boost_stage(word: str | None) -> str:
    if word is None or word == UNDETERMINED:
        return UNDETERMINED
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


_CHARTS: Mapping[str, Sketched] = {
    "technology-by-tier": _bars(PRIMARY_SWITCH.field),
    "topology-by-tier": _bars("topology"),
    "pfc-by-tier": _bars("pfc"),
    "technology-by-year": _bars(PRIMARY_SWITCH.field),
    "density-by-tier": density_by_year,
    "density-by-year": density_by_year,
    "bulk-by-tier": bulk_against_power,
    "efficiency-margin-by-tier": margin_against_power,
    "voltage-steps-by-tier": heat_chart,
    "makers-by-function": heat_chart,
    "adoption-by-year": adoption_chart,
    "controller-years": years_chart,
}
