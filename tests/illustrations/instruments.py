"""Pictures that instruments give: X-ray, infrared, microscope and a trace; drawings like the rest."""

import io
from collections.abc import Sequence

import numpy
import vl_convert
from art import box, chance, disc, group, line, path, pen, shape, words
from board import MARGIN, PIXELS, Drawing, body_of
from casing import Casing
from frame import RULER, defs, ruler
from items import Item
from layout import Layout, Placed, lead_points
from PIL import Image

# dark to bright through violet and orange: temperature by lightness first, so that it reads without colours
_HEAT = (
    (0.0, (12, 8, 40)),
    (0.25, (80, 18, 110)),
    (0.5, (182, 54, 90)),
    (0.75, (240, 130, 40)),
    (1.0, (252, 240, 170)),
)


def xray_drawing(layout: Layout) -> Drawing:
    """A board seen through: bodies as shades, leads and solder dark."""
    margin = max(layout.width, layout.height) * MARGIN
    width, height = layout.width + 2 * margin, layout.height + 2 * margin + RULER
    scale = PIXELS / width
    content = box(0, 0, layout.width, layout.height, "#9aa1a6", 0.8, opacity=0.55)
    content += "".join(_through(one) for one in sorted((*layout.bottom, *layout.top), key=lambda one: -one.item.tall))
    high = round(height * scale)
    pieces = (
        defs(), box(0, 0, width, height + 1, "#d9dde0"), 
        group(content, transform=f"translate({margin:.3f} {margin:.3f})"), ruler(margin, height - RULER, layout.width),
        _corner_word(width, margin, "#4c5257"),
    )  # fmt: skip
    return Drawing(_svg(pieces, high, width, high / scale), PIXELS, high, scale, (margin, margin))


def _svg(pieces: Sequence[str], high: int, width: float, height: float, pixels: int = PIXELS) -> str:
    return shape("svg", "".join(pieces), xmlns="http://www.w3.org/2000/svg", width=pixels, height=high,
                 viewBox=f"0 0 {width:.3f} {height:.3f}")  # fmt: skip


def _corner_word(width: float, margin: float, ink: str) -> str:
    size = max(min(margin * 0.3, 1.9), 0.9)
    return words(
        width - margin * 0.35,
        margin * 0.42,
        "ILLUSTRATION",
        size,
        ink,
        text_anchor="end",
        letter_spacing=round(size * 0.12, 3),
    )


def _through(one: Placed) -> str:
    dark = {"bobbin": 0.62, "toroid": 0.55, "radial": 0.42, "box": 0.22}.get(one.item.family, 0.3)
    drawn = []
    for body in one.bodies:
        round_body = one.item.family in ("radial", "toroid") and body.width == body.height
        corner = body.width / 2 if round_body else 0.4
        x, y, wide, high = body.x, body.y, body.width, body.height
        drawn.append(box(x, y, wide, high, "#23292e", corner, opacity=dark * 0.6, stroke="#1b2024", stroke_width=0.18))
        if one.item.family == "bobbin":
            drawn.append(box(x + wide * 0.13, y, wide * 0.74, high, "#15191c", 0.6, opacity=0.5))
            drawn.append(_turns(x + wide * 0.22, y + high * 0.16, wide * 0.56, high * 0.68))
        if one.item.family == "radial":
            drawn.append(_roll(x, y, wide, high, corner))
        if not one.item.through_hole:
            drawn.append(box(x + wide * 0.22, y + high * 0.22, wide * 0.56, high * 0.56, "#121517", 0.1, opacity=0.45))
        else:
            drawn += [disc(a, b, 0.62, "#0d0f11", opacity=0.75) for a, b in lead_points(one.item, body, one.turned)]
    return "".join(drawn)


def _turns(x: float, y: float, wide: float, high: float) -> str:
    count = int(wide / 0.7)
    strokes = "".join(f"M{x + (n + 0.5) * wide / count:.2f} {y:.2f}v{high:.2f}" for n in range(count))
    return path(strokes, stroke="#0b0d0f", stroke_width=0.3, opacity=0.5)


def _roll(x: float, y: float, wide: float, high: float, corner: float) -> str:
    return "".join(
        box(x + inset, y + inset, wide - 2 * inset, high - 2 * inset, "none", max(corner - inset, 0.2),
            stroke="#14181b", stroke_width=0.12, opacity=0.35)
        for inset in (0.5, 0.9, 1.3, 1.7, 2.1) if inset * 2.6 < min(wide, high)
    )  # fmt: skip


def infrared_image(
    casing: Casing, spots: Sequence[tuple[float, float, float, float]], low: float, high: float, air: float
) -> Image.Image:
    """A casing's face as an infrared camera shows it; a spot is x, y and reach in mm and its temperature in °C."""
    drawing = casing.drawing
    wide, tall = drawing.width // 2, drawing.height // 2
    x, y = numpy.meshgrid(numpy.arange(wide) * 2 / drawing.scale, numpy.arange(tall) * 2 / drawing.scale)
    field = numpy.full(x.shape, air)
    body = numpy.zeros(x.shape, dtype=bool)
    for view in casing.views:
        body |= (x >= view.x) & (x <= view.x + view.width) & (y >= view.y) & (y <= view.y + view.height)
    warm = air + (max(spot[3] for spot in spots) - air) * 0.35
    surface = numpy.full(x.shape, warm)
    for left, top, reach, hot in spots:
        bell = numpy.exp(-((x - left) ** 2 + (y - top) ** 2) / (2 * reach**2))
        surface = numpy.maximum(surface, warm + (hot - warm) * bell)
    field = numpy.where(body, surface, air + 1.2)
    share = numpy.clip((field - low) / (high - low), 0, 1)
    stops = [stop for stop, _ in _HEAT]
    rgb = numpy.stack(
        [numpy.interp(share, stops, [tint[channel] for _, tint in _HEAT]) for channel in range(3)], axis=-1
    )
    return Image.fromarray(rgb.round().astype(numpy.uint8)).resize(
        (drawing.width, drawing.height), Image.Resampling.BICUBIC
    )


def with_scale(
    image: Image.Image, low: float, high: float, spot: tuple[float, float, float], scale: float
) -> Image.Image:
    """The picture with a scale of temperatures at its right edge and a cross on the hottest spot."""
    wide, tall = image.width + 170, image.height
    room = tall - 180
    bar = "".join(
        box(image.width + 36, 90 + room * (1 - (step + 1) / 64), 34, room / 64 + 1, _tint(step / 63))
        for step in range(64)
    )  # fmt: skip
    ticks = "".join(
        words(image.width + 82, 90 + room * (1 - part), f"{low + part * (high - low):.0f} °C", 22, "#eee",
              text_anchor="start")
        for part in (0, 0.25, 0.5, 0.75, 1)
    )  # fmt: skip
    x, y = spot[0] * scale, spot[1] * scale
    cross = path(f"M{x - 16:.1f} {y:.1f}h32M{x:.1f} {y - 16:.1f}v32", stroke="#111", stroke_width=3) + words(
        x - 24, y - 26, f"{spot[2]:g} °C", 28, "#fff", bold=True, text_anchor="end"
    )
    sign = words(wide - 18, 34, "ILLUSTRATION", 15, "#ddd", text_anchor="end", letter_spacing=1.5)
    over = Image.open(io.BytesIO(vl_convert.svg_to_png(_svg((bar, ticks, cross, sign), tall, wide, tall, wide))))
    base = Image.new("RGBA", (wide, tall), (14, 12, 24, 255))
    base.paste(image, (0, 0))
    return Image.alpha_composite(base, over.convert("RGBA")).convert("RGB")


def _tint(share: float) -> str:
    stops = [stop for stop, _ in _HEAT]
    return "#" + "".join(
        f"{round(float(numpy.interp(share, stops, [tint[c] for _, tint in _HEAT]))):02x}" for c in range(3)
    )


def microscope_drawing(item: Item, across_mm: float = 8.0) -> tuple[Drawing, tuple[float, float, float, float]]:
    """The top of one chip, close up, and the box of its body as fractions of the picture."""
    wide, tall = across_mm, across_mm * 0.68
    scale = PIXELS / wide
    high = round(tall * scale)
    turned = group(body_of(item), transform=f"translate({wide / 2:.3f} {tall / 2:.3f})")
    pieces = (
        defs(), shape("defs", _lens()), box(0, 0, wide, tall, "#1f6b43"), turned,
        _dust(f"under the lens {item.ref}", wide, tall),
        box(0, 0, wide, tall, "url(#lens)"), line(wide - 1.5, tall - 0.35, wide - 0.5, tall - 0.35, "#fff", 0.05),
        words(wide - 1.0, tall - 0.52, "1 mm", 0.18, "#fff"),
        words(wide - 0.18, 0.22, "ILLUSTRATION", 0.15, "#e6e6e6", text_anchor="end", letter_spacing=0.018),
    )  # fmt: skip
    room = 0.35
    fractions = (round((wide - item.long - 2 * room) / 2 / wide, 4), round((tall - item.wide - 2 * room) / 2 / tall, 4),
                 round((item.long + 2 * room) / wide, 4), round((item.wide + 2 * room) / tall, 4))  # fmt: skip
    return Drawing(_svg(pieces, high, wide, high / scale), PIXELS, high, scale, (0.0, 0.0)), fractions


def _lens() -> str:
    """The dark edge of what a lens shows."""
    clear = shape("stop", offset=0.45, stop_color="#000", stop_opacity=0)
    return shape("radialGradient", clear + shape("stop", offset=1, stop_color="#000", stop_opacity=0.75), id="lens")


def _dust(seed: str, wide: float, tall: float) -> str:
    """Specks and hairs."""
    dice = chance(seed)
    specks = "".join(
        disc(next(dice) * wide, next(dice) * tall, 0.008 + 0.018 * next(dice), "#fff", opacity=0.05 + 0.12 * next(dice))
        for _ in range(700)
    )
    hairs = []
    for _ in range(5):
        start = (next(dice) * wide, next(dice) * tall)
        bend = pen("M", *start, "q", next(dice) - 0.5, next(dice) - 0.5, next(dice) - 0.5, next(dice) * 0.6)
        hairs.append(path(bend, stroke="#cfd6da", stroke_width=0.012, opacity=0.5))
    return specks + "".join(hairs)


def trace_drawing(points: Sequence[tuple[float, float]], per: tuple[float, float], title: str) -> Drawing:
    """A trace of volts over microseconds on a grid of ten by eight divisions; ``per`` is µs and V a division."""
    wide, tall, cell = 1280, 900, 100
    left, top = 140, 60
    grid = "".join(
        line(left + n * cell, top, left + n * cell, top + 8 * cell, "#3d4650", 1.5 if n % 5 else 2.5) for n in range(11)
    )
    grid += "".join(
        line(left, top + n * cell, left + 10 * cell, top + n * cell, "#3d4650", 1.5 if n % 4 else 2.5) for n in range(9)
    )
    place = [(left + time / per[0] * cell, top + 7 * cell - volt / per[1] * cell) for time, volt in points]
    trace = path(
        "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in place), stroke="#7fd1ff", stroke_width=4, stroke_linejoin="round"
    )
    volts = "".join(
        words(left - 14, top + (7 - n) * cell, f"{n * per[1]:g} V", 24, "#c8d0d8", text_anchor="end")
        for n in range(-1, 8)
    )
    times = "".join(
        words(left + n * cell, top + 8 * cell + 24, f"{n * per[0]:g} µs", 22, "#c8d0d8") for n in range(0, 11, 2)
    )
    head = words(left, 32, title, 26, "#e8ecf0", text_anchor="start") + words(
        wide - 24, 32, "ILLUSTRATION", 20, "#c8d0d8", text_anchor="end", letter_spacing=2.4
    )
    pieces = (box(0, 0, wide, tall + 30, "#14181d"), grid, trace, volts, times, head)
    return Drawing(_svg(pieces, tall + 30, wide, tall + 30, wide), wide, tall + 30, 1.0, (float(left), float(top)))


def flyback_trace(bus_v: float, reflected_v: float, peak_v: float, period_us: float) -> list[tuple[float, float]]:
    """Drain voltage of a flyback stage that waits for a valley: on, spike, plateau, ringing, on again; idealised."""
    on, ring_from = period_us * 0.36, period_us * 0.86
    points = []
    for step in range(1200):
        time = step * 20 / 1200
        at = (time - 1.0) % period_us
        if at < on:
            volt = 4.0
        elif at < ring_from:
            since = at - on
            over = (peak_v - bus_v - reflected_v) * numpy.exp(-since / 0.45) * numpy.cos(2 * numpy.pi * since / 0.28)
            volt = bus_v + reflected_v + over if since > 0.034 else peak_v
        else:
            volt = bus_v + reflected_v * numpy.cos(numpy.pi * (at - ring_from) / (period_us - ring_from))
        points.append((time, float(volt)))
    return points
