"""Drawings as HTML. In Python for the reason that tables are: a page has several, with many pieces each."""

from collections.abc import Iterable
from functools import lru_cache

from markupsafe import Markup

from lidoff.pages.drawings.axis import Mark
from lidoff.pages.drawings.body import BodyDrawing
from lidoff.pages.drawings.chain import ChainDrawing, PlacedBlock
from lidoff.pages.drawings.efficiency_chart import Drawn, EfficiencyChart
from lidoff.pages.drawings.life_size import Outline
from lidoff.pages.drawings.offer_chart import OfferChart, Series, Tick
from lidoff.pages.escaping import escaped

CACHED = 1000  # axes: most charts have the same few dozen
CHAIN_KEY = "Solid outlines are beyond reasonable doubt, dashed ones are likely, dotted ones are guesses or open."
BARRIER_KEY = (
    " The broken line is the insulation between mains side and output side; that stage carries power across it."
)


def outlines(drawn: Iterable[Outline]) -> Markup:
    """Rectangles with their texts, as the content of a drawing."""
    return Markup("".join(map(_outline, drawn)))


def body(drawing: BodyDrawing) -> Markup:
    """A body beside a card."""
    size = f'viewBox="0 0 {drawing.width} {drawing.height}" width="{drawing.width}mm" height="{drawing.height}mm"'
    caption = f"{escaped(drawing.title)}. {escaped(drawing.caption)}"
    return _figure(drawing, f'lf-body" {size}', "body", map(_outline, drawing.outlines), caption)


def chain(drawing: ChainDrawing) -> Markup:
    """The chain of conversion."""
    size = f'viewBox="0 0 {drawing.width} {drawing.height}" width="{drawing.width}"'
    arrows = [f'<path class="lf-arrow" d="M190 {y}v12m-4 -5l4 6 4 -6"/>\n' for y in drawing.arrows]
    has_barrier = drawing.barrier_y is not None
    barrier = [f'<path class="lf-barrier" d="M0 {drawing.barrier_y}H380"/>\n'] if has_barrier else []
    content = (*arrows, *barrier, *map(_block, drawing.blocks))
    caption = CHAIN_KEY + BARRIER_KEY if has_barrier else CHAIN_KEY
    return _figure(drawing, f'lf-chain" {size}', "chain", content, caption, "lf-figure lf-figure--chain")


def efficiency(chart: EfficiencyChart) -> Markup:
    """A chart of efficiency against load."""
    lines = [_line(number, one) for number, one in enumerate(chart.lines, 1)]
    names = [
        f'<text class="lf-left lf-clear" x="130" y="{one.minimum_mark.at + 4}">{escaped(one.minimum_mark.text)}</text>\n'
        for one in chart.lines
        if one.minimum_mark
    ]
    content = (_efficiency_axes(chart.loads, chart.levels), *lines, *names)
    size = f'viewBox="0 0 440 {chart.height}" width="440"'
    return _figure(chart, f'lf-plot" {size}', f"eff-{escaped(chart.key)}", content, _said(chart))


def offers(chart: OfferChart) -> Markup:
    """A chart of what a port offers."""
    series = [_series(number, one) for number, one in enumerate(chart.series, 1)]
    content = (_offer_axes(chart.volt_ticks, chart.ampere_ticks), *series)
    size = f'viewBox="0 0 480 {chart.height}" width="480"'
    return _figure(chart, f'lf-offers" {size}', f"offers-{escaped(chart.key)}", content, _said(chart))


def _figure(
    drawing: BodyDrawing | ChainDrawing | EfficiencyChart | OfferChart,
    start: str,
    key: str,
    content: Iterable[str],
    caption: str,
    sort: str = "lf-figure",
) -> Markup:
    """A drawing with its name, its description and its caption; ``start`` is from the second of its classes on."""
    return Markup(
        f'<figure class="{sort}">\n<svg class="lf-drawing {start} role="img" aria-labelledby="{key}-title {key}-text">\n'
        f'<title id="{key}-title">{escaped(drawing.title)}</title>\n'
        f'<desc id="{key}-text">{escaped(drawing.description)}</desc>\n'
        f"{''.join(content)}</svg>\n<figcaption>{caption}</figcaption>\n</figure>\n"
    )


def _said(chart: EfficiencyChart | OfferChart) -> str:
    left_out = f" {escaped(chart.left_out)}" if chart.left_out else ""
    return f"{escaped(chart.title)}. {escaped(chart.description)}{left_out}"


def _outline(one: Outline) -> str:
    x, y = round(one.x + one.width / 2, 2), round(one.y + one.height + 4.4, 2)
    text = f'<text x="{x}" y="{y}">{escaped(one.text)}</text>' if one.text else ""
    return (
        f'<g class="lf-{one.sort}"><rect x="{one.x}" y="{one.y}" width="{one.width}" height="{one.height}"'
        f' rx="{one.corner}"/>{text}</g>\n'
    )


def _block(one: PlacedBlock) -> str:
    said = f'<text class="lf-said" x="342" y="{one.y + 17}">{escaped(one.said)}</text>' if one.said else ""
    return (
        f'<g class="lf-block lf-block--{one.sort}"><rect x="28" y="{one.y}" width="324" height="44" rx="4"/>'
        f'<text x="38" y="{one.y + 17}">{escaped(one.block.name)}</text>{said}'
        f'<text class="lf-what" x="38" y="{one.y + 35}">{escaped(one.block.text)}</text></g>\n'
    )


def _line(number: int, one: Drawn) -> str:
    signs = "".join([f'<path class="lf-sign" d="{sign}"/>' for sign in (*one.signs, one.legend_sign)])
    minimum = f'<path class="lf-minimum" d="{one.minimum}"/>' if one.minimum else ""
    return (
        f'<g class="lf-line lf-line--{number}"><path d="{one.path}"/>{signs}'
        f'<text class="lf-right" x="62" y="{one.legend_y}">{escaped(one.name)}</text>{minimum}</g>\n'
    )


def _series(number: int, one: Series) -> str:
    ranges = "".join([f'<path class="lf-range" d="{path}"/>' for path in one.ranges])
    marks = "".join([f'<path class="lf-mark" d="{path}"/>' for path in (*one.marks, one.legend_mark)])
    name = "".join([f'<text class="lf-right" x="66" y="{line.at}">{escaped(line.text)}</text>' for line in one.name])
    return f'<g class="lf-series lf-series--{number}">{ranges}{marks}{name}</g>\n'


@lru_cache(maxsize=CACHED)
def _efficiency_axes(loads: tuple[Mark, ...], levels: tuple[Mark, ...]) -> str:
    across = [_across(mark, 222, 238) for mark in loads]
    upwards = [_upwards(mark, 40, 424, 34) for mark in levels]
    return (
        f'<g class="lf-axes"><path d="M40 24V222H424"/>\n{"".join((*across, *upwards))}<text x="424" y="254"'
        ' class="lf-left">Load in %</text><text x="2" y="12" class="lf-right">Efficiency in %</text></g>\n'
    )


@lru_cache(maxsize=CACHED)
def _offer_axes(volts: tuple[Tick, ...], amperes: tuple[Tick, ...]) -> str:
    across = [_across(tick, 238, 254) for tick in volts]
    upwards = [_upwards(tick, 44, 468, 38) for tick in amperes]
    return (
        f'<g class="lf-axes"><path d="M44 24V238H468"/>\n{"".join((*across, *upwards))}<text x="468" y="270"'
        ' class="lf-left">Voltage in V</text><text x="2" y="12" class="lf-right">Current in A</text></g>\n'
    )


def _across(mark: Mark | Tick, foot: int, below: int) -> str:
    return (
        f'<path class="lf-rule" d="M{mark.at} 24V{foot}"/><text x="{mark.at}" y="{below}">{escaped(mark.text)}</text>\n'
    )


def _upwards(mark: Mark | Tick, left: int, right: int, beside: int) -> str:
    text = f'<text class="lf-left" x="{beside}" y="{mark.at + 4}">{escaped(mark.text)}</text>'
    return f'<path class="lf-rule" d="M{left} {mark.at}H{right}"/>{text}\n'
