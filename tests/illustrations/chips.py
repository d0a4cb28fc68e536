"""Parts soldered flat on the board, seen from above: each function draws around (0, 0), leads left and right."""

import re

from art import box, disc, group, line, path, pen, printed
from items import Item

INK = "#d5d8dd"


def chip(item: Item) -> str:
    """A resistor with its print, or a ceramic capacitor, between two caps of tin."""
    long, wide = item.long, item.wide
    resistor = any(word in item.role for word in ("resistor",)) or item.role in ("thermistor",)
    body, end = ("#1b1c20", "#e1e3e6") if resistor else ("#b08a5d", "#dfe1e4")
    cap = long * 0.19
    fillets = "".join(path(_fillet(side, long, wide), "url(#solder)") for side in (-1, 1))
    middle = box(-long / 2, -wide / 2, long, wide, body, 0.08)
    ends = "".join(box(x, -wide / 2, cap, wide, end, 0.1) for x in (-long / 2, long / 2 - cap))
    shade = box(-long / 2, -wide / 2, long, wide, "url(#bevel)", 0.1)
    label = printed(item.lines[:2], long * 0.56, wide * 0.8, "#f4f5f6", 1.5) if resistor else ""
    return fillets + middle + ends + shade + label


def _fillet(side: int, long: float, wide: float) -> str:
    x, out = side * long / 2, side * min(0.35, wide * 0.28)
    return (
        f"M{x:.2f} {-wide / 2:.2f}C{x + out:.2f} {-wide / 2:.2f} {x + out:.2f} {wide / 2:.2f} {x:.2f} {wide / 2:.2f}Z"
    )


def gull_wings(item: Item) -> str:
    """A body with bent leads at two sides: SO, SSOP, LSOP, DIP, SOT."""
    long, wide = item.long, item.wide
    left, right = _pins_of(item.family)
    reach = {"DIP": 0.9, "LSO": 1.7}.get(item.family[:3], long * 0.17)
    body = long / 2 - reach
    leads = "".join(
        _lead(side, body, reach, (row - (count - 1) / 2) * _pitch(item.family, wide, count), item.family)
        for side, count in ((-1, left), (1, right)) for row in range(count)
    )  # fmt: skip
    fill = "#ded9cd" if item.role == "optocoupler" and item.family.startswith("SO") else "#26272b"
    ink = "#333" if fill == "#ded9cd" else INK
    case = box(-body, -wide / 2, 2 * body, wide, fill, 0.15) + box(
        -body, -wide / 2, 2 * body, wide, "url(#bevel)", 0.15
    )
    dot = disc(-body + 0.55, -wide / 2 + 0.55, 0.24, "#0c0c0e" if ink == INK else "#a39c8c") if wide > 3.5 else ""
    return leads + case + dot + _print(item, 2 * body * 0.86, wide * 0.72, ink)


def _pins_of(family: str) -> tuple[int, int]:
    counts = {"SOT-23": (1, 2), "SO-7": (4, 3), "DIP-7": (4, 3), "SOT-89": (3, 1)}
    if family in counts:
        return counts[family]
    number = int(re.findall(r"\d+", family)[-1])
    return (number // 2, number // 2)


def _pitch(family: str, wide: float, count: int) -> float:
    if family.startswith("SOT-23") and "6" not in family[6:]:
        return 1.9
    return {"SO-8": 1.27, "SO-7": 1.27, "SSOP-10": 1.0, "LSOP-4": 2.54, "SO-4": 2.54, "SOT-23-6": 0.95}.get(
        family, (wide - 0.6) / max(count, 1)
    )


def _lead(side: int, body: float, reach: float, y: float, family: str) -> str:
    thick = 0.34 if family in ("SOT-23-6", "SSOP-10") else 0.44
    x = body if side > 0 else -body - reach
    foot = box(
        x + (reach * 0.35 if side > 0 else -0.25),
        y - thick * 0.85,
        reach * 0.65 + 0.25,
        thick * 1.7,
        "url(#solder)",
        0.12,
    )
    return foot + box(x, y - thick / 2, reach, thick, "#d3d6da", 0.06)


def _print(item: Item, width: float, height: float, ink: str = INK) -> str:
    if item.state == "erased":
        strokes = "".join(
            line(-width * 0.45, y, width * 0.45, y + 0.2, "#5a5c61", 0.12, opacity=0.8)
            for y in _steps(-height / 2, height / 2, 0.28)
        )
        return strokes
    if item.state == "coated":
        return path(
            pen(
                "M",
                -width * 0.4,
                0.0,
                "Q",
                -width * 0.3,
                -height * 0.6,
                0.0,
                -height * 0.45,
                "T",
                width * 0.45,
                0.0,
                "Q",
                width * 0.2,
                height * 0.6,
                0.0,
                height * 0.4,
                "T",
                -width * 0.4,
                0.0,
                "Z",
            ),
            "#4c4a44",
            opacity=0.85,
        )
    return printed(item.lines, width, height, ink, 1.35)


def _steps(start: float, end: float, step: float) -> list[float]:
    return [start + number * step for number in range(int((end - start) / step) + 1)]


def flat(item: Item) -> str:
    """A leadless body with contacts around its edge: QFN, DFN, PQFN, LGA."""
    long, wide = item.long, item.wide
    count = _contacts(item)
    two_sides = item.family.startswith(("DFN", "PQFN", "LGA"))
    pads = "".join(_edge_pads(long, wide, count, turned) for turned in ((False,) if two_sides else (False, True)))
    case = box(-long / 2, -wide / 2, long, wide, "#232428", 0.12) + box(
        -long / 2, -wide / 2, long, wide, "url(#bevel)", 0.12
    )
    dot = disc(-long / 2 + 0.5, -wide / 2 + 0.5, 0.2, "#8c9096")
    return pads + case + dot + _print(item, long * 0.8, wide * 0.62)


def _contacts(item: Item) -> int:
    named = re.search(r"-(\d+)", item.family)
    if item.family.startswith("QFN") and named:
        return max(4, int(named.group(1)) // 4)
    return 4


def _edge_pads(long: float, wide: float, count: int, turned: bool) -> str:
    across, along = (wide, long) if turned else (long, wide)
    pitch = along * 0.84 / count
    drawn = []
    for side in (-1, 1):
        for row in range(count):
            at = (row - (count - 1) / 2) * pitch
            x = across / 2 - 0.1 if side > 0 else -across / 2 - 0.3
            piece = (at - pitch * 0.3, x, pitch * 0.6, 0.4) if turned else (x, at - pitch * 0.3, 0.4, pitch * 0.6)
            drawn.append(box(*piece, "url(#solder)", 0.08))
    return "".join(drawn)


def tab_package(item: Item) -> str:
    """A body with a soldered metal tab: TO-252, TOLL."""
    long, wide = item.long, item.wide
    tab, reach = (1.4, 2.6) if item.family == "TO-252" else (0.9, 0.9)
    body = long - tab - reach
    left = -long / 2
    plate = box(left, -wide * 0.41, tab + 1, wide * 0.82, "url(#metal)", 0.2) + box(
        left - 0.25, -wide * 0.43, 0.5, wide * 0.86, "url(#solder)", 0.2
    )
    rows = (-0.35, 0.35) if item.family == "TO-252" else tuple((n - 3.5) / 8.6 for n in range(8))
    legs = "".join(box(left + tab + body - 0.1, y * wide - 0.4, reach + 0.1, 0.8, "url(#solder)", 0.15) for y in rows)
    case = box(left + tab, -wide / 2, body, wide, "#26272b", 0.2) + box(
        left + tab, -wide / 2, body, wide, "url(#bevel)", 0.2
    )
    return (
        plate
        + legs
        + case
        + group(_print(item, body * 0.84, wide * 0.6), transform=f"translate({left + tab + body / 2:.2f} 0)")
    )


def diode(item: Item) -> str:
    """A two-lead diode with its band at the cathode."""
    long, wide = item.long, item.wide
    tips = "".join(
        box(x, -wide * 0.3, long * 0.16 + 0.3, wide * 0.6, "url(#solder)", 0.15)
        for x in (-long / 2, long / 2 - long * 0.16 - 0.3)
    )
    half = long * 0.37
    case = box(-half, -wide / 2, 2 * half, wide, "#28292c", 0.15) + box(
        -half, -wide / 2, 2 * half, wide, "url(#bevel)", 0.15
    )
    band = box(-half + 0.2, -wide / 2, max(0.35, long * 0.07), wide, "#c8cbd0")
    return (
        tips + case + band + group(_print(item, half * 1.45, wide * 0.75), transform=f"translate({half * 0.18:.2f} 0)")
    )


def bridge(item: Item) -> str:
    """A flat bridge rectifier with the signs of its four leads."""
    long, wide = item.long, item.wide
    half = long / 2 - 0.9
    rows = (-wide * 0.28, wide * 0.28)
    leads = "".join(
        box(side * half - (0 if side > 0 else 0.9), y - 0.45, 0.9, 0.9, "url(#solder)", 0.15)
        for side in (-1, 1)
        for y in rows
    )
    case = box(-half, -wide / 2, 2 * half, wide, "#232427", 0.25) + box(
        -half, -wide / 2, 2 * half, wide, "url(#bevel)", 0.25
    )
    signs = "".join(group(printed((sign,), 1.2, 1.2, INK, 1.3), transform=f"translate({x:.2f} {y:.2f})")
                    for sign, x, y in _signs(half, rows))  # fmt: skip
    return leads + case + signs + _print(item, 2 * half - 3.2, wide * 0.6)


def _signs(half: float, rows: tuple[float, float]) -> tuple[tuple[str, float, float], ...]:
    left, right = -half + 0.75, half - 0.75
    return (("+", left, rows[0]), ("-", left, rows[1]), ("~", right, rows[0]), ("~", right, rows[1]))


def power_inductor(item: Item) -> str:
    """A moulded inductor with cut corners, or a flat ceramic part of this size."""
    long, wide = item.long, item.wide
    if item.role == "y-capacitor":
        tips = "".join(box(x, -wide * 0.28, 1.2, wide * 0.56, "url(#solder)", 0.2) for x in (-long / 2, long / 2 - 1.2))
        case = box(-long / 2 + 0.8, -wide / 2, long - 1.6, wide, "#2d5f9e", 0.6) + box(
            -long / 2 + 0.8, -wide / 2, long - 1.6, wide, "url(#bevel)", 0.6
        )
        return tips + case + printed(item.lines, long * 0.7, wide * 0.6, "#eaf1fa", 1.6)
    if item.role in ("crystal", "connector"):
        return _crystal(item) if item.role == "crystal" else _header(item)
    cut = min(long, wide) * 0.16
    a, b = long / 2, wide / 2
    outline = pen("M", -a + cut, -b, "H", a - cut, "L", a, -b + cut, "V", b - cut, "L", a - cut, b, "H", -a + cut,
                  "L", -a, b - cut, "V", -b + cut, "Z")  # fmt: skip
    ends = "".join(box(x, -wide * 0.3, 0.6, wide * 0.6, "url(#solder)", 0.1) for x in (-a - 0.15, a - 0.45))
    return (
        ends
        + path(outline, "#55585d")
        + path(outline, "url(#bevel)")
        + printed(item.lines, long * 0.62, wide * 0.4, "#eceef0", 2.6, bold=True)
    )


def _crystal(item: Item) -> str:
    long, wide = item.long, item.wide
    lid = box(-long / 2, -wide / 2, long, wide, "url(#metal)", 0.35, stroke="#85898f", stroke_width=0.1)
    return lid + printed(item.lines, long * 0.8, wide * 0.5, "#33363a", 1.0)


def _header(item: Item) -> str:
    long, wide = item.long, item.wide
    body = box(-long / 2, -wide / 2, long, wide, "#e9e3d0", 0.3) + box(
        -long / 2, -wide / 2, long, wide, "url(#bevel)", 0.3
    )
    pins = "".join(
        box(x - 0.25, -wide * 0.3, 0.5, wide * 0.6, "url(#solder)", 0.1)
        for x in _steps(-long / 2 + 1, long / 2 - 0.9, 1.25)
    )
    return body + pins
