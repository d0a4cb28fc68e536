"""The rating label as it is printed, on the face of the casing that carries it."""

import re
from collections.abc import Callable, Mapping

from art import box, disc, line, path, pen, shape, text_width, words
from board import Drawing
from casing import PIXELS, tint_of
from frame import RULER, defs, mat, ruler, signed

# words that begin a new line on a rating label
_BREAKS = re.compile(
    r" (?=(?:INPUT|Input|Entrada|OUTPUT|Output|Saída|PPS|AVS|USB[-: ]|MODEL|Model|Modelo|TOTAL|Total|Max"
    r"|Made|MADE|Fabricado|Manufacturer|UFCS|C\d?(?:[+/][CA]\d?)*:|A\d?(?:/A\d)?:|C\d?\+|FOR INDOOR|For indoor))"
)
DIRECT = "⎓"


def label_drawing(record: Mapping) -> Drawing:
    """The label on its face, with a ruler."""
    deep, wide, long = sorted(record["measured"]["body_mm"]["size"])
    face = (long, max(wide if wide < long else deep, deep))
    margin = 5.0
    width, height = face[0] + 2 * margin, face[1] + 2 * margin + RULER
    scale = PIXELS / width
    pixels_high = round(height * scale)
    tint = tint_of(record)
    body = (
        box(margin + 0.7, margin + 1.1, *face, "#000", 3.0, opacity=0.25)
        + box(margin, margin, *face, tint, 3.0)
        + box(margin, margin, *face, "url(#shell)", 3.0)
    )
    pieces = (defs(), mat(width, height), body, _print(record, margin, face, tint),
              ruler(margin, height - RULER, face[0]), signed(width, height, margin))  # fmt: skip
    svg = shape("svg", "".join(pieces), xmlns="http://www.w3.org/2000/svg", width=PIXELS, height=pixels_high,
                viewBox=f"0 0 {width:.3f} {pixels_high / scale:.3f}")  # fmt: skip
    return Drawing(svg, PIXELS, pixels_high, scale, (margin, margin))


def label_lines(record: Mapping) -> list[str]:
    """The printed text, broken where labels break it; the number of the efficiency level stands in a circle instead."""
    text = re.sub(r" VI$", "", record["label"]["printed"].strip())
    brand = record["product"]["brand"]
    text = re.sub(rf"^{re.escape(brand)} ", "", text, flags=re.IGNORECASE)
    return [piece.strip() for piece in _BREAKS.split(text) if piece.strip()]


def _print(record: Mapping, margin: float, face: tuple[float, float], tint: str) -> str:
    ink = "#e9eaec" if int(tint[1:3], 16) < 128 else "#3a3c40"
    left, top, room = margin + 3.0, margin + 2.6, (face[0] - 6.0, face[1] - 5.2)
    brand = record["product"]["brand"].upper()
    head = min(room[1] * 0.14, 4.2)
    marks = min(room[1] * 0.17, 5.0)
    lines, size = _fitted(label_lines(record), room[0], room[1] - head * 1.5 - marks * 1.35)
    drawn = [words(left, top + head / 2, brand, head, ink, bold=True, text_anchor="start")]
    y = top + head * 1.5
    for one in lines:
        drawn.append(_phrase(left, y + size / 2, one, size, ink))
        y += size * 1.25
    drawn.append(_marks(record, left, margin + face[1] - 2.2 - marks, marks, ink))
    return "".join(drawn)


def _fitted(pieces: list[str], width: float, height: float) -> tuple[list[str], float]:
    size = 3.4
    while size > 0.6:
        lines = [line for piece in pieces for line in _wrapped(piece, width, size)]
        if len(lines) * size * 1.25 <= height:
            return lines, size
        size -= 0.04
    return lines, size


def _wrapped(piece: str, width: float, size: float) -> list[str]:
    lines: list[str] = []
    for word in piece.split():
        if lines and _long(f"{lines[-1]} {word}", size) <= width:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


def _long(text: str, size: float) -> float:
    return sum(_long_piece(piece, size) for piece in re.split(f"({DIRECT})", text))


def _long_piece(piece: str, size: float) -> float:
    return size * 0.95 if piece == DIRECT else text_width(piece, size)


def _phrase(x: float, y: float, text: str, size: float, ink: str) -> str:
    """Text in which the sign of direct current is drawn, since few fonts have it."""
    drawn = []
    for piece in re.split(f"({DIRECT})", text):
        if piece == DIRECT:
            a, b, upper, lower = x + size * 0.14, x + size * 0.82, y - size * 0.1, y + size * 0.14
            drawn.append(line(a, upper, b, upper, ink, size * 0.09))
            drawn.append(
                line(a, lower, b, lower, ink, size * 0.09, stroke_dasharray=f"{size * 0.17:.3f} {size * 0.085:.3f}")
            )
        elif piece:
            drawn.append(words(x, y, piece, size, ink, text_anchor="start"))
        x += _long_piece(piece, size)
    return "".join(drawn)


def _marks(record: Mapping, x: float, y: float, size: float, ink: str) -> str:
    """Symbols of standards that the label bears; marks of approval are not drawn."""
    marks = record["label"].get("marks") or ()
    drawn = []
    if "class-ii" in marks:
        drawn.append(_square(x, y, size, ink) + _square(x + size * 0.23, y + size * 0.23, size * 0.54, ink))
        x += size * 1.4
    if "efficiency-level-vi" in marks:
        drawn.append(disc(x + size / 2, y + size / 2, size * 0.46, "none", stroke=ink, stroke_width=size * 0.07))
        drawn.append(words(x + size / 2, y + size / 2, "VI", size * 0.5, ink, bold=True))
        x += size * 1.4
    if "indoor-use" in marks:
        drawn.append(_house(x, y, size, ink))
        x += size * 1.4
    if "weee-bin" in marks:
        drawn.append(_bin(x, y, size, ink))
    return "".join(drawn)


def _places(x: float, y: float, size: float) -> Callable[[float, float], tuple[float, float]]:
    """From fractions of a square to its places on the label."""
    return lambda across, down: (x + across * size, y + down * size)


def _square(x: float, y: float, size: float, ink: str) -> str:
    return box(x, y, size, size, "none", stroke=ink, stroke_width=size * 0.09)


def _house(x: float, y: float, size: float, ink: str) -> str:
    at = _places(x, y, size)
    d = pen("M", *at(0, 0.5), "L", *at(0.5, 0.04), "L", *at(1, 0.5), "M", *at(0.14, 0.42), "L", *at(0.14, 0.96),
            "L", *at(0.86, 0.96), "L", *at(0.86, 0.42), "M", *at(0.36, 0.6), "L", *at(0.62, 0.74),
            "L", *at(0.36, 0.86))  # fmt: skip
    return path(d, stroke=ink, stroke_width=size * 0.07, stroke_linejoin="round")


def _bin(x: float, y: float, size: float, ink: str) -> str:
    at = _places(x, y, size)
    d = pen("M", *at(0.2, 0.22), "L", *at(0.8, 0.22), "M", *at(0.26, 0.24), "L", *at(0.34, 0.84), "L", *at(0.66, 0.84),
            "L", *at(0.74, 0.24), "M", *at(0.08, 0.06), "L", *at(0.92, 0.9), "M", *at(0.92, 0.06),
            "L", *at(0.08, 0.9))  # fmt: skip
    return path(d, stroke=ink, stroke_width=size * 0.06)
