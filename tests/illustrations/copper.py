"""Copper below the solder mask, faintly, and the joints of leads on the other side."""

from collections.abc import Sequence

from art import box, chance, disc, group, path, shape
from layout import Layout, Rect, lead_points
from mask import Finish

CLEAR = 1.6  # of the middle of the gap that no copper comes nearer to


def _points(layout: Layout, side: str) -> list[tuple[float, float]]:
    """Where parts are joined to the copper on one side."""
    points = []
    for one in layout.top if side == "top" else layout.bottom:
        for body in one.bodies:
            middle = (body.x + body.width / 2, body.y + body.height / 2)
            half = body.width / 2 - 0.2
            points += [(middle[0] - half, middle[1]), (middle[0] + half, middle[1])]
    for one in (*layout.top, *layout.bottom):
        if one.item.through_hole:
            points += [point for body in one.bodies for point in lead_points(one.item, body, one.turned)]
    return points


def copper(layout: Layout, side: str, finish: Finish) -> str:
    """Traces and pours between near joints, kept off the gap and the edges, in a tint of the mask."""
    if finish.bare:
        return _weave(layout)
    wide, high, middle = layout.width, layout.height, layout.barrier
    zones = [Rect(0.4, 0.4, wide - 0.8, high - 0.8)]
    if middle is not None:
        zones = [
            Rect(0.4, 0.4, middle - CLEAR - 0.4, high - 0.8),
            Rect(middle + CLEAR, 0.4, wide - middle - CLEAR - 0.4, high - 0.8),
        ]
    drawn = []
    points = sorted(_points(layout, side))
    for number, zone in enumerate(zones):
        inside = [p for p in points if zone.x <= p[0] <= zone.x + zone.width]
        clip = shape("clipPath", box(zone.x, zone.y, zone.width, zone.height, "#000", 0.5), id=f"zone{number}")
        drawn.append(
            box(zone.x + 0.5, zone.y + 0.5, zone.width - 1, zone.height - 1, finish.over_copper, 1.2, opacity=0.35)
        )
        drawn.append(
            clip + group(_nets(inside, finish, f"{layout.width} {side} {number}"), clip_path=f"url(#zone{number})")
        )
    turned = "" if side == "top" else f"translate({wide:.3f} 0) scale(-1 1)"
    return group("".join(drawn), **({"transform": turned} if turned else {}))


def _nets(points: Sequence[tuple[float, float]], finish: Finish, seed: str) -> str:
    dice = chance(seed)
    traces, vias = [], []
    for number, start in enumerate(points):
        near = sorted(points[:number] + points[number + 1 :], key=lambda p: abs(p[0] - start[0]) + abs(p[1] - start[1]))
        for end in near[1:3]:
            thick = (0.35, 0.35, 0.7, 1.6, 2.8)[min(int(next(dice) * 5), 4)]
            traces.append(
                path(
                    _jog(start, end),
                    stroke=finish.over_copper,
                    stroke_width=thick,
                    stroke_linejoin="round",
                    stroke_linecap="round",
                )
            )
        if next(dice) > 0.45:
            x, y = start[0] + (next(dice) - 0.5) * 5, start[1] + (next(dice) - 0.5) * 5
            vias.append(disc(x, y, 0.28, finish.over_copper) + disc(x, y, 0.13, "#000", opacity=0.45))
    return "".join(traces) + "".join(vias)


def _jog(start: tuple[float, float], end: tuple[float, float]) -> str:
    """Along, then at 45 degrees, as boards are routed."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    short = min(abs(dx), abs(dy))
    bend = (
        (end[0] - (short if dx > 0 else -short), start[1])
        if abs(dx) > abs(dy)
        else (start[0], end[1] - (short if dy > 0 else -short))
    )
    return f"M{start[0]:.2f} {start[1]:.2f}L{bend[0]:.2f} {bend[1]:.2f}L{end[0]:.2f} {end[1]:.2f}"


def _weave(layout: Layout) -> str:
    """The fibres of bare paper laminate."""
    dice = chance(f"paper {layout.width}")
    fibres = []
    for _ in range(220):
        x, y, reach = next(dice) * layout.width, next(dice) * layout.height, 0.5 + 2 * next(dice)
        fibres.append(f"M{x:.2f} {y:.2f}h{min(reach, layout.width - x):.2f}")
    return path("".join(fibres), stroke="#8a6431", stroke_width=0.06, opacity=0.35)


def solder_joints(layout: Layout, side: str) -> str:
    """Cones of solder where leads come through to this side, with a ring of copper, and pads of flat parts."""
    through = layout.top if side == "bottom" else layout.bottom
    drawn = []
    for one in through:
        if one.item.through_hole:
            for body in one.bodies:
                drawn += [_joint(x, y, layout, side) for x, y in lead_points(one.item, body, one.turned)]
    return "".join(drawn)


def _joint(x: float, y: float, layout: Layout, side: str) -> str:
    x = layout.width - x if side == "bottom" else x
    return "".join((
        disc(x + 0.12, y + 0.18, 0.78, "#000", opacity=0.28), disc(x, y, 0.8, "#c9a25a"),
        disc(x, y, 0.7, "url(#solder)"), disc(x, y, 0.27, "#8d9298"),
        disc(x - 0.2, y - 0.24, 0.16, "#fff", opacity=0.9),
    ))  # fmt: skip
