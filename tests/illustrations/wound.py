"""Wound parts seen from above: rings, coil formers and chokes, each drawn around (0, 0), its long side lying across."""

import math

from art import box, chance, disc, line, path, printed, spokes
from items import Item

TAPES = {"transformer": "#e7c545", "pfc-inductor": "#d9b93a", "resonant-inductor": "#3b6fa8"}


def toroid(item: Item) -> str:
    """A ring core with two windings, seen from above, or from its edge where it stands."""
    if item.wide < item.long:
        return _standing_ring(item)
    radius = item.long / 2
    ring = disc(0, 0, radius * 0.8, "none", stroke="#3c4a3f", stroke_width=radius * 0.5)
    turns = max(7, int(radius * 2))
    windings = "".join(
        path(
            spokes(turns, radius * 0.5, radius * 0.98, start, math.pi * 0.8),
            stroke=tint,
            stroke_width=width,
            stroke_linecap="round",
        )
        for start in (math.pi * 0.1, math.pi * 1.1)
        for tint, width in (("#6d3515", 0.95), ("#c8733a", 0.72), ("#eeb07c", 0.2))
    )
    bar = box(-radius * 0.98, -0.45, radius * 1.96, 0.9, "#23252a", 0.2)
    return ring + windings + (bar if item.role == "common-mode-choke" else "")


def _standing_ring(item: Item) -> str:
    long, wide = item.long, item.wide
    base = box(-long / 2, -wide / 2, long, wide, "#25272b", 0.6) + box(
        -long / 2, -wide / 2, long, wide, "url(#bevel)", 0.6
    )
    turns = max(7, int(long * 0.9))
    span = long * 0.43
    strokes = []
    for half in (-1, 1):
        for number in range(turns // 2):
            x = half * (0.5 + span * (number + 0.5) / (turns // 2))
            fall = math.sqrt(max(1 - (x / (long / 2)) ** 2, 0.05))
            y = wide * (0.28 + 0.2 * fall)
            strokes.append((x, y))
    drawn = "".join(
        line(x, -y, x, y, tint, width, stroke_linecap="round")
        for tint, width in (("#6d3515", 0.9), ("#c8733a", 0.66), ("#f0b683", 0.18)) for x, y in strokes
    )  # fmt: skip
    return base + drawn + box(-0.35, -wide / 2 + 0.2, 0.7, wide - 0.4, "#3a3d43", 0.2)


def bobbin(item: Item) -> str:
    """A transformer or choke: coil former with its pins, ferrite, tape and print."""
    long, wide = item.long, item.wide
    if item.role == "common-mode-choke":
        return _frame_choke(item)
    tape = TAPES.get(item.role, "#e7c545")
    flange = box(-long / 2, -wide / 2 + 0.6, long, wide - 1.2, "#1f1e20", 0.5)
    pins = max(2, int(wide // 4))
    ends = "".join(
        line(side * (long / 2 - 1.9), row, side * (long / 2 - 0.25), row + 0.2, "#d4945c" if side < 0 else "#e4e6e9",
             0.55, stroke_linecap="round")
        for side in (-1, 1) for row in [((n + 0.5) / pins - 0.5) * (wide - 2.4) for n in range(pins)]
    )  # fmt: skip
    core = box(-long * 0.37, -wide / 2, long * 0.74, wide, "#4b4e53", 0.7) + box(
        -long * 0.37, -wide / 2, long * 0.74, wide, "url(#bevel)", 0.7
    )
    grain = _grain(item, long * 0.72, wide)
    wrap = box(-long * 0.37, -wide * 0.33, long * 0.74, wide * 0.66, tape, 0.2, opacity=0.95)
    folds = "".join(
        line(-long * 0.37, wide * y, long * 0.37, wide * y, "#8a6d12", 0.09, opacity=0.5)
        for y in (-0.33, -0.3, 0.29, 0.33)
    )
    gloss = box(-long * 0.37, -wide * 0.33, long * 0.74, wide * 0.66, "url(#gloss)", 0.2)
    label = printed(item.lines, long * 0.66, wide * 0.42, "#3a2d05", 2.4, bold=True)
    return flange + ends + core + grain + wrap + folds + gloss + label


def _grain(item: Item, long: float, wide: float) -> str:
    dice = chance(f"grain {item.ref}")
    return "".join(
        disc((next(dice) - 0.5) * long, (next(dice) - 0.5) * wide * 0.96, 0.1, "#7c8087", opacity=0.6)
        for _ in range(26)
    )


def _frame_choke(item: Item) -> str:
    long, wide = item.long, item.wide
    frame = box(-long / 2, -wide / 2, long, wide, "#3f4247", 0.6) + box(
        -long / 2, -wide / 2, long, wide, "url(#bevel)", 0.6
    )
    coils = ""
    for half in (-1, 1):
        left = half * long * 0.24 - long * 0.17
        coils += box(left, -wide * 0.4, long * 0.34, wide * 0.8, "#8c4a1e", 0.5)
        coils += "".join(
            line(
                left + 0.1, -wide * 0.37 + s * 0.52, left + long * 0.34 - 0.1, -wide * 0.37 + s * 0.52, "#d58a4e", 0.34
            )
            for s in range(int(wide * 0.76 / 0.52))
        )
    return frame + coils + box(-0.5, -wide / 2, 1.0, wide, "#22242a", 0.2)
