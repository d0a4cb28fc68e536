"""Where the bodies stand: a deterministic packing of rectangles in millimetres, without overlaps, zone by zone."""

import hashlib
from collections import Counter
from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from itertools import product

import numpy
from items import ACROSS, PRIMARY, SECONDARY, Item

STEP = 0.25
EDGE = 0.7
AT_EDGES = ("usb-c", "usb-a", "inlet")


@dataclass(frozen=True, slots=True)
class Rect:
    """Left, top, width and height in millimetres from the board's corner."""

    x: float
    y: float
    width: float
    height: float

    def overlaps(self, other: "Rect") -> bool:
        """Whether the two share any area."""
        return (
            self.x < other.x + other.width and other.x < self.x + self.width
            and self.y < other.y + other.height and other.y < self.y + self.height
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Placed:
    """An item with the rectangles of its bodies and a quarter turn where ``turned``."""

    item: Item
    rect: Rect
    bodies: tuple[Rect, ...]
    turned: bool


@dataclass(frozen=True, slots=True)
class Layout:
    """A board with its parts; ``barrier`` is the middle of the gap between the two sides of the insulation."""

    width: float
    height: float
    barrier: float | None
    gap: float
    top: tuple[Placed, ...]
    bottom: tuple[Placed, ...]


ROOMS = ((0.5, 6.0), (0.35, 5.0), (0.25, 4.0), (0.25, 3.0))
OVER = 3.5  # of a part across the gap that stands on either side at least
LEAN = 0.8  # from the middle of the gap to bodies on leads, whose copper is farther away
SHIFTS = (0, -2, 2, -4, 4, -6.5, 6.5, -9)
MIXINGS = 40


class Crowded(ValueError):
    """The parts do not fit this way."""


class _Grid:
    """What is taken on one side of the board, in cells."""

    def __init__(self, width: float, height: float) -> None:
        self.taken = numpy.zeros((round(height / STEP), round(width / STEP)), dtype=bool)

    def fill(self, rect: Rect, room: float) -> None:
        rows, columns = self.taken.shape
        left, right = round((rect.x - room) / STEP), round((rect.x + rect.width + room) / STEP)
        top, bottom = round((rect.y - room) / STEP), round((rect.y + rect.height + room) / STEP)
        self.taken[max(top, 0) : min(bottom, rows), max(left, 0) : min(right, columns)] = True

    def free(self, width: float, height: float, zone: Rect) -> tuple[numpy.ndarray, numpy.ndarray]:
        """Left upper corners, in millimetres, where a rectangle of this size stands free within a zone."""
        wide, high = int(numpy.ceil(width / STEP)), int(numpy.ceil(height / STEP))
        sums = numpy.pad(self.taken.cumsum(0, dtype=numpy.int64).cumsum(1), ((1, 0), (1, 0)))
        if high >= sums.shape[0] or wide >= sums.shape[1]:
            return numpy.empty(0), numpy.empty(0)
        inside = sums[high:, wide:] - sums[:-high, wide:] - sums[high:, :-wide] + sums[:-high, :-wide]
        rows, columns = numpy.nonzero(inside == 0)
        x, y = columns * STEP, rows * STEP
        fits = (x >= zone.x) & (x + width <= zone.x + zone.width) & (y >= zone.y) & (y + height <= zone.y + zone.height)
        return x[fits], y[fits]


@dataclass(frozen=True, slots=True)
class _Plan:
    barrier: float | None
    gap: float
    room: float
    mixing: int
    low: bool


def laid_out(items: Sequence[Item], width: float, height: float, fillers: Sequence[Item] = ()) -> Layout:
    """The first arrangement that holds all items, from roomy to tight; raises Crowded when there is none.

    ``fillers`` stand where room is left; those that find none are left away.
    """
    zones = {item.zone for item in items}
    split = ACROSS in zones
    share = _share(items) * width
    low = sum(item.long * item.count + 1 for item in items if item.family.startswith("usb")) > height - 1
    middles = [share + shift for shift in SHIFTS] if split else [None]
    crowded: Counter[str] = Counter()
    apart = tuple(replace(item, count=1) for item in items for _ in range(item.count))
    for (room, gap), mixing, middle in product(ROOMS, range(MIXINGS), middles):
        held = apart if mixing % 2 else items
        try:
            return _arranged(held, fillers, width, height, _Plan(middle, gap, room, mixing, low))
        except Crowded as reason:
            crowded[str(reason)] += 1
    raise Crowded(f"no room for {crowded.most_common(3)}")


def _share(items: Sequence[Item]) -> float:
    areas = {PRIMARY: 1.0, SECONDARY: 1.0, ACROSS: 0.0}
    for item in items:
        if item.side == "top":
            areas[item.zone] += (item.long + 0.8) * (item.wide + 0.8) * item.count
    return min(max((areas[PRIMARY] + areas[ACROSS] * 0.5) / sum(areas.values()), 0.25), 0.8)


def _arranged(items: Sequence[Item], fillers: Sequence[Item], width: float, height: float, plan: _Plan) -> Layout:
    grids = {"top": _Grid(width, height), "bottom": _Grid(width, height)}
    placed: dict[str, list[Placed]] = {"top": [], "bottom": []}
    for item in sorted(items, key=lambda item: _order(item, plan.mixing)):
        one = _place(item, grids[item.side], _zone(item, width, height, plan), plan, height)
        placed[item.side].append(one)
        grids[item.side].fill(one.rect, plan.room)
        if item.through_hole:
            opposite = "top" if item.side == "bottom" else "bottom"
            for lead in leads(one):
                if any(lead.overlaps(other.rect) for other in placed[opposite]):
                    raise Crowded(item.ref)
                grids[opposite].fill(lead, 0.55)
    for item in fillers:
        with suppress(Crowded):
            one = _place(item, grids[item.side], _zone(item, width, height, plan), plan, height)
            placed[item.side].append(one)
            grids[item.side].fill(one.rect, 0.8)
    return Layout(width, height, plan.barrier, plan.gap, tuple(placed["top"]), tuple(placed["bottom"]))


def _order(item: Item, mixing: int) -> tuple:
    """Leads that come up from below first, then edges, what bridges the gap, and size, the mixing way around it."""
    first = 0 if item.family in AT_EDGES else 1
    size = item.long * item.wide * item.count * (1 + 1.4 * _whim(item.ref, mixing))
    return (not item.through_hole, item.side == "top", first, item.zone != ACROSS, -size, item.ref)


def _whim(name: str, mixing: int) -> float:
    """A number between -0.5 and 0.5 that is always the same for the same words; 0 in the first mixing."""
    return hashlib.sha256(f"{name} {mixing}".encode()).digest()[0] / 255 - 0.5 if mixing else 0.0


def _zone(item: Item, width: float, height: float, plan: _Plan) -> Rect:
    high = height - 2 * EDGE
    if plan.barrier is None:
        return Rect(EDGE, EDGE, width - 2 * EDGE, high)
    if item.zone == ACROSS:
        over = min(OVER, 0.4 * item.long)
        start = max(EDGE, plan.barrier - item.long + over)
        return Rect(start, EDGE, min(plan.barrier + item.long - over, width - EDGE) - start, high)
    half = LEAN if item.through_hole else plan.gap / 2
    if item.zone == PRIMARY:
        return Rect(EDGE, EDGE, plan.barrier - half - EDGE, high)
    start = plan.barrier + half
    return Rect(start, EDGE, width - EDGE - start, high)


def _place(item: Item, grid: _Grid, zone: Rect, plan: _Plan, height: float) -> Placed:
    best = None
    for columns, rows in _blocks(item.count):
        for turned in _turns(item, plan):
            long, wide = (item.wide, item.long) if turned else (item.long, item.wide)
            block = (columns * long + (columns - 1) * 0.5, rows * wide + (rows - 1) * 0.5)
            xs, ys = grid.free(*block, _at_edge(item, zone, block, plan.low))
            if not len(xs):
                continue
            costs = _costs(item, xs, ys, block, zone, plan)
            at = int(numpy.argmin(costs))
            if best is None or costs[at] < best[0] - 1e-9:
                best = (float(costs[at]), float(xs[at]), float(ys[at]), block, columns, rows, long, wide, turned)
    if best is None:
        raise Crowded(item.ref)
    _, x, y, block, columns, rows, long, wide, turned = best
    bodies = tuple(
        Rect(x + column * (long + 0.5), y + row * (wide + 0.5), long, wide)
        for row in range(rows) for column in range(columns)
    )[: item.count]  # fmt: skip
    return Placed(item, Rect(x, y, *block), bodies, turned)


def _blocks(count: int) -> Iterable[tuple[int, int]]:
    """Columns and rows of equal parts side by side."""
    seen = {(count, 1), (1, count)}
    if count > 3:
        seen |= {((count + 1) // 2, 2), (2, (count + 1) // 2)}
    return sorted(seen, key=lambda pair: (abs(pair[0] - pair[1]), pair))


def _turns(item: Item, plan: _Plan) -> tuple[bool, ...]:
    if item.family in ("usb-c", "usb-a"):
        return (not plan.low,)
    if item.family == "inlet" or item.zone == ACROSS and item.role != "transformer":
        return (False,)
    return (False,) if item.long == item.wide else (False, True)


def _at_edge(item: Item, zone: Rect, block: tuple[float, float], low: bool) -> Rect:
    """Connectors stand at the right edge, or at the lower one where that is too short; inlets at the left one."""
    if item.family in ("usb-c", "usb-a"):
        right, floor = zone.x + zone.width + EDGE, zone.y + zone.height + EDGE
        if low:
            return Rect(zone.x, floor - block[1] - STEP, zone.width, block[1] + STEP)
        return Rect(right - block[0] - STEP, zone.y, block[0] + STEP, zone.height)
    if item.family == "inlet":
        return Rect(0, zone.y, block[0] + EDGE, zone.height)
    return zone


def _costs(
    item: Item, xs: numpy.ndarray, ys: numpy.ndarray, block: tuple[float, float], zone: Rect, plan: _Plan
) -> numpy.ndarray:
    wide, high = block
    edge = numpy.minimum(ys - zone.y, zone.y + zone.height - ys - high)
    if item.zone == ACROSS and plan.barrier is not None:
        middle = numpy.abs(xs + wide / 2 - plan.barrier + wide * 0.5 * _whim(f"across {item.ref}", plan.mixing))
        return (
            (0.6 if item.role == "transformer" else 2) * middle
            + 0.3 * edge
            + 0.05 * _whim(f"up {item.ref}", plan.mixing) * ys
            + 0.01 * ys
        )
    if item.family in AT_EDGES:
        if plan.low:
            return numpy.abs(xs + wide / 2 - zone.x - zone.width / 2) * 0.1 + xs - 10 * ys
        spread = numpy.abs(ys + high / 2 - zone.y - zone.height / 2) if plan.mixing == 0 else ys
        return spread - xs * (0 if item.family == "inlet" else 10)
    flow = min(max(item.flow + 1.2 * _whim(f"along {item.ref}", plan.mixing), 0.0), 1.0)
    away = numpy.abs(xs - zone.x - flow * (zone.width - wide))
    if not item.through_hole:
        high_up = zone.y + (0.5 + 0.95 * _whim(f"height {item.role}", plan.mixing + 1)) * (zone.height - high)
        return away + 0.6 * numpy.abs(ys - high_up)
    return away + 0.5 * edge + 0.2 * _whim(f"up {item.ref}", plan.mixing) * ys + 0.02 * ys + 0.01 * xs


def leads(one: Placed) -> tuple[Rect, ...]:
    """Where its leads come through the board, as small squares."""
    return tuple(
        Rect(x - 0.7, y - 0.7, 1.4, 1.4) for body in one.bodies for x, y in lead_points(one.item, body, one.turned)
    )


def lead_points(item: Item, body: Rect, turned: bool) -> tuple[tuple[float, float], ...]:
    """Middle of each lead of one body, common practice of its kind."""
    middle_x, middle_y = body.x + body.width / 2, body.y + body.height / 2
    points = [(a, b) for a, b in _lead_pattern(item)]
    if turned:
        points = [(b, a) for a, b in points]
    return tuple((middle_x + a, middle_y + b) for a, b in points)


def _lead_pattern(item: Item) -> Sequence[tuple[float, float]]:
    """Leads around the middle of a body whose long side lies across."""
    long, wide = item.long / 2, item.wide / 2
    if item.family in ("radial", "snap-in"):
        pitch = {True: 2.5, False: 3.75}[item.tall > 12 or wide > 5] if wide < 4 else wide * 0.5
        return (
            ((-long + 0.9, -pitch / 2), (-long + 0.9, pitch / 2)) if item.lying else ((0, -pitch / 2), (0, pitch / 2))
        )
    if item.family == "bobbin":
        count = max(2, int(item.wide // 4))
        rows = [(row + 0.5) / count * 2 * wide - wide for row in range(count)]
        return tuple((side * (long - 1.0), row) for side in (-1, 1) for row in rows)
    if item.family == "toroid":
        return tuple((a * long * 0.55, b * wide * 0.7) for a in (-1, 1) for b in (-1, 1))
    if item.family in ("TO-220", "TO-220F", "TO-247"):
        return tuple((step * long * 0.5, 0.8) for step in (-1, 0, 1))
    if item.family in ("KBP", "GBU"):
        return tuple((step * long * 0.5, 0) for step in (-1.5, -0.5, 0.5, 1.5))
    if item.family.startswith("DIP"):
        return tuple((side * (long - 0.4), row * 2.54) for side in (-1, 1) for row in (-1.5, -0.5, 0.5, 1.5))
    if item.family in ("usb-c", "usb-a"):
        return tuple((a * long * 0.86, b * wide * 0.5) for a in (-1, 1) for b in (-1, 1))
    return ((-long + 1.0, 0), (long - 1.0, 0))
