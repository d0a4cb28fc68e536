"""The text of a log -> the columns that the record names: separator, headings and decimal sign are found out."""

import csv
import difflib
import io
import re
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from lidoff.bench.log_columns import Wanted, contradiction, unit_in, unit_of
from lidoff.bench.log_report import Oddity, Unreadable, rows, shown

SEPARATORS = {";": "semicolon", "\t": "tab", ",": "comma"}
DECIMALS = {".": "point", ",": "comma"}
HEADER_WITHIN = 200
LOOKED_AT = 50_000
ROWS_LOOKED_AT = 200
LONGEST_LINE = 20_000
MOST_WRONG = 0.5
GRAVE = 0.01
COMMA_NUMBER = re.compile(r"[+-]?\d+,\d+")
POINT_NUMBER = re.compile(r"[+-]?\d*\.\d+")

Numbers = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Header:
    """The line of headings: where it is, what separates its fields, where the wanted ones and the rows begin."""

    line: int
    separator: str
    headings: tuple[str, ...]
    positions: tuple[int, ...]
    rows_from: int


@dataclass(frozen=True, slots=True)
class Table:
    """The wanted columns by quantity: numbers in SI units, NaN where a cell holds none; written times as texts.

    ``lines`` is the line of the file of each row.
    """

    numbers: dict[str, Numbers]
    texts: dict[str, list[str]]
    lines: NDArray[np.int64]
    header: Header
    decimal: str
    oddities: tuple[Oddity, ...]


def read_table(text: str, wanted: Sequence[Wanted]) -> Table:
    """The columns that are wanted; raises Unreadable for a file that has not got them, or not in numbers."""
    header = _header(text, wanted)
    body = text[header.rows_from :]
    looked_at = _looked_at(body, header.separator)
    _require_fitting_rows(looked_at, header)
    decimal = _decimal(looked_at, header)
    frame = _parsed(body, header, decimal)
    cells = {one: frame[position] for one, position in zip(wanted, header.positions, strict=True)}
    lines = np.arange(len(frame), dtype=np.int64) + header.line + 1
    oddities = [text for one in wanted if (text := contradiction(one, unit_in(one.heading)))]
    if units := _units_below(cells):
        oddities += [text for one, unit in units.items() if (text := contradiction(one, unit))]
        cells, lines = {one: column.iloc[1:] for one, column in cells.items()}, lines[1:]
    is_filled = ~np.logical_and.reduce([column.isna().to_numpy() for column in cells.values()])
    if not is_filled.any():
        raise _no_rows(header)
    cells, lines = {one: column[is_filled] for one, column in cells.items()}, lines[is_filled]
    texts = {one.quantity: _as_texts(column) for one, column in cells.items() if _is_told_in_words(one, column)}
    read = {one: _as_numbers(one, column, lines, decimal) for one, column in cells.items() if one.quantity not in texts}
    found = [Oddity(text, header.line, is_grave=True) for text in oddities] + [odd for _, odd in read.values() if odd]
    numbers = {one.quantity: column for one, (column, _) in read.items()}
    return Table(numbers, texts, lines, header, decimal, tuple(found))


def _header(text: str, wanted: Sequence[Wanted]) -> Header:
    """The first line that holds all the wanted headings."""
    headings = [_same(one.heading) for one in wanted]
    closest: tuple[int, int, list[str]] = (0, 1, [])
    for number, (line, after) in enumerate(_lines(text), 1):
        for separator in SEPARATORS:
            fields = _fields(line, separator)
            names = [_same(field) for field in fields]
            present = sum(heading in names for heading in headings)
            if present == len(headings):
                _require_once(wanted, names, number)
                positions = tuple(names.index(heading) for heading in headings)
                return Header(number, separator, tuple(fields), positions, after)
            closest = max(closest, (present, -number, fields), key=lambda one: (one[0], len(one[2]) > 1, one[1]))
    if all(one.heading.isdecimal() and one.heading != "0" for one in wanted):
        separator = _separator_of_numbers(text)
        return Header(0, separator, (), tuple(int(one.heading) - 1 for one in wanted), 0)
    raise _missing_heading(wanted, closest)


def _missing_heading(wanted: Sequence[Wanted], closest: tuple[int, int, list[str]]) -> Unreadable:
    _, line, fields = closest
    names = [_same(field) for field in fields]
    missing = next((one for one in wanted if _same(one.heading) not in names), wanted[0])
    filled = [field for field in fields if field]
    near = difflib.get_close_matches(_same(missing.heading), names, n=1)
    other = fields[names.index(near[0])] if near else ""
    listed = ", ".join(shown(field, 20) for field in filled[:6]) + (" ..." if len(filled) > 6 else "")
    return Unreadable(
        f"no column {shown(missing.heading)}; the headings are {listed}" if filled else "no line of headings",
        f"the heading that {missing.key} names, within the first {HEADER_WITHIN} lines",
        f"write {missing.key}: {shown(other)}" if other else "name the column as the file does, or export it too",
        abs(line),
        missing.key,
    )


def _lines(text: str) -> Iterator[tuple[str, int]]:
    """The first lines, each with the place where the next one begins."""
    start = 0
    for _ in range(HEADER_WITHIN):
        end = text.find("\n", start)
        if end < 0:
            yield text[start:], len(text)
            return
        yield text[start:end], end + 1
        start = end + 1


def _fields(line: str, separator: str) -> list[str]:
    """The fields of a line; of one that no table has, those of its beginning."""
    short = line[:LONGEST_LINE]
    return [field.strip() for field in next(csv.reader([short], delimiter=separator, skipinitialspace=True), [])]


def _looked_at(body: str, separator: str) -> list[list[str]]:
    """Some rows from the beginning, the middle and the end, as the forms of numbers may show only later."""
    middle = body[len(body) // 2 :][:LOOKED_AT]
    pieces = (body[:LOOKED_AT], middle.partition("\n")[2], body[-LOOKED_AT:].partition("\n")[2])
    lines = (line for piece in pieces for line in piece.split("\n")[:ROWS_LOOKED_AT])
    return [_fields(line, separator) for line in lines]


def _same(text: str) -> str:
    """A heading without what does not tell headings apart: case, spaces, the two signs for micro."""
    return " ".join(unicodedata.normalize("NFKC", text).casefold().split())


def _require_once(wanted: Sequence[Wanted], names: list[str], line: int) -> None:
    for one in wanted:
        if names.count(_same(one.heading)) > 1:
            fix = "rename one of the two columns in the file"
            raise Unreadable(f"two columns {shown(one.heading)}", "every heading once", fix, line, one.key)


def _separator_of_numbers(text: str) -> str:
    """What separates the fields of a file without headings: the sign that most of its lines hold most often."""
    start = text[:10_000]
    return max(SEPARATORS, key=lambda separator: (start.count(separator), separator == ";"))


def _require_fitting_rows(looked_at: list[list[str]], header: Header) -> None:
    """Refuse rows that are longer than the headings, as decimal commas between commas make them."""
    lengths = [len(fields) for fields in looked_at if any(fields)]
    if header.line == 0 or not lengths:
        return
    usual = sorted(lengths)[len(lengths) // 2]
    if usual > len(header.headings) + 1:
        raise Unreadable(
            f"{usual} values in a row under {len(header.headings)} headings",
            "as many values in each row as there are headings",
            "export with semicolons between the columns, if decimals are written with a comma",
            header.line + 1,
        )


def _decimal(looked_at: list[list[str]], header: Header) -> str:
    """The decimal sign; the comma only where numbers have it and none has a point."""
    cells = [fields[at] for fields in looked_at for at in header.positions if at < len(fields)]
    with_comma = any(COMMA_NUMBER.fullmatch(cell) for cell in cells)
    return "," if with_comma and not any(POINT_NUMBER.fullmatch(cell) for cell in cells) else "."


def _parsed(body: str, header: Header, decimal: str) -> pd.DataFrame:
    quoting = csv.QUOTE_MINIMAL if '"' in body else csv.QUOTE_NONE
    try:
        return pd.read_csv(
            io.StringIO(body), sep=header.separator, decimal=decimal, header=None, index_col=False, quoting=quoting,
            names=range(max(header.positions) + 1), usecols=sorted(set(header.positions)), skip_blank_lines=False,
            keep_default_na=False, na_values=[""], skipinitialspace=True, low_memory=False,
        )  # fmt: skip
    except (pd.errors.ParserError, pd.errors.EmptyDataError, ValueError) as error:
        if isinstance(error, pd.errors.EmptyDataError) or not body.strip():
            raise _no_rows(header) from error
        raise Unreadable(
            "rows that can't be told apart, mostly for a quotation mark that is not closed",
            "one row a line", "take the mark out", header.line + 1,
        ) from error  # fmt: skip


def _no_rows(header: Header) -> Unreadable:
    found, fix = "no row below the headings", "export the log again"
    return Unreadable(found, "one row for each reading", fix, max(header.line, 1))


def _units_below(cells: dict[Wanted, pd.Series]) -> dict[Wanted, str]:
    """The units of a line between the headings and the first row; empty where there is no such line."""
    first = {one: column.iloc[0] for one, column in cells.items() if len(column) > 1}
    units = {one: unit_of(str(cell)) for one, cell in first.items() if not pd.isna(cell)}
    return units if units and all(units.values()) else {}


def _is_told_in_words(wanted: Wanted, column: pd.Series) -> bool:
    """Whether a column is a date, or a time of day or the like; a time in numbers is a number as any other."""
    return wanted.quantity == "date" or (wanted.quantity == "time" and column.dtype.kind not in "fiu")


def _as_texts(column: pd.Series) -> list[str]:
    return [text.strip() for text in column.fillna("").astype(str).tolist()]


def _as_numbers(
    wanted: Wanted, column: pd.Series, lines: NDArray[np.int64], decimal: str
) -> tuple[Numbers, Oddity | None]:
    """A column in SI units, and what is odd about it; raises Unreadable where most of it is no number."""
    is_blank = column.isna().to_numpy()
    if column.dtype.kind not in "fiu":
        texts = column.astype(str).str.strip()
        column = pd.to_numeric(texts.str.replace(",", ".", regex=False) if decimal == "," else texts, errors="coerce")
    numbers = column.to_numpy(dtype=np.float64, copy=True)
    numbers[~np.isfinite(numbers)] = np.nan
    is_text = np.isnan(numbers) & ~is_blank
    count = int(is_text.sum())
    if count > MOST_WRONG * len(numbers) or np.isnan(numbers).all():
        heading = shown(wanted.heading)
        raise Unreadable(
            f"text in most cells of {heading}" if count else f"nothing in the column {heading}",
            "numbers without a unit behind them",
            "name another column, or export it as numbers",
            int(lines[is_text][0] if count else lines[0]),
            wanted.key,
        )
    odd = None
    if count:
        said = f"{rows(count)} with text in place of a number under {shown(wanted.heading)}, left out"
        odd = Oddity(said, int(lines[is_text][0]), count > GRAVE * len(numbers))
    return numbers / (wanted.per_si or 1.0), odd
