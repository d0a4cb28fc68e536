"""One cell of a sheet -> the value of its field, by the map and the schema; what is not clear is refused."""

import datetime
import re
from decimal import Decimal

from lidoff.bench.spreadsheet.map_file import Column
from lidoff.bench.spreadsheet.units import amount, as_decimal, converted, dimension, is_undecided, unit_named
from lidoff.record import nearest
from lidoff.record.phrases import expected

MANY_WORDS = 12
FLAGS = {"yes": True, "true": True, "no": False, "false": False}
BLANK = frozenset(("", "-", "–", "—", "n/a", "na", "n.a.", "?", "unknown"))
_DATE = re.compile(r"(\d{1,4})\s?[./-]\s?(\d{1,2})\s?[./-]\s?(\d{1,4})")
_HEADING_UNIT = re.compile(r"[(\[]\s*([^()\[\]]{1,12})\s*[)\]]|[,/]\s*([^,/\s]{1,6})\s*$")

Value = str | bool | int | float | list


class NotClear(ValueError):
    """A cell that can't be taken: found, expected and fix."""

    def __init__(self, found: str, wanted: str, fix: str) -> None:
        super().__init__(found)
        self.found, self.wanted, self.fix = found, wanted, fix


def is_blank(text: str) -> bool:
    """Whether a cell says nothing."""
    return text.casefold() in BLANK


def value_of(text: str, column: Column, decimal: str) -> Value:
    """The value that a cell gives to its field; raises NotClear."""
    if column.is_list:
        pieces = text.split(column.apart) if column.apart else [text]
        return [_single(piece.strip(), column, decimal) for piece in pieces if piece.strip()]
    return _single(text, column, decimal)


def _single(text: str, column: Column, decimal: str) -> Value:
    kind = column.shape.kind
    meant = column.words.get(text.casefold())
    if kind == "flag":
        return _flag(meant or text)
    if kind in ("number", "whole"):
        return _number(meant or text, column, decimal)
    if "enum" in column.shape.schema:
        return _word(meant or text, column)
    return _day(text, column) if column.shape.is_date and meant is None else meant or " ".join(text.split("\n"))


def _flag(text: str) -> bool:
    if text.casefold() not in FLAGS:
        raise NotClear(f'"{text}"', "yes or no", "say what the word means: words: {x: true}")
    return FLAGS[text.casefold()]


def _word(text: str, column: Column) -> str:
    known = column.shape.schema["enum"]
    same = [one for one in known if re.sub(r"[\s_-]+", "", one.casefold()) == re.sub(r"[\s_-]+", "", text.casefold())]
    if text in known or len(same) == 1:
        return text if text in known else same[0]
    near = nearest.words(text, known)
    wanted = (
        f"one of {', '.join(known)}" if len(known) <= MANY_WORDS else f"a word of the vocabulary for {column.field}"
    )
    say = f"say what it means in the map: words: {{{text}: {near[0] if near else '...'}}}"
    raise NotClear(f'"{text}"', wanted, f"did you mean {' or '.join(near)}? Else {say}" if near else say)


def _number(text: str, column: Column, decimal: str) -> int | float:
    wanted = expected(column.shape)
    read = amount(text)
    if read is None:
        raise NotClear(f'"{text}", which is no number', wanted, "write the number alone, or with its unit behind it")
    number, behind = read
    if decimal == "" and is_undecided(number):
        fix = "say which in the map: decimal: comma, or decimal: point"
        raise NotClear(f"{number}, whose comma may set off thousands or decimals", wanted, fix)
    value = as_decimal(number, decimal or ".")
    if value is None:
        sign = "point" if decimal == "," else "comma"
        fix = "write all numbers of the sheet with the same decimal sign"
        raise NotClear(f'"{text}", with a {sign}, where other numbers have the other sign', wanted, fix)
    to = column.shape.schema.get("x-unit", "")
    unit = _unit(text, behind, column, to)
    return plain(converted(value, unit, to) if unit else value)


def _unit(text: str, behind: str, column: Column, to: str) -> str:
    """The unit that a number is in, by the cell or the map; empty where it is the field's own."""
    if not behind:
        return column.unit
    unit = unit_named(behind)
    if unit is None or dimension(unit) != dimension(to):
        of = f"a unit of {dimension(to)}, such as {to}" if dimension(to) else "a number without a unit"
        raise NotClear(f'"{text}"', of, "correct the unit, or write the number alone")
    if column.unit and unit != column.unit:
        fix = "correct the cell, or take the unit out of the map where every cell has its own"
        raise NotClear(f'"{text}", and the map says {column.unit}', "a number in the unit of the map", fix)
    return unit


def _day(text: str, column: Column) -> str:
    """A day with the year first; a sheet's other order is told by the map and never guessed."""
    if re.fullmatch(r"\d{4}(-\d\d)?(-\d\d)?", text):
        return text
    match = _DATE.fullmatch(text)
    if match is None:
        raise NotClear(f'"{text}"', "a day, year first, such as 2026-03-09", "write the day in digits, year first")
    parts = dict(zip(column.date.split("-"), match.groups(), strict=True))
    if len(parts["year"]) != 4:
        fix = f"say the order in the map: {{field: {column.field}, date: day-month-year}} or month-day-year"
        raise NotClear(f'"{text}"', f"a day in the order {column.date}, with four digits of the year", fix)
    try:
        return datetime.date(int(parts["year"]), int(parts["month"]), int(parts["day"])).isoformat()
    except ValueError as error:
        fix = "correct the day, or the order in the map (date: day-month-year or month-day-year)"
        raise NotClear(f'"{text}"', f"a day of the calendar, in the order {column.date}", fix) from error


def plain(value: Decimal) -> int | float:
    """A number as YAML has it."""
    return int(value) if value == value.to_integral_value() else float(value)


def unit_of_heading(heading: str) -> str | None:
    """The unit that a heading names, in brackets or behind a comma or slash; None where it names none.

    Examples
    --------
    >>> unit_of_heading("Weight (oz)"), unit_of_heading("Length, mm"), unit_of_heading("Plug")
    ('oz', 'mm', None)
    """
    match = _HEADING_UNIT.search(heading)
    return unit_named(match[1] or match[2]) if match else None
