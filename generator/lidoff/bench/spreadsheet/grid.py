"""The text of a table -> its rows of cells, each with its place.

Python's csv module tells no column of a cell; a message without it sends people counting.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from lidoff.bench.log_report import Unreadable
from lidoff.bench.log_text import decoded

MOST_BYTES = 5_000_000
SEPARATORS = {"\t": "tab", ";": "semicolon", ",": "comma", "|": "vertical bar"}
EXPECTED = "a table as text: a line of headings, then a row a line"
EXPORT = "save the sheet as CSV, in UTF-8 if there is a choice"
_STATED = re.compile(r"sep=(.)\n", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell without blanks at its ends; line and column count from 1. ``is_open``: its quote never closes."""

    text: str
    line: int
    column: int
    is_open: bool = False


Row = tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """The text of a file with its encoding; ``separator`` is the sign that its first line states, "" for none."""

    text: str
    encoding: str
    separator: str = ""
    first_line: int = 1


def read_sheet(content: bytes, most_bytes: int = MOST_BYTES) -> Sheet:
    """The text of a file; raises Unreadable where it is no table as text or too large."""
    if len(content) > most_bytes:
        size, most = f"more than {most_bytes:,} bytes", f"a table of at most {most_bytes:,} bytes"
        raise Unreadable(f"a file of {size}", most, "export only the rows and columns that you want")
    try:
        text, encoding = decoded(content)
    except Unreadable as error:
        raise Unreadable(error.fault.found, EXPECTED, EXPORT) from error
    if encoding == "Latin-1" and re.search("[\x80-\x9f]", text):
        text, encoding = content.decode("cp1252", "replace").replace("\r\n", "\n").replace("\r", "\n"), "Windows-1252"
    stated = _STATED.match(text)
    return Sheet(text[stated.end() :], encoding, stated[1], 2) if stated else Sheet(text, encoding)


def split_rows(text: str, separator: str, first_line: int = 1) -> list[Row]:
    """All rows that are not blank. Quotes as RFC 4180 has them; a quote inside a bare cell is a sign like any other."""
    sign = re.escape(separator)
    pattern = re.compile(rf'(?:"((?:[^"]|"")*+)"([^{sign}\n]*)|([^{sign}\n]*))({sign}|\n|\Z)')
    rows: list[Row] = []
    cells: list[Cell] = []
    line, line_start, at = first_line, 0, 0
    while at <= len(text):
        match = pattern.match(text, at)
        inner, rest, bare, end = match.groups()
        is_quoted = inner is not None
        raw = inner.replace('""', '"') + rest if is_quoted else bare
        is_open = not is_quoted and bare.startswith('"')
        blanks = 0 if is_quoted else len(bare) - len(bare.lstrip())
        cells.append(Cell(clean(raw), line, at - line_start + 1 + blanks, is_open))
        breaks = inner.count("\n") if is_quoted else 0
        if breaks:
            line, line_start = line + breaks, text.rfind("\n", at, match.end(2)) + 1
        at = match.end()
        if end != separator:
            if any(cell.text for cell in cells):
                rows.append(tuple(cells))
            cells, line, line_start = [], line + 1, at
            if not end:
                break
    return rows


def clean(text: str) -> str:
    """Text of a cell as a record may hold it: its lines without blanks at the ends, odd blanks as plain ones."""
    lines = (" ".join(line.replace("\u00a0", " ").replace("\u202f", " ").split()) for line in text.split("\n"))
    return "\n".join(line for line in lines if line)


def cell_at(row: Row, place: int) -> Cell:
    """A cell of a row; an empty one behind its last where the row is shorter."""
    if place < len(row):
        return row[place]
    last = row[-1]
    return replace(last, text="", column=last.column + len(last.text), is_open=False)


def separator_for(text: str, wanted: Sequence[str]) -> str:
    """The sign that shows most of the wanted headings in the first line that is not blank; else that it holds most."""
    first = next((line for line in text.split("\n") if line.strip()), "")
    names = {name.casefold() for name in wanted}

    def score(separator: str) -> tuple[int, int]:
        cells = [cell.text.casefold() for row in split_rows(first, separator) for cell in row]
        return sum(cell in names for cell in cells), len(cells)

    return max(SEPARATORS, key=score)
