"""The colours of charts as names of CSS custom properties, their values, and the fills made of colour and pattern.

Charts are drawn with stand-in colours that no chart would use; `svg` puts the properties in their place. Each property
falls back on its light value, so that a chart still reads where no style sheet defines it.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Pattern = Literal["solid", "stripes", "dots", "grid", "lines", "dense"]

# custom property -> (value on a light page, value on a dark page)
COLOURS: Mapping[str, tuple[str, str]] = {
    "chart-1": ("#1a58bd", "#9ebbff"),
    "chart-2": ("#a55400", "#fca052"),
    "chart-3": ("#014017", "#61f5d2"),
    "chart-4": ("#6b3971", "#ac4980"),
    "chart-5": ("#b18e07", "#888428"),
    "chart-neutral": ("#6e7278", "#9b9fa5"),
    "chart-ink": ("#1f2328", "#e6e8eb"),
    "chart-quiet": ("#565b62", "#b3b8bf"),
    "chart-grid": ("#d5d8dc", "#43464f"),
    "chart-ground": ("#ffffff", "#1e2029"),
}
SERIES = ("chart-1", "chart-2", "chart-3", "chart-4", "chart-5")
PATTERNS: tuple[Pattern, ...] = ("solid", "stripes", "dots", "grid", "lines", "dense")
_SERIES_PATTERNS = PATTERNS[:5]
SHAPES = ("circle", "square", "triangle-up", "diamond", "cross", "triangle-down")


@dataclass(frozen=True, slots=True)
class Fill:
    """One look of an area: a colour by its property and a pattern, so that colour is never the only sign.

    ``outline`` is the property of its edge; the page's ground sets neighbours apart.
    """

    colour: str
    pattern: Pattern = "solid"
    outline: str = "chart-ground"

    @property
    def stand_in(self) -> str:
        """The colour that stands for this fill until the drawing is done."""
        return f"#fe{list(COLOURS).index(self.colour):02x}{PATTERNS.index(self.pattern):02x}"


INK, QUIET, GRID, GROUND = (Fill(f"chart-{name}") for name in ("ink", "quiet", "grid", "ground"))
HOLLOW = Fill("chart-ground", outline="chart-neutral")
STAND_INS: Mapping[str, Fill] = {
    fill.stand_in: fill for fill in (Fill(colour, pattern) for colour in COLOURS for pattern in PATTERNS)
}

_SPECIAL: Mapping[str, Fill] = {
    "mixed": Fill("chart-4", "grid"),
    "undetermined": Fill("chart-neutral", "dense"),
    "not identified": Fill("chart-neutral", "dots"),
    "none": Fill("chart-neutral"),
    "none listed": Fill("chart-neutral"),
    "not recorded": HOLLOW,
    "unknown": HOLLOW,
}


def fill_of(word: str, place: int) -> Fill:
    """The fill of a group: fixed for words that say why nothing is known, else by its place in the full list of words.

    Each of the first five has a colour and a pattern of its own; the next ones have the same in other pairs.
    """
    if word in _SPECIAL:
        return _SPECIAL[word]
    count = len(SERIES)
    return Fill(SERIES[place % count], _SERIES_PATTERNS[(place + 2 * (place // count)) % count])


def style_sheet(light: str = ":root", dark: str = "[data-theme=dark]") -> str:
    """The custom properties for a page, given what selects its light and dark form; print is light."""

    def block(selector: str, which: int) -> str:
        lines = "".join(f"  --{name}: {values[which]};\n" for name, values in COLOURS.items())
        return f"{selector} {{\n{lines}}}\n"

    # like patterns get unlike system colours
    system = {
        "chart-ground": "Canvas",
        "chart-grid": "GrayText",
        "chart-neutral": "GrayText",
        "chart-2": "LinkText",
        "chart-3": "LinkText",
    }
    forced = "".join(f"    --{name}: {system.get(name, 'CanvasText')};\n" for name in COLOURS)
    printed = block(f"{light}, {dark}", 0)
    return (
        f"{block(light, 0)}{block(dark, 1)}@media print {{\n{printed}}}\n"
        f"@media (forced-colors: active) {{\n  {light}, {dark} {{\n{forced}  }}\n}}\n"
    )
