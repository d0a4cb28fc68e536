"""What every chart is drawn on: a layered Vega-Lite view of fixed size whose layout depends on no font."""

import json
from collections.abc import Sequence
from dataclasses import dataclass

from lidoff.trends.marks import Layer, fixed, layer, word
from lidoff.trends.palette import GRID, INK, QUIET, Fill
from lidoff.trends.svg import Frame, Link

SCHEMA = "https://vega.github.io/schema/vega-lite/v6.json"
WIDTH = 560
FONT_SIZE = 13
SMALL = 12
# widths of letters in em, a little more than common sans-serif fonts have
_NARROW, _WIDE, _CAPITAL, _OTHER = 0.36, 0.92, 0.74, 0.58
_ENTRY_GAP = 16
_SWATCH = 15
_POINT = 100
_LINE = 24


@dataclass(frozen=True, slots=True)
class Drawing:
    """A finished chart: the SVG for the page and a caption that says what is drawn and what is not."""

    svg: str
    caption: str


@dataclass(frozen=True, slots=True)
class Sketch:
    """A chart before it is drawn: its Vega-Lite view as JSON, what it is set into, and its caption."""

    view: str
    frame: Frame
    caption: str


@dataclass(frozen=True, slots=True)
class Sign:
    """One entry of the key: its label, its fill, and the shape of its points; areas have none."""

    label: str
    fill: Fill
    shape: str = ""


@dataclass(frozen=True, slots=True)
class Margins:
    """Room around the plot for axes and key."""

    left: int
    right: int
    top: int
    bottom: int


def text_width(text: str, size: int = FONT_SIZE) -> float:
    """Room that a text takes at most in any common sans-serif font, roughly."""
    return sum(_em(letter) for letter in text) * size


def cut_to(text: str, room: float, size: int = FONT_SIZE) -> str:
    """The text, or as much of it as fits."""
    if text_width(text, size) <= room:
        return text
    while text and text_width(f"{text}…", size) > room:
        text = text[:-1]
    return f"{text.rstrip()}…"


def _em(letter: str) -> float:
    if letter in "ijltfr.,:;-|' ()":
        return _NARROW
    return _WIDE if letter in "mwMW" else _CAPITAL if letter.isupper() else _OTHER


def key_height(signs: Sequence[Sign], width: float) -> int:
    """Height of the key above a plot."""
    return (_places(signs, width)[-1][1] + 1) * _LINE if signs else 0


def key_layers(signs: Sequence[Sign], margins: Margins, width: float) -> list[Layer]:
    """The key as marks at fixed places above the plot."""
    layers = []
    for sign, (x, line) in zip(signs, _places(signs, width), strict=True):
        x, y = x - margins.left, line * _LINE - margins.top + _LINE / 2
        rows = [{"label": sign.label}]
        swatch = {**point_style(sign), "size": _POINT if sign.shape else _SWATCH**2, "aria": False}
        text = {**text_style(INK), "align": "left", "aria": False}
        layers.append(layer(rows, "point", swatch, x=fixed(x + _SWATCH / 2), y=fixed(y)))
        layers.append(layer(rows, "text", text, x=fixed(x + _SWATCH + 6), y=fixed(y), text=word("label")))
    return layers


def point_style(sign: Sign) -> dict[str, object]:
    """The look of a point or swatch; its edge sets it apart from what it covers."""
    edge = Fill(sign.fill.outline).stand_in
    return {
        "shape": sign.shape or "square",
        "filled": True,
        "fill": sign.fill.stand_in,
        "stroke": edge,
        "strokeWidth": 1,
        "opacity": 1,
    }


def text_style(fill: Fill, size: int = FONT_SIZE) -> dict[str, object]:
    """The look of a text; its letters stand on the middle of their line in every font alike."""
    return {"fontSize": size, "fill": fill.stand_in, "baseline": "middle"}


def sketch(
    layers: Sequence[Layer], margins: Margins, height: int, prefix: str, title: str, description: str, caption: str,
    link: Link,
) -> Sketch:  # fmt: skip
    """The layers as one view, with its frame; the caption is part of the description."""
    axis = {
        "labelFontSize": SMALL, "titleFontSize": SMALL, "titleFontWeight": "normal", "labelColor": INK.stand_in,
        "titleColor": QUIET.stand_in, "gridColor": GRID.stand_in, "tickColor": GRID.stand_in,
        "domainColor": QUIET.stand_in, "labelOverlap": False, "labelLimit": 0, "labelFlush": False,
        "minExtent": 0, "maxExtent": 0,
    }  # fmt: skip
    view = {
        "$schema": SCHEMA, "width": WIDTH - margins.left - margins.right, "height": height,
        "autosize": {"type": "none"}, "background": "transparent",
        "padding": {"left": margins.left, "right": margins.right, "top": margins.top, "bottom": margins.bottom},
        "config": {"view": {"stroke": None}, "axis": axis}, "layer": layers,
    }  # fmt: skip
    described = f"{description} {caption}".strip()
    frame = Frame(prefix, title, described, WIDTH, margins.top + height + margins.bottom, link)
    return Sketch(json.dumps(view, ensure_ascii=False), frame, caption)


def _places(signs: Sequence[Sign], width: float) -> list[tuple[float, int]]:
    """Where each entry of the key begins, and on which line."""
    places: list[tuple[float, int]] = []
    x, line = 0.0, 0
    for sign in signs:
        room = _SWATCH + 6 + text_width(sign.label)
        if x > 0 and x + room > width:
            x, line = 0.0, line + 1
        places.append((x, line))
        x += room + _ENTRY_GAP
    return places
