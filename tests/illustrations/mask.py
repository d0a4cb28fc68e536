"""How a board is finished: solder mask, copper, print and laminate, by who made it and how many layers it has."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Finish:
    """Colours of one side of a board."""

    mask: str
    over_copper: str
    silk: str
    edge: str
    pad: str = "#d9dbd6"
    bare: bool = False


_GREEN = Finish("#1f6b43", "#2b7f52", "#eef3ea", "#8d8a5a")
_DARK_GREEN = Finish("#174f3c", "#216350", "#eef3ea", "#83835a")
_BLUE = Finish("#1d4a86", "#285b9d", "#f0f4f8", "#8d8a5a")
_BLACK = Finish("#1d1f23", "#2b2e34", "#f1f1ee", "#6f6a55")
_RED = Finish("#8c2430", "#a13340", "#f7efe8", "#8d8a5a")
_PURPLE = Finish("#4a2a63", "#5b3877", "#f3eef6", "#8d8a5a")
_WHITE = Finish("#e4e6e1", "#d3d7d0", "#3a3d40", "#8d8a5a")
_PAPER = Finish("#c39b62", "#c39b62", "#f7f2e4", "#9b7743", bare=True)
_BY_PREFIX = {
    "PLE": _GREEN, "FH": _GREEN, "VPW": _BLUE, "SKB": _DARK_GREEN, "OVM": _BLACK, "DE": _RED, "TW": _PURPLE,
}  # fmt: skip


def finish_of(record: Mapping, board: Mapping, side: str) -> Finish:
    """The finish of one side; a board of one layer shows bare paper laminate on its top."""
    if board.get("layers") == 1 and side == "top":
        return _PAPER
    name = str(board.get("silkscreen", ""))
    known = next((finish for prefix, finish in _BY_PREFIX.items() if name.startswith(prefix)), _GREEN)
    if board.get("role") not in ("main", "primary", "input") and known is _BLUE:
        return _BLACK
    return known
