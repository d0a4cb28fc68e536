"""The headings of a sheet against its map: where each column is, and the decimal sign of its numbers."""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from lidoff.bench.spreadsheet.cell_values import unit_of_heading
from lidoff.bench.spreadsheet.grid import Cell, Row, cell_at
from lidoff.bench.spreadsheet.map_file import Column, SheetMap
from lidoff.bench.spreadsheet.remark import Remark
from lidoff.bench.spreadsheet.units import amount, dimension, is_undecided
from lidoff.record.nearest import closest

_COMMA = re.compile(r"[+-]?\d*,\d+")
_POINT = re.compile(r"[+-]?\d*\.\d+")


@dataclass(frozen=True, slots=True)
class Paths:
    """What remarks call the sheet and the map."""

    sheet: str
    map: str


def _form(heading: str) -> str:
    return " ".join(heading.casefold().split())


def placed_columns(headings: Row, sheet_map: SheetMap, paths: Paths) -> tuple[dict[int, Column], list[Remark]]:
    """Each column of the map by its place in the sheet, and a remark for every heading that only one of them has."""
    remarks: list[Remark] = []
    places: dict[str, list[int]] = {}
    for number, cell in enumerate(headings):
        if cell.text:
            places.setdefault(_form(cell.text), []).append(number)
    placed: dict[int, Column] = {}
    for column in sheet_map.columns:
        found = places.get(_form(column.heading), [])
        if len(found) == 1:
            placed[found[0]] = column
            remarks += _heading_unit(headings[found[0]], column, paths)
        elif found:
            cell = headings[found[1]]
            what, fix = f'"{cell.text}", a second column of that name', "rename one of the two"
            remarks.append(Remark(paths.sheet, cell.line, cell.column, cell.text, what, "each heading once", fix))
        else:
            remarks.append(_missing(column.heading, (column.line, column.column), headings, paths))
    for name, line, column in sheet_map.leave:
        if _form(name) not in places:
            remarks.append(_missing(name, (line, column), headings, paths))
    known = {_form(column.heading) for column in sheet_map.columns} | {_form(name) for name, _, _ in sheet_map.leave}
    remarks += _unnamed((headings[found[0]] for form, found in places.items() if form not in known), sheet_map, paths)
    return placed, remarks


def _missing(name: str, place: tuple[int, int], headings: Row, paths: Paths) -> Remark:
    names = [cell.text for cell in headings if cell.text]
    near = closest(name, names, 0.6)
    fix = f'did you mean "{near}"?' if near else "name the column as the sheet does, or take it out of the map"
    expected = f"one of {', '.join(names[:12])}" if names else "a line of headings at the top of the sheet"
    return Remark(paths.map, *place, name, f'the column "{name}", which {paths.sheet} has not', expected, fix)


def _unnamed(cells: Iterable[Cell], sheet_map: SheetMap, paths: Paths) -> Iterator[Remark]:
    """Columns of the sheet that the map passes over without a word: they might be lost by mistake."""
    for cell in cells:
        near = closest(cell.text, [column.heading for column in sheet_map.columns], 0.7)
        hint = f'the map has "{near}"; else ' if near else ""
        fix = f"{hint}name its field under columns, or write it under leave"
        found = f'the column "{cell.text}", which {paths.map} does not name'
        yield Remark(paths.sheet, cell.line, cell.column, cell.text, found, "a column of the map", fix)


def _heading_unit(cell: Cell, column: Column, paths: Paths) -> Iterator[Remark]:
    """A heading with another unit than the one that its numbers would be taken in."""
    stated, own = unit_of_heading(cell.text), column.shape.schema.get("x-unit", "")
    taken = column.unit or own
    if stated is None or stated == taken or dimension(stated) != dimension(own) or dimension(own) is None:
        return
    found, expected = f'"{cell.text}", whose numbers would be taken for {taken}', f"numbers in {taken}"
    fix = f"write {{field: {column.field}, unit: {stated}}} in the map"
    yield Remark(paths.sheet, cell.line, cell.column, cell.text, found, expected, fix)


def decimal_sign(rows: Sequence[Row], placed: dict[int, Column]) -> str:
    """The decimal sign of the numbers in a sheet; empty where only numbers like 1,500 could tell."""
    numbers = []
    for place, column in placed.items():
        if column.shape.kind in ("number", "whole"):
            texts = (cell_at(row, place).text for row in rows)
            pieces = (piece for text in texts for piece in (text.split(column.apart) if column.apart else [text]))
            numbers += [read[0] for piece in pieces if (read := amount(piece)) is not None]
    if any(_POINT.match(number) for number in numbers):
        return "."
    commas = [number for number in numbers if _COMMA.match(number)]
    if not commas:
        return "."
    return "" if all(map(is_undecided, commas)) else ","
