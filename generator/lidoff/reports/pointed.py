"""A piece of a text, shown in its line with carets below it."""

import unicodedata

WIDTH = 100
_AROUND = 40
_CUT = "..."


def pointed(text: str, start: int, end: int) -> str:
    """Two lines: the line of the text that holds the piece, cut where it is long, and carets below the piece.

    Examples
    --------
    >>> print(pointed("INPUT 100-240V~ 70VA", 16, 20))
    INPUT 100-240V~ 70VA
                    ^^^^
    """
    line_start = max(text.rfind(sign, 0, start) for sign in ("\n", "\r")) + 1
    line_end = min((at for sign in ("\n", "\r") if (at := text.find(sign, start)) >= 0), default=len(text))
    end = min(end, line_end)
    first, last = line_start, line_end
    before = after = ""
    if columns(text[first:last]) > WIDTH:
        first, last = max(first, start - _AROUND), min(last, max(end, start) + _AROUND)
        before, after = _CUT * (first > line_start), _CUT * (last < line_end)
    shown = f"{before}{_visible(text[first:last])}{after}"
    margin = " " * (len(before) + columns(text[first:start]))
    return f"{shown}\n{margin}{'^' * max(columns(text[start:end]), 1)}"


def columns(text: str) -> int:
    """How many columns of a terminal a text takes: East Asian wide signs two, combining ones none."""
    return sum(_columns_of(sign) for sign in text)


def _columns_of(sign: str) -> int:
    if unicodedata.category(sign) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(sign) in "WF" else 1


def _visible(text: str) -> str:
    """Blanks of every kind as plain ones, invisible signs left out."""
    signs = (" " if sign.isspace() or unicodedata.category(sign) == "Cc" else sign for sign in text)
    return "".join(sign for sign in signs if unicodedata.category(sign) != "Cf")


def line_and_column(text: str, place: int) -> tuple[int, int]:
    """Line and column of a place, both from 1, the column in code points."""
    return text.count("\n", 0, place) + 1, place - text.rfind("\n", 0, place)
