"""Quantities in a text, in digits or in words, each with its unit and place."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from lidoff.narration.proof.numbers import WORDS, Number, number_in_words
from lidoff.narration.proof.units import SPELLINGS, UNITS, Unit

_DIGITS = re.compile(r"(?<![\w.])(?<![\w]-)([-−]?\d{1,3}(?:,\d{3})+|[-−]?\d+)(?:\.(\d+))?(?!\.\d)")
_JOIN = re.compile(r"\s*(?:×|x|by|times|,|and|to|or|/|-|–|, and|, or)\s*$", re.IGNORECASE)
_UNIT = re.compile(
    r"(?:[ \u00a0\u202f-]|\s)?[ \u00a0]?("
    + "|".join(re.escape(spelling) for spelling in SPELLINGS if len(spelling) > 3 or not spelling.isalpha())
    + "|"
    + "|".join(re.escape(spelling) for spelling in SPELLINGS if len(spelling) <= 3 and spelling.isalpha())
    + r")(?![\w³²])"
)
_BEFORE = {"$": "USD", "€": "EUR", "£": "GBP"}
_CENTS = re.compile(r",? and ((?:\d{1,2})|(?:[a-z]+(?:-[a-z]+)?)) (?:cents|pence)\b")
_ABOUT = re.compile(
    r"\b(about|around|roughly|nearly|almost|some|approximately|close to|just (?:under|over)|~)\s*$", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with its unit; ``is_about`` where the text calls it rough, ``group`` joins those that stand together."""

    start: int
    end: int
    value: float
    places: int
    unit: Unit
    is_about: bool = False
    group: int = -1

    @property
    def held(self) -> float:
        """The value in the unit in which values are compared."""
        return self.unit.held(self.value)


def quantities(text: str) -> list[Quantity]:
    """All quantities of a text in order. A number joined to one with a unit has that unit."""
    found = sorted(_numbers(text), key=lambda one: one.start)
    units = [_unit_after(text, one) for one in found]
    read: list[Quantity] = []
    for place in range(len(found) - 1, -1, -1):
        number, (unit, end) = found[place], units[place]
        group = found[place].start
        has_next = unit is None and place + 1 < len(found) and read and read[-1].start == found[place + 1].start
        if has_next and _JOIN.fullmatch(text[number.end : found[place + 1].start]):
            unit, end, group = read[-1].unit, number.end, read[-1].group
        if unit is not None:
            about = bool(_ABOUT.search(text[max(0, number.start - 20) : number.start]))
            read.append(Quantity(number.start, end, number.value, number.places, unit, about, group))
    return [_with_cents(text, one) for one in read[::-1]]


def _with_cents(text: str, one: Quantity) -> Quantity:
    """Thirty-nine dollars and ninety-nine cents as one amount."""
    match = _CENTS.match(text, one.end) if one.unit.measures.startswith("money") and not one.places else None
    if match is None:
        return one
    cents = float(match[1]) if match[1].isdigit() else number_in_words(WORDS.match(match[1])).value
    return replace(one, end=match.end(), value=one.value + cents / 100, places=2)


def plain_numbers(text: str) -> list[Number]:
    """Every number of a text, with a unit or without."""
    return sorted(_numbers(text), key=lambda one: one.start)


def _numbers(text: str) -> Iterator[Number]:
    for match in _DIGITS.finditer(text):
        whole, decimals = match.groups()
        digits = whole.replace(",", "").replace("−", "-")
        yield Number(match.start(), match.end(), float(f"{digits}.{decimals or 0}"), len(decimals or ""))
    for match in WORDS.finditer(text):
        yield number_in_words(match)


def _unit_after(text: str, number: Number) -> tuple[Unit | None, int]:
    before = text[number.start - 1 : number.start]
    if before in _BEFORE:
        return UNITS[_BEFORE[before]], number.end
    match = _UNIT.match(text, number.end)
    if match is None or (match[1] == "in" and not _is_inch(text, match)):
        return None, number.end
    return UNITS[SPELLINGS[match[1]]], match.end()


def _is_inch(text: str, match: re.Match[str]) -> bool:
    """Whether ``in`` is the unit and no preposition: nothing follows that a preposition would need."""
    return not re.match(r"\s+(?:[a-z]|[A-Z])", text[match.end() :]) or bool(
        re.match(r"\s+(?:long|wide|thick|tall|deep|high|and|by|or|across|in air|over|of)\b", text[match.end() :])
    )
