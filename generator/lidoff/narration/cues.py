"""The times of a recorded take: a CSV that says when each sentence of the draft is spoken."""

import csv
import io
from collections.abc import Iterator
from math import isfinite

COLUMNS = ("sentence", "start_s", "end_s")

Row = tuple[int, int, float, float]


class CueFault(Exception):
    """The times can't be used; the text has every fault with its line and column."""


def read_cues(text: str, path: str, count: int) -> list[tuple[float, float]]:
    """Start and end of each of ``count`` sentences, in seconds."""
    rows = list(csv.reader(io.StringIO(text.removeprefix("\ufeff"))))
    head = tuple(cell.strip() for cell in rows[0]) if rows else ()
    if head != COLUMNS:
        raise CueFault(
            _said(path, 1, 1, ",".join(head) or "nothing", ",".join(COLUMNS), "write these names on the first line")
        )
    faults: list[str] = []
    read: list[Row] = []
    for line, cells in enumerate(rows[1:], 2):
        if any(cell.strip() for cell in cells):
            read += _row(path, line, cells, count, faults)
    faults += _order(path, read, count)
    if faults:
        raise CueFault("\n\n".join(faults))
    return [(start, end) for _, _, start, end in read]


def _row(path: str, line: int, cells: list[str], count: int, faults: list[str]) -> list[Row]:
    if len(cells) != len(COLUMNS):
        faults.append(_said(path, line, 1, f"{len(cells)} cells", "3 cells", "give sentence, start and end"))
        return []
    values: list[float] = []
    for column, (name, cell) in enumerate(zip(COLUMNS, cells, strict=True), 1):
        value = _number(cell)
        whole = name != "sentence" or (value is not None and value.is_integer() and 1 <= value <= count)
        if value is None or value < 0 or not whole:
            wanted = (
                f"the number of a sentence, 1 to {count}" if name == "sentence" else "seconds from the start, 0 or more"
            )
            faults.append(_said(path, line, column, cell.strip() or "nothing", wanted, f"mend {name}"))
        else:
            values.append(value)
    return [(line, int(values[0]), values[1], values[2])] if len(values) == len(COLUMNS) else []


def _order(path: str, read: list[Row], count: int) -> Iterator[str]:
    before = 0.0
    for place, (line, sentence, start, end) in enumerate(read, 1):
        if sentence != place:
            yield _said(path, line, 1, str(sentence), str(place), "give every sentence once, in the order of the draft")
        if end <= start:
            yield _said(path, line, 3, f"{end:g}", f"more than the start, {start:g}", "mend end_s")
        if start < before:
            yield _said(
                path, line, 2, f"{start:g}", f"at least {before:g}, where the sentence before ends", "mend start_s"
            )
        before = max(before, end)
    if len(read) < count:
        yield _said(
            path, len(read) + 2, 1, f"{len(read)} sentences", f"{count}, as the draft has", "add those that are missing"
        )


def _number(text: str) -> float | None:
    try:
        value = float(text)
    except ValueError:
        return None
    return value if isfinite(value) else None


def _said(path: str, line: int, column: int, found: str, expected: str, fix: str) -> str:
    return f"{path}:{line}:{column}: error[cues]\n  found     {found}\n  expected  {expected}\n  fix       {fix}"
