"""Bits of SVG, in millimetres: shapes, text that fits, chance that is always the same."""

import hashlib
import math
from collections.abc import Iterator, Sequence
from xml.sax.saxutils import escape

FONT = "Liberation Sans"  # comes with vl-convert, so that no font of the machine is asked
# advance widths of Helvetica's letters in thousandths of the font size, from memory; Liberation Sans has the same
_WIDE = {
    "ijl'|": 222, " !,./:;I[]ft\\": 278, '"': 355, "-()r`{}": 333, "*": 389, "ckJsvxyz": 500, "+<=>~": 584,
    "ABEKPSVXY&": 667, "CDHNRUw": 722, "GOQ": 778, "FTZ": 611, "M": 833, "m": 833, "W": 944, "%": 889, "@": 1015,
}  # fmt: skip
_ADVANCE = {letter: width / 1000 for letters, width in _WIDE.items() for letter in letters}


def shape(name: str, text: str = "", /, **attributes: object) -> str:
    """One element; underscores in names become hyphens, numbers are cut to what can be seen."""
    said = " ".join(f'{key.rstrip("_").replace("_", "-")}="{_value(value)}"' for key, value in attributes.items())
    return f"<{name} {said}>{text}</{name}>" if text else f"<{name} {said}/>"


def _value(value: object) -> str:
    if isinstance(value, float):
        return f"{value:.3f}".rstrip("0").rstrip(".")
    return escape(str(value), {'"': "&quot;"})


def box(x: float, y: float, width: float, height: float, fill: str, radius: float = 0.0, **more: object) -> str:
    """A rectangle, its corners rounded."""
    return shape("rect", x=x, y=y, width=width, height=height, fill=fill, rx=radius, **more)


def disc(x: float, y: float, radius: float, fill: str, **more: object) -> str:
    """A circle."""
    return shape("circle", cx=x, cy=y, r=radius, fill=fill, **more)


def path(d: str, fill: str = "none", **more: object) -> str:
    """A path."""
    return shape("path", d=d, fill=fill, **more)


def pen(*pieces: str | float) -> str:
    """Path data from letters and numbers, cut to what can be seen."""
    return " ".join(one if isinstance(one, str) else f"{one:.2f}" for one in pieces)


def line(x1: float, y1: float, x2: float, y2: float, stroke: str, width: float, **more: object) -> str:
    """A straight line."""
    return shape("line", x1=x1, y1=y1, x2=x2, y2=y2, stroke=stroke, stroke_width=width, **more)


def group(content: str, **attributes: object) -> str:
    """Several together."""
    return shape("g", content or " ", **attributes)


def text_width(words: str, size: float, bold: bool = False) -> float:
    """Length of a line of text."""
    return sum(_ADVANCE.get(letter, 0.556) for letter in words) * size * (1.06 if bold else 1.0)


def words(x: float, y: float, content: str, size: float, fill: str, bold: bool = False, **more: object) -> str:
    """One line of text; ``y`` is the middle of its capitals."""
    more.setdefault("text_anchor", "middle")
    weight = {"font_weight": "700"} if bold else {}
    return shape("text", escape(content), x=x, y=y + size * 0.358, font_family=FONT, font_size=size, fill=fill,
                 xml__space="preserve", **weight, **more).replace("xml--space", "xml:space")  # fmt: skip


def chance(seed: str) -> Iterator[float]:
    """Numbers from 0 to 1 that are the same for the same seed, everywhere."""
    number = 0
    while True:
        for byte in hashlib.sha256(f"{seed}/{number}".encode()).digest():
            yield byte / 255
        number += 1


def print_size(lines: Sequence[str], width: float, height: float, bold: bool = False) -> float:
    """Largest letters at which all lines fit into a field."""
    longest = max(text_width(one, 1.0, bold) for one in lines)
    return min(width / longest, height / (1.22 * len(lines)))


def printed(lines: Sequence[str], width: float, height: float, ink: str, most: float = 2.2, bold: bool = False) -> str:
    """A print around (0, 0), in the middle of a field; what could not be read, written "?", is worn away."""
    if not lines:
        return ""
    size = min(print_size(lines, width, height, bold), most)
    drawn = []
    for number, one in enumerate(lines):
        y = (number - (len(lines) - 1) / 2) * size * 1.22
        drawn.append(_line_of_print(one, y, size, ink, bold))
    return "".join(drawn)


def _line_of_print(one: str, y: float, size: float, ink: str, bold: bool) -> str:
    x = -text_width(one, size, bold) / 2
    drawn = []
    for piece in _pieces(one):
        width = text_width(piece, size, bold)
        if piece.startswith("?"):
            drawn.append(_worn(x, y, width, size, ink, one))
        else:
            drawn.append(words(x, y, piece, size, ink, bold, text_anchor="start"))
        x += width
    return "".join(drawn)


def _pieces(one: str) -> list[str]:
    pieces: list[str] = []
    for letter in one:
        if pieces and (pieces[-1][0] == "?") == (letter == "?"):
            pieces[-1] += letter
        else:
            pieces.append(letter)
    return pieces


def _worn(x: float, y: float, width: float, size: float, ink: str, seed: str) -> str:
    """Scratches and the rest of letters that nobody can read."""
    dice = chance(f"worn {seed}")
    strokes = []
    for _ in range(max(4, int(6 * width / size))):
        left, top = x + next(dice) * width * 0.85, y + (next(dice) - 0.5) * size * 0.7
        end = (left + (next(dice) - 0.3) * size * 0.5, top + (next(dice) - 0.5) * size * 0.3)
        thick, strength = size * (0.03 + 0.05 * next(dice)), 0.3 + 0.3 * next(dice)
        strokes.append(line(left, top, *end, ink, thick, stroke_linecap="round", opacity=strength))
    return "".join(strokes)


def spokes(count: int, inner: float, outer: float, start: float = 0.0, sweep: float = math.tau) -> str:
    """Path data of short strokes around the middle, as turns of wire on a ring."""
    steps = []
    for number in range(count):
        angle = start + sweep * (number + 0.5) / count
        cos, sin = math.cos(angle), math.sin(angle)
        steps.append(f"M{inner * cos:.2f} {inner * sin:.2f}L{outer * cos:.2f} {outer * sin:.2f}")
    return "".join(steps)
