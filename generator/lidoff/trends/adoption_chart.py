"""Adoption over the years as lines: shares with their interval where enough designs were examined, else numbers."""

from collections.abc import Sequence

import pandas as pd

from lidoff.trends.adoption import BASES, DETERMINED, EXAMINED
from lidoff.trends.canvas import Sign, Sketch
from lidoff.trends.frames import Frames
from lidoff.trends.palette import SHAPES, Fill, fill_of
from lidoff.trends.point_chart import Axes, Line, Words, point_chart
from lidoff.trends.statistics import LEAST_FOR_SHARE
from lidoff.trends.svg import Link
from lidoff.trends.table import Cell, Table, counted

_MOST = 0.75
_LOOKED_FOR = {"PPS": "&protocol=PPS", "EPR": "", "AVS": "", "GaN primary switch": "&technology=GaN"}


def adoption_chart(frames: Frames, table: Table, link: Link, prefix: str) -> Sketch | None:
    """One line an offer; the marks lead to the products of their year."""
    years = [year for year in table.columns if year.isdigit()]
    offers = [*BASES, EXAMINED, DETERMINED]
    cells = {(offer, year): table.cell(offer, year) for offer in offers for year in years}
    if not any(cell.value for cell in cells.values()):
        return None
    weights = [(cells[BASES[offer], year].value, cells[offer, year].share) for offer in BASES for year in years]
    is_share = sum(count for count, share in weights if share) >= _MOST * sum(count for count, _ in weights)
    rows = _shares(cells, years) if is_share else _numbers(cells, years)
    points = pd.DataFrame(rows, columns=["group", "x", "y", "words", "target"])
    signs = [sign for sign in _signs() if sign.label in set(points["group"])]
    fills = {sign.label: sign.fill for sign in signs}
    points["x"] += [_aside(offer) for offer in points["group"]]
    lines = [_joined(group, fills[label], label in (EXAMINED, DETERMINED)) for label, group in points.groupby("group")]
    if is_share:
        lines += _intervals(cells, years, fills)
    numbers = [float(year) for year in range(int(years[0]), int(years[-1]) + 1)]
    ends, title = (numbers[0] - 0.5, numbers[-1] + 0.5), "year of launch, else of teardown"
    axes = Axes(title, "% of designs" if is_share else "products", tuple(numbers[:: -(-len(numbers) // 12)]), ends,
                y_domain=(0.0, 100.0) if is_share else None)  # fmt: skip
    words = Words(prefix, table.title, "One line an offer; shape and colour tell them apart.",
                  _caption(cells, years, is_share))  # fmt: skip
    return point_chart(points, signs, axes, lines, words, link)


def _signs() -> list[Sign]:
    fills = [Fill(fill_of(offer, place).colour) for place, offer in enumerate(BASES)]
    known = [Sign(offer, fill, SHAPES[place]) for place, (offer, fill) in enumerate(zip(BASES, fills, strict=True))]
    return [*known, Sign(EXAMINED, Fill("chart-neutral"), SHAPES[4]), Sign(DETERMINED, Fill("chart-quiet"), SHAPES[5])]


Cells = dict[tuple[str, str], Cell]
Point = tuple[str, float, float, str, str]


def _shares(cells: Cells, years: Sequence[str]) -> list[Point]:
    return [
        (offer, float(year), 100 * share.fraction,
         f"{offer}, {year}: {share.platforms} of {counted(share.of_platforms, 'design')}", _target(offer, year))
        for offer in BASES for year in years if (share := cells[offer, year].share) is not None
    ]  # fmt: skip


def _numbers(cells: Cells, years: Sequence[str]) -> list[Point]:
    def words(offer: str, year: str) -> str:
        count = cells[offer, year].value
        of = f" of {cells[BASES[offer], year].value}" if offer in BASES else ""
        return f"{offer}, {year}: {count}{of} products" if of else f"{offer}, {year}: {counted(count, 'product')}"

    return [
        (offer, float(year), float(cells[offer, year].value), words(offer, year), _target(offer, year))
        for offer in (*BASES, EXAMINED, DETERMINED) for year in years
    ]  # fmt: skip


def _target(offer: str, year: str) -> str:
    return f"/products/?year={year}{_LOOKED_FOR.get(offer, '')}"


def _aside(offer: str) -> float:
    """A little sideways [years], so that marks of one height stay apart."""
    return 0.13 * ((*BASES, EXAMINED, DETERMINED).index(offer) - 2.5)


def _joined(group: pd.DataFrame, fill: Fill, is_dashed: bool) -> Line:
    return Line(tuple(group["x"]), tuple(group["y"]), is_dashed, fill)


def _intervals(cells: Cells, years: Sequence[str], fills: dict[str, Fill]) -> list[Line]:
    """The Wilson interval of each share as an upright line."""
    return [
        Line((int(year) + _aside(offer),) * 2, (100 * share.low, 100 * share.high), fill=fills[offer])
        for offer in BASES for year in years if (share := cells[offer, year].share) is not None
    ]  # fmt: skip


def _caption(cells: Cells, years: Sequence[str], is_share: bool) -> str:
    if not is_share:
        return (
            f"Numbers of products, not shares: in most years fewer than {LEAST_FOR_SHARE} designs were examined. Dashed: "
            "how many were examined; a line that follows it may only say that more were opened."
        )
    few = [
        f"{offer} {year} ({cells[offer, year].value} of {cells[BASES[offer], year].value})"
        for offer in BASES for year in years if cells[offer, year].share is None and cells[BASES[offer], year].value
    ]  # fmt: skip
    left_out = f" Too few designs for a share: {', '.join(few)}." if few else ""
    return f"Shares of the designs examined; upright lines are their 95 % range (Wilson).{left_out}"
