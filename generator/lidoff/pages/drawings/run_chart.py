"""A log over its time: one strip for each quantity, all on one axis, gaps left open."""

from collections.abc import Sequence
from dataclasses import dataclass

from lidoff.bench.log_values import Curve
from lidoff.pages.drawings.axis import Mark, Scale, line, scale_over, short

LEFT, RIGHT, TOP = 40, 424, 22
STRIP, BETWEEN, BELOW = 84, 26, 36
HOURS_FROM_S = 4 * 3600.0
NAMES = {"voltage": "Voltage", "current": "Current", "power": "Power", "surface": "Hottest surface", "air": "Air"}
WHERE_NUMBERS_ARE = "The file with the readings has the numbers."
MIRROR_FROM = 0.75
NAME_UNTIL = 88  # the name of a strip stands up to there
LEAST_KELVINS = 10.0  # noise of a thermometer is not to look like an event


@dataclass(frozen=True, slots=True)
class Point:
    """A single value that is pointed out, with its text above the strip, on the side where there is room."""

    x: float
    y: float
    text: str
    text_x: float
    is_left: bool


@dataclass(frozen=True, slots=True)
class Strip:
    """One quantity: its name with the unit, the marks of its axis, its line in pieces, the value pointed out."""

    title: str
    top: float
    bottom: float
    marks: tuple[Mark, ...]
    pieces: tuple[str, ...]
    point: Point | None = None


@dataclass(frozen=True, slots=True)
class Band:
    """A stretch of time in which nothing was logged."""

    x: float
    width: float


@dataclass(frozen=True, slots=True)
class RunChart:
    """The whole chart; ``key`` makes its ids unique on a page."""

    key: str
    title: str
    description: str
    height: float
    strips: tuple[Strip, ...]
    times: tuple[Mark, ...]
    time_title: str
    gaps: tuple[Band, ...]


def run_chart(
    key: str, title: str, curves: Sequence[Curve], length_s: float, peak: tuple[float, float, str] | None = None
) -> RunChart:
    """The chart of the curves of a log; ``peak`` is time, power and text of the largest power."""
    unit_s, unit = (3600.0, "h") if length_s > HOURS_FROM_S else (60.0, "min")
    scale = Scale(0.0, length_s / unit_s, LEFT, RIGHT)
    strips, top = [], float(TOP)
    for curve in curves:
        strips.append(_strip(curve, top, scale, unit_s, peak if curve.name == "power" else None))
        top += STRIP + BETWEEN
    names = [NAMES[curve.name].lower() for curve in curves]
    listed = f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else names[0]
    return RunChart(
        key=key,
        title=title,
        description=f"{listed.capitalize()} over {length_s / unit_s:.3g} {unit}. {WHERE_NUMBERS_ARE}",
        height=top - BETWEEN + BELOW,
        strips=tuple(strips),
        times=scale.marks(8),
        time_title=f"Time in {unit}",
        gaps=_gaps(curves[0], scale, unit_s),
    )


def _strip(curve: Curve, top: float, times: Scale, unit_s: float, peak: tuple[float, float, str] | None) -> Strip:
    bottom = top + STRIP
    low, high = curve.low, curve.high
    if curve.unit == "°C":
        low, high = min(low, (low + high - LEAST_KELVINS) / 2), max(high, (low + high + LEAST_KELVINS) / 2)
    values = scale_over((low, high), bottom, top, 4, from_zero=curve.unit != "°C")
    pieces = tuple(
        line((times.at(time / unit_s), values.at(value)) for time, value in zip(piece.times, piece.values, strict=True))
        for piece in curve.stretches
    )
    point = None
    if peak is not None:
        x = times.at(peak[0] / unit_s)
        is_left = x > LEFT + MIRROR_FROM * (RIGHT - LEFT)
        point = Point(x, values.at(peak[1]), peak[2], short(x - 6 if is_left else max(x + 6, NAME_UNTIL)), is_left)
    return Strip(f"{NAMES[curve.name]} in {curve.unit}", top, bottom, values.marks(4), pieces, point)


def _gaps(curve: Curve, scale: Scale, unit_s: float) -> tuple[Band, ...]:
    """The time between the stretches of a curve."""
    bands = []
    for before, after in zip(curve.stretches, curve.stretches[1:], strict=False):
        start, end = scale.at(before.times[-1] / unit_s), scale.at(after.times[0] / unit_s)
        bands.append(Band(start, short(max(end - start, 0.8))))
    return tuple(bands)
