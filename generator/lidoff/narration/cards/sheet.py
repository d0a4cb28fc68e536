"""The ground that every card stands on, and the few marks that it is drawn with."""

import textwrap
import xml.etree.ElementTree as ET
from collections.abc import Iterable

from lidoff.entry import Entry
from lidoff.trends.canvas import cut_to, text_width
from lidoff.trends.palette import COLOURS

WIDTH, HEIGHT = 1920, 1080
LEFT, RIGHT, TOP, BOTTOM = 96, 1824, 250, 968
FONT = "Liberation Sans, Arial, Helvetica, sans-serif"  # the first one is in vl-convert, so that a PNG needs no other
INK, QUIET, GRID = (COLOURS[f"chart-{name}"][0] for name in ("ink", "quiet", "grid"))
FIRST, SECOND, THIRD = (COLOURS[f"chart-{number}"][0] for number in (1, 2, 3))
PAPER, PLATE = "#f6f4ef", "#ffffff"
TITLE, HEADING, BODY, SMALL = 64, 40, 30, 26


class Sheet:
    """One card being drawn."""

    def __init__(self, title: str, heading: str, description: str, notes: Iterable[str]) -> None:
        box = {"xmlns": "http://www.w3.org/2000/svg", "viewBox": f"0 0 {WIDTH} {HEIGHT}", "width": str(WIDTH)}
        self.root = ET.Element("svg", {**box, "height": str(HEIGHT), "font-family": FONT, "role": "img"})
        ET.SubElement(self.root, "title").text = f"{title}: {heading}"
        ET.SubElement(self.root, "desc").text = description
        self.box(0, 0, WIDTH, HEIGHT, PAPER)
        self.box(LEFT, 92, 14, 118, FIRST)
        self.text(LEFT + 40, 136, cut_to(title, RIGHT - LEFT - 40, TITLE), TITLE, weight="bold")
        self.text(LEFT + 40, 198, cut_to(heading, RIGHT - LEFT - 40, HEADING), HEADING, colour=QUIET)
        self.line(LEFT, 1000, RIGHT, 1000, GRID, 2)
        self.text(
            LEFT, 1044, cut_to(" · ".join(note for note in notes if note), RIGHT - LEFT, SMALL), SMALL, colour=QUIET
        )

    def text(
        self,
        x: float,
        y: float,
        text: str,
        size: int = BODY,
        colour: str = INK,
        weight: str = "normal",
        anchor: str = "start",
    ) -> None:
        """One line of text; ``y`` is where its letters stand."""
        look = {"x": _short(x), "y": _short(y), "font-size": str(size), "fill": colour, "text-anchor": anchor}
        ET.SubElement(self.root, "text", look | ({"font-weight": weight} if weight != "normal" else {})).text = text

    def lines(
        self, x: float, y: float, text: str, room: float, size: int = BODY, most: int = 3, colour: str = INK
    ) -> float:
        """Text in lines that fit into ``room``; where the next line would stand."""
        found = wrapped(text, room, size)
        shown = found[:most]
        if len(found) > most:
            shown[-1] = cut_to(f"{shown[-1]} …", room, size)
        for place, line in enumerate(shown):
            self.text(x, y + place * size * 1.3, line, size, colour)
        return y + len(shown) * size * 1.3

    def box(
        self,
        x: float,
        y: float,
        width: float,
        height: float,
        fill: str,
        edge: str = "",
        corner: float = 0,
        thick: float = 3,
        dash: str = "",
    ) -> None:
        """A rectangle."""
        look = {"x": _short(x), "y": _short(y), "width": _short(width), "height": _short(height), "fill": fill}
        look |= {"rx": _short(corner)} if corner else {}
        look |= {"stroke": edge, "stroke-width": _short(thick)} if edge else {}
        ET.SubElement(self.root, "rect", look | ({"stroke-dasharray": dash} if dash else {}))

    def line(
        self, x: float, y: float, to_x: float, to_y: float, colour: str = INK, thick: float = 3, dash: str = ""
    ) -> None:
        """A straight line."""
        ends = {"x1": _short(x), "y1": _short(y), "x2": _short(to_x), "y2": _short(to_y)}
        look = {"stroke": colour, "stroke-width": _short(thick)} | ({"stroke-dasharray": dash} if dash else {})
        ET.SubElement(self.root, "line", ends | look)

    def path(self, drawn: str, colour: str = INK, thick: float = 3, fill: str = "none") -> None:
        """Any outline."""
        ET.SubElement(self.root, "path", {"d": drawn, "stroke": colour, "stroke-width": _short(thick), "fill": fill})

    def dot(self, x: float, y: float, size: float, fill: str, edge: str = "") -> None:
        """A disc."""
        look = {"cx": _short(x), "cy": _short(y), "r": _short(size), "fill": fill}
        ET.SubElement(self.root, "circle", look | ({"stroke": edge, "stroke-width": "4"} if edge else {}))

    @property
    def svg(self) -> str:
        """The finished card."""
        return ET.tostring(self.root, encoding="unicode") + "\n"


def wrapped(text: str, room: float, size: int) -> list[str]:
    """Text in lines that fit into ``room``."""
    average = text_width(text, size) / max(len(text), 1)
    width = max(int(room / max(average, 1)), 1)
    while width > 1 and any(text_width(line, size) > room for line in textwrap.wrap(text, width)):
        width -= 1
    return textwrap.wrap(text, width) or [""]


def notes_of(*entries: Entry) -> tuple[str, ...]:
    """What stands below every card: where the numbers come from, and that demo data is invented."""
    invented = "All data is invented, no such product exists" if any(entry.record.demo for entry in entries) else ""
    dates = [entry.record.teardown.date for entry in entries if entry.record.teardown]
    return (invented, f"Opened {' and '.join(dict.fromkeys(dates))}" if dates else "")


def _short(value: float) -> str:
    return f"{round(value, 2):g}"
