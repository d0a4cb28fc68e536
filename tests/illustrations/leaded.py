"""Bodies on leads, seen from above: each function draws around (0, 0), its long side lying across."""

import math

from art import box, disc, group, line, path, pen, printed
from items import Item

SLEEVES = ("#2b3a55", "#1f1f24", "#4a2f3a", "#23473f")


def capacitor_can(item: Item) -> str:
    """An electrolytic capacitor: its vented top and the sleeve's rim, or its sleeve where it lies."""
    if "capacitor" not in item.role:
        return _other_round(item)
    if item.lying:
        return _lying_can(item)
    radius = item.long / 2
    sleeve = "#c9ccd1" if item.polymer else SLEEVES[sum(map(ord, item.ref)) % len(SLEEVES)]
    drawn = [
        disc(0, 0, radius, sleeve),
        disc(0, 0, radius * 0.985, "none", stroke="#000", stroke_width=0.1, opacity=0.35),
    ]
    if not item.polymer:
        drawn.append(_sector(radius, 0.8, "#d7d9de"))
    drawn.append(disc(0, 0, radius * 0.87, "url(#can)", stroke="#8d9096", stroke_width=0.12))
    if item.polymer:
        return "".join(drawn) + _polymer_top(item, radius)
    vent = radius * 0.6
    cut = f"M{-vent:.2f} 0H{vent:.2f}M0 {-vent:.2f}V{vent:.2f}" if radius > 3.9 else _three_cuts(vent)
    drawn.append(path(cut, stroke="#83868c", stroke_width=0.022 * radius + 0.1, stroke_linecap="round"))
    drawn.append(path(cut, stroke="#f7f8fa", stroke_width=0.1, stroke_linecap="round", transform="translate(0.1 0.1)"))
    return "".join(drawn)


def _other_round(item: Item) -> str:
    """What else is round: a choke on a drum core, an indicator, a thermal cut-off, a spark gap."""
    radius = item.long / 2
    if "choke" in item.role or "inductor" in item.role:
        wire = "".join(
            disc(0, 0, radius * (0.92 - 0.07 * turn), "none", stroke="#c8733a", stroke_width=0.3) for turn in range(4)
        )
        return (
            disc(0, 0, radius, "#4a2412")
            + wire
            + disc(0, 0, radius * 0.62, "#44474c")
            + disc(0, 0, radius * 0.62, "url(#gloss)")
        )
    fill = {"indicator": "#4fae63", "thermal-cut-off": "#c9ccd1"}.get(item.role, "#e8e2d2")
    ring = disc(0, 0, radius * 0.98, "none", stroke="#000", stroke_width=0.12, opacity=0.4)
    return (
        disc(0, 0, radius, fill)
        + disc(0, 0, radius, "url(#dome)")
        + ring
        + disc(-radius * 0.3, -radius * 0.35, radius * 0.2, "#fff", opacity=0.7)
    )


def _three_cuts(vent: float) -> str:
    ends = [(vent * math.sin(a), -vent * math.cos(a)) for a in (0, 2 * math.pi / 3, 4 * math.pi / 3)]
    return "".join(f"M0 0L{x:.2f} {y:.2f}" for x, y in ends)


def _sector(radius: float, half: float, fill: str) -> str:
    x, y = radius * math.cos(half), radius * math.sin(half)
    return path(f"M0 0L{x:.2f} {-y:.2f}A{radius:.2f} {radius:.2f} 0 0 1 {x:.2f} {y:.2f}Z", fill)


def _polymer_top(item: Item, radius: float) -> str:
    across = radius * 0.87
    left = -across * 0.45
    up = math.sqrt(across**2 - left**2)
    moon = path(f"M{left:.2f} {-up:.2f}A{across:.2f} {across:.2f} 0 0 0 {left:.2f} {up:.2f}Z", "#4254a8")
    return moon + group(
        printed(item.lines, radius * 1.05, radius * 0.95, "#27366f", 1.6), transform=f"translate({radius * 0.2:.2f} 0)"
    )


def _lying_can(item: Item) -> str:
    long, wide = item.long, item.wide
    sleeve = SLEEVES[sum(map(ord, item.ref)) % len(SLEEVES)]
    x, y = -long / 2, -wide / 2
    leads = "".join(line(x + 0.3, s * wide * 0.2, x + 1.4, s * wide * 0.2, "#c7c9cd", 0.7) for s in (-1, 1))
    body = box(x + 1.0, y, long - 1.0, wide, sleeve, 0.9) + box(
        x + 2.4, y + 0.15, 0.7, wide - 0.3, "#000", 0.2, opacity=0.25
    )
    stripe = box(x + 1.2, y + wide * 0.72, long - 1.5, wide * 0.17, "#cfd2d8", 0.1)
    minus = "".join(box(x + 3.5 + step * long / 5, y + wide * 0.79, 1.3, 0.35, "#333") for step in range(4))
    shine = box(x + 1.0, y, long - 1.0, wide, "url(#round)", 0.9)
    end = box(x + long - 0.9, y + 0.5, 0.7, wide - 1.0, "#d9dbdf", 0.3, opacity=0.8)
    label = group(
        printed(item.lines, long - 6, wide * 0.5, "#e9ecf1", 2.4), transform=f"translate(0.6 {-wide * 0.1:.2f})"
    )
    return leads + body + stripe + minus + label + shine + end


def box_capacitor(item: Item) -> str:
    """A film capacitor in a moulded case; suppression capacitors are yellow or grey, others brown."""
    fill, ink = {"x-capacitor": ("#e3b93c", "#4b3a08"), "y-capacitor": ("#2f6db3", "#e8f0fa")}.get(
        item.role, ("#8d4a2b", "#f0dcc9")
    )
    long, wide = item.long, item.wide
    body = box(-long / 2, -wide / 2, long, wide, fill, 0.5) + box(-long / 2, -wide / 2, long, wide, "url(#bevel)", 0.5)
    rim = box(
        -long / 2 + 0.5,
        -wide / 2 + 0.5,
        long - 1,
        wide - 1,
        "none",
        0.4,
        stroke="#fff",
        stroke_width=0.12,
        opacity=0.45,
    )
    return body + rim + printed(item.lines, long * 0.84, wide * 0.8, ink, 1.9)


def standing_disc(item: Item) -> str:
    """A lacquered disc on edge: varistor, thermistor or Y capacitor."""
    fill = {"varistor": "#2f62a8", "inrush-thermistor": "#2c3a33", "y-capacitor": "#3f74b5"}.get(item.role, "#a86a2c")
    long, wide = item.long, item.wide
    body = path(_lens(long, wide), fill) + path(_lens(long, wide), "url(#dome)")
    shine = path(f"M{-long * 0.3:.2f} {-wide * 0.2:.2f}Q0 {-wide * 0.42:.2f} {long * 0.28:.2f} {-wide * 0.22:.2f}",
                 stroke="#fff", stroke_width=0.35, stroke_linecap="round", opacity=0.55)  # fmt: skip
    return (
        body
        + shine
        + group(
            printed(item.lines, long * 0.6, wide * 0.42, "#fff", 1.2),
            transform=f"translate(0 {wide * 0.1:.2f})",
            opacity=0.9,
        )
    )


def _lens(long: float, wide: float) -> str:
    a, b = long / 2, wide / 2
    c = b * 1.05
    return pen(
        "M",
        -a,
        0.0,
        "C",
        -a,
        -c,
        -a * 0.5,
        -b,
        0.0,
        -b,
        "S",
        a,
        -c,
        a,
        0.0,
        "S",
        a * 0.5,
        b,
        0.0,
        b,
        "S",
        -a,
        c,
        -a,
        0.0,
        "Z",
    )


def block(item: Item) -> str:
    """A fuse in a small moulded block."""
    long, wide = item.long, item.wide
    body = box(-long / 2, -wide / 2, long, wide, "#2a2622", 0.5) + box(
        -long / 2, -wide / 2, long, wide, "url(#bevel)", 0.5
    )
    return body + printed(item.lines, long * 0.86, wide * 0.78, "#e8e2d4", 1.4)


def cartridge(item: Item) -> str:
    """A glass fuse in its clips."""
    long, wide = item.long, item.wide
    glass = box(-long / 2 + 1, -wide / 2 + 0.3, long - 2, wide - 0.6, "#dfe9ea", 0.8, opacity=0.75) + line(
        -long / 2 + 4, 0, long / 2 - 4, 0, "#6b6f73", 0.15
    )
    caps = "".join(box(x, -wide / 2, 5, wide, "url(#metal)", 0.6) for x in (-long / 2, long / 2 - 5))
    return glass + caps + group(printed(item.lines, 9, wide * 0.5, "#333", 1.2))


def axial(item: Item) -> str:
    """A resistor or choke between two wires, with bands."""
    long, wide = item.long, item.wide
    wires = line(-long / 2 + 0.4, 0, long / 2 - 0.4, 0, "#c9cbd0", 0.6, stroke_linecap="round")
    a = long / 2 - 2
    body = box(-a, -wide / 2, 2 * a, wide, "#5d8f73" if item.role != "inductor" else "#7d9a5b", wide * 0.42)
    bands = "".join(
        box(-a * 0.62 + step * a * 0.42, -wide / 2, a * 0.16, wide, tint)
        for step, tint in enumerate(("#6b3b1c", "#1d1d1d", "#c9a23b", "#d8d8d8"))
    )
    return wires + body + bands + box(-a, -wide / 2, 2 * a, wide, "url(#round)", wide * 0.42)


def standing_bridge(item: Item) -> str:
    """A bridge rectifier or transistor that stands: a thin plastic body, its metal side and legs."""
    long, wide = item.long, item.wide
    body = box(-long / 2, -wide / 2, long, wide, "#202124", 0.3) + box(
        -long / 2, -wide / 2, long, wide, "url(#bevel)", 0.3
    )
    metal = "" if item.family in ("KBP", "GBU", "TO-220F") else box(-long / 2, -wide / 2, long, 1.3, "url(#metal)", 0.2)
    room = wide * (0.75 if not metal else 0.5)
    return (
        body
        + metal
        + group(
            printed(item.lines[:2], long * 0.85, room, "#d9dbdf", 1.3),
            transform=f"translate(0 {0.6 if metal else 0:.1f})",
        )
    )


def inlet(item: Item) -> str:
    """A mains inlet at the board's edge."""
    long, wide = item.long, item.wide
    body = box(-long / 2, -wide / 2, long, wide, "#18191b", 0.8) + box(
        -long / 2, -wide / 2, long, wide, "url(#bevel)", 0.8
    )
    front = box(-long / 2, -wide / 2 - 0.0, 2.2, wide, "#2a2b2f", 0.4)
    tabs = "".join(box(long / 2 - 2.6, y - 1, 2.4, 2, "url(#metal)", 0.2) for y in (-wide * 0.25, wide * 0.25))
    return body + front + tabs


def receptacle(item: Item) -> str:
    """A USB receptacle from above, its mouth below: the folded shell with its seam and springs."""
    long, wide = item.long, item.wide
    shell = box(-long / 2, -wide / 2, long, wide, "url(#metal)", 0.5, stroke="#777b82", stroke_width=0.1)
    mouth = box(-long / 2 + 0.1, wide / 2 - 0.55, long - 0.2, 0.55, "#f2f3f5", 0.2) + line(
        -long / 2 + 0.4, wide / 2 - 0.6, long / 2 - 0.4, wide / 2 - 0.6, "#8b9098", 0.1
    )
    seam = line(0, -wide / 2 + 0.2, 0, wide * 0.18, "#7c8087", 0.1)
    springs = "".join(
        path(
            f"M{x - 0.8:.2f} {wide * 0.02:.2f}v{wide * 0.26:.2f}h1.6v{-wide * 0.26:.2f}",
            stroke="#80848b",
            stroke_width=0.13,
        )
        for x in (-long * 0.27, long * 0.27)
    )
    ears = "".join(
        box(side * long / 2 - 0.35, y - 0.7, 0.7, 1.4, "#cdd0d5", 0.3)
        for side in (-1, 1)
        for y in (-wide * 0.25, wide * 0.25)
    )
    plastic = box(-long / 2 + 0.5, -wide / 2 - 0.02, long - 1, 1.0, "#17181a", 0.2)
    return ears + shell + plastic + seam + springs + mouth
