"""One side of a board as a drawing to scale: laminate, copper, print, parts, shadows, compound, ruler."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import chips
import leaded
import wound
from art import box, chance, group, path, shape
from copper import copper, solder_joints
from frame import RULER, defs, mat, ruler, signed
from items import ACROSS, CHIPS, Item
from layout import Layout, Placed, Rect
from mask import Finish, finish_of
from silk import silkscreen

PIXELS = 1600
MARGIN = 0.07

_DRAWN: dict[str, Callable[[Item], str]] = {
    "radial": leaded.capacitor_can, "snap-in": leaded.capacitor_can, "box": leaded.box_capacitor,
    "disc": leaded.standing_disc, "block": leaded.block, "cartridge": leaded.cartridge, "axial": leaded.axial,
    "toroid": wound.toroid, "bobbin": wound.bobbin, "KBP": leaded.standing_bridge, "GBU": leaded.standing_bridge,
    "TO-220": leaded.standing_bridge, "TO-220F": leaded.standing_bridge, "TO-247": leaded.standing_bridge,
    "inlet": leaded.inlet, "usb-c": leaded.receptacle, "usb-a": leaded.receptacle, "TO-252": chips.tab_package,
    "TOLL": chips.tab_package, "SMA": chips.diode, "SMB": chips.diode, "SMC": chips.diode, "SOD-123": chips.diode,
    "ABS": chips.bridge, "MBS": chips.bridge, "DBS": chips.bridge, "SMD": chips.power_inductor,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Drawing:
    """An SVG text, its size in pixels, how many there are to the millimetre and where the board's corner is."""

    svg: str
    width: int
    height: int
    scale: float
    corner: tuple[float, float]

    def fractions(self, rect: Rect, room: float = 0.25) -> tuple[float, float, float, float]:
        """A rectangle on the board, with a little room around it, as fractions of the picture."""
        left, top = (self.corner[0] + rect.x - room) * self.scale, (self.corner[1] + rect.y - room) * self.scale
        right = left + (rect.width + 2 * room) * self.scale
        bottom = top + (rect.height + 2 * room) * self.scale
        left, top, right, bottom = max(left, 0), max(top, 0), min(right, self.width), min(bottom, self.height)
        return (round(left / self.width, 4), round(top / self.height, 4),
                round((right - left) / self.width, 4), round((bottom - top) / self.height, 4))  # fmt: skip


def seen(layout: Layout, side: str) -> tuple[Placed, ...]:
    """The parts of one side as the viewer sees them: the bottom is turned over about its upright middle."""
    if side == "top":
        return layout.top
    return tuple(_mirrored(one, layout.width) for one in layout.bottom)


def _mirrored(one: Placed, width: float) -> Placed:
    return Placed(one.item, _over(one.rect, width), tuple(_over(body, width) for body in one.bodies), one.turned)


def _over(rect: Rect, width: float) -> Rect:
    return Rect(width - rect.x - rect.width, rect.y, rect.width, rect.height)


def board_drawing(
    layout: Layout, side: str, board: Mapping, record: Mapping, without: str = "", pixels: int = PIXELS
) -> Drawing:
    """One side of a board with everything on it; the part ``without`` is left away, for tests of its box."""
    finish = finish_of(record, board, side)
    parts = seen(layout, side)
    margin = max(layout.width, layout.height) * MARGIN
    width, height = layout.width + 2 * margin, layout.height + 2 * margin + RULER
    scale = pixels / width
    shown = [one for one in parts if one.item.ref != without]
    # the print and the copper are drawn for all parts, so that leaving one away changes nothing but its body
    content = "".join((
        _laminate(layout, finish),
        copper(layout, side, finish),
        silkscreen(layout, side, parts, board, finish, _slot_rect(layout, side, record)),
        _slot(layout, side, record),
        solder_joints(layout, side),
        _shadows(parts),
        "".join(_part(one) for one in shown),
        compound(layout, side, record),
    ))  # fmt: skip
    pieces = (
        defs(finish),
        mat(width, height),
        group(content, transform=f"translate({margin:.3f} {margin:.3f})"),
        ruler(margin, height - RULER, layout.width),
        signed(width, height, margin),
    )
    pixels_high = round(height * scale)
    svg = shape("svg", "".join(pieces), xmlns="http://www.w3.org/2000/svg", width=pixels, height=pixels_high,
                viewBox=f"0 0 {width:.3f} {pixels_high / scale:.3f}")  # fmt: skip
    return Drawing(svg, pixels, pixels_high, scale, (margin, margin))


def _laminate(layout: Layout, finish: Finish) -> str:
    wide, high = layout.width, layout.height
    shadow = "".join(
        box(0.9 - grow, 1.4 - grow, wide + 2 * grow, high + 2 * grow, "#000", 0.8 + grow, opacity=0.055)
        for grow in (1.6, 1.3, 1.05, 0.8, 0.6, 0.4, 0.2, 0.0)
    )  # fmt: skip
    edge = box(0.12, 0.22, wide, high, finish.edge, 0.8)
    return shadow + edge + box(0, 0, wide, high, finish.mask, 0.8) + box(0, 0, wide, high, "url(#sheen)", 0.8)


def slot_span(layout: Layout) -> tuple[float, float] | None:
    """From where to where the slot reaches, along the middle of the gap: the longest run without leads or bodies."""
    if layout.barrier is None:
        return None
    taken = [
        (body.y - 0.6, body.y + body.height + 0.6)
        for one in (*layout.top, *layout.bottom) for body in one.bodies
        if (one.item.zone != ACROSS or one.item.role == "transformer")
        and body.x - 0.9 < layout.barrier < body.x + body.width + 0.9
    ]  # fmt: skip
    runs, start = [], 1.6
    for top, bottom in (*sorted(taken), (layout.height - 1.6, layout.height)):
        runs.append((min(top, layout.height - 1.6) - start, start))
        start = max(start, bottom)
    length, begin = max(runs)
    return (begin, begin + length) if length > 3.0 else None


def _slot_rect(layout: Layout, side: str, record: Mapping) -> Rect | None:
    span = slot_span(layout) if (record.get("construction") or {}).get("board_slot") else None
    if span is None or layout.barrier is None:
        return None
    x = layout.barrier if side == "top" else layout.width - layout.barrier
    return Rect(x - 0.55, span[0], 1.1, span[1] - span[0])


def _slot(layout: Layout, side: str, record: Mapping) -> str:
    hole = _slot_rect(layout, side, record)
    if hole is None:
        return ""
    place = (hole.x, hole.y, hole.width, hole.height)
    return box(*place, "#b9b5ab", 0.55) + box(*place, "url(#hole)", 0.55, stroke="#3b2f1c", stroke_width=0.12)


def _shadows(parts: Sequence[Placed]) -> str:
    """Soft shadows to the lower right, longer for taller bodies: stacked outlines, as blurs cost seconds."""
    return "".join(_shadow(one, body) for one in parts for body in one.bodies)


def _shadow(one: Placed, body: Rect) -> str:
    reach = 0.1 + 0.06 * min(one.item.tall, 20)
    round_body = one.item.family in ("radial", "snap-in", "toroid") and one.item.long == one.item.wide
    corner = min(body.width, body.height) / 2 if round_body else 0.5
    soft = 0.1 + reach * 0.45
    layers = ((soft, 0.09), (soft * 0.6, 0.1), (soft * 0.25, 0.11), (-soft * 0.1, 0.11))
    return "".join(
        box(body.x + reach * 0.6 - grow, body.y + reach * 0.85 - grow, body.width + 2 * grow, body.height + 2 * grow,
            "#000", max(corner + grow, 0.0), opacity=dark)
        for grow, dark in layers
    )  # fmt: skip


def _part(one: Placed) -> str:
    drawn = body_of(one.item)
    out = []
    for body in one.bodies:
        turn = _turn(one, body)
        out.append(
            group(drawn, transform=f"translate({body.x + body.width / 2:.3f} {body.y + body.height / 2:.3f}){turn}")
        )
    return "".join(out)


def _turn(one: Placed, body: Rect) -> str:
    if not one.turned:
        return ""
    return " rotate(-90)" if one.item.family.startswith("usb") or one.item.lying else " rotate(90)"


def body_of(item: Item) -> str:
    """The drawing of one body around (0, 0)."""
    if item.family in CHIPS:
        return chips.chip(item)
    drawer = _DRAWN.get(item.family)
    if drawer:
        return drawer(item)
    if item.family.startswith(("QFN", "DFN", "PQFN", "LGA")):
        return chips.flat(item)
    return chips.gull_wings(item)


_COMPOUND = {
    "thermal-silicone": ("#b9bcbd", 0.5), "silicone": ("#f2f5f5", 0.42), "epoxy": ("#1d1d22", 0.5),
    "polyurethane": ("#b98a3a", 0.42),
}  # fmt: skip


def compound(layout: Layout, side: str, record: Mapping) -> str:
    """Potting as the record tells it: beads, a patch around the magnetics, or all over."""
    potting = (record.get("construction") or {}).get("potting") or {}
    extent = potting.get("extent", "none")
    if side != "top" or extent == "none" or layout.barrier is None:
        return ""
    fill, opacity = _COMPOUND.get(potting.get("material", ""), ("#d5d8d8", 0.45))
    if extent == "spots":
        return "".join(
            _bead(one, "#f4f5f2" if potting["material"] == "silicone" else "#d3d6d7")
            for one in layout.top
            if one.item.tall > 9 and one.item.through_hole
        )
    if extent == "full":
        area = Rect(0.5, 0.5, layout.width - 1, layout.height - 1)
        return _pool(area, fill, opacity * 0.8, "all")
    near = [one.rect for one in layout.top if one.item.role in ("transformer", "pfc-inductor")]
    return "".join(
        _pool(
            Rect(
                max(r.x - 2.2, 0.3),
                max(r.y - 2.2, 0.3),
                min(r.width + 4.4, layout.width - max(r.x - 2.2, 0.3) - 0.3),
                min(r.height + 4.4, layout.height - max(r.y - 2.2, 0.3) - 0.3),
            ),
            fill,
            opacity,
            f"{r.x}",
        )
        for r in near
    )


def _pool(area: Rect, fill: str, opacity: float, seed: str) -> str:
    dice = chance(f"pool {seed}")
    corners = []
    steps = 7
    for side in range(4):
        for step in range(steps):
            part, dent = step / steps, 0.9 * next(dice)
            along, down = area.x + part * area.width, area.y + part * area.height
            back, up = area.x + area.width * (1 - part), area.y + area.height * (1 - part)
            right, floor = area.x + area.width - dent, area.y + area.height - dent
            x, y = ((along, area.y + dent), (right, down), (back, floor), (area.x + dent, up))[side]
            corners.append((x, y))
    mids = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)]
    d = (
        f"M{mids[-1][0]:.2f} {mids[-1][1]:.2f}"
        + "".join(f"Q{c[0]:.2f} {c[1]:.2f} {m[0]:.2f} {m[1]:.2f}" for c, m in zip(corners, mids, strict=True))
        + "Z"
    )
    return path(d, fill, opacity=opacity) + path(d, stroke="#fff", stroke_width=0.25, opacity=0.35)


def _bead(one: Placed, fill: str) -> str:
    body = one.bodies[0]
    x, y = body.x + body.width * 0.5, body.y + body.height
    d = f"M{x - 2:.2f} {y - 0.4:.2f}q0.6 -0.7 1.6 -0.3t1.5 0.1 1.1 0.9q-0.3 0.9 -1.5 0.7t-1.6 0.1 -1.1 -1.4Z"
    return path(d, fill, opacity=0.85, stroke="#8a8d8c", stroke_width=0.05) + path(
        f"M{x - 1.2:.2f} {y - 0.2:.2f}q0.8 -0.3 1.6 0", stroke="#fff", stroke_width=0.15, stroke_linecap="round"
    )
