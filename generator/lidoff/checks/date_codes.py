"""Date codes: the weeks that a printed code can mean. No standard fixes them, so every usual reading counts."""

import re
from calendar import monthrange
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

_FOUR_DIGITS = re.compile(r"([0-9]{2})([0-9]{2})")
_YEAR_FIRST = re.compile(r"((?:20)?[0-9]{2}) ?(?:-?W|-|/|\.) ?([0-9]{2})", re.IGNORECASE)
_WEEK_FIRST = re.compile(r"(?:W ?)?([0-9]{2}) ?(?:-|/|\.) ?((?:20)?[0-9]{2})", re.IGNORECASE)
_OLDEST = 1990


@dataclass(frozen=True, slots=True)
class Reading:
    """The Mondays of the weeks that a code can mean; ``is_plain`` where it names year and week itself, as in "
    "2026-W15."""

    weeks: tuple[date, ...]
    is_plain: bool


@lru_cache(maxsize=4096)
def reading_of(code: str) -> Reading | None:
    """What a date code can mean; None where it is in none of the usual forms.

    Examples
    --------
    >>> [str(week) for week in reading_of("2541").weeks], reading_of("R25A")
    (['2025-10-06', '2041-06-17'], None)
    >>> reading_of("2026-W15").is_plain, reading_of("15/26").is_plain
    (True, False)
    """
    text = code.strip()
    weeks = tuple(dict.fromkeys(_weeks(text)))
    return Reading(weeks, "W" in text.upper() and len(weeks) == 1) if weeks else None


def first_day(month_or_day: str) -> date:
    """The first day that a month or day of a record can mean.

    Examples
    --------
    >>> str(first_day("2026-02")), str(first_day("2026-02-14"))
    ('2026-02-01', '2026-02-14')
    """
    year, month, *day = map(int, month_or_day.split("-"))
    return date(year, month, day[0] if day else 1)


def last_day(month_or_day: str) -> date:
    """The last day that a month or day of a record can mean.

    Examples
    --------
    >>> str(last_day("2026-02")), str(last_day("2026-02-14"))
    ('2026-02-28', '2026-02-14')
    """
    year, month, *day = map(int, month_or_day.split("-"))
    return date(year, month, day[0] if day else monthrange(year, month)[1])


def _weeks(text: str) -> Iterator[date]:
    if match := _FOUR_DIGITS.fullmatch(text):
        yield from _monday(match[1], match[2])
        yield from _monday(match[2], match[1])
        yield from _months(match[1], match[2])
        yield from _months(match[2], match[1])
        if _OLDEST <= int(text) < 2100:
            yield date(int(text), 1, 1)
    if match := _YEAR_FIRST.fullmatch(text):
        yield from _monday(match[1], match[2])
    if match := _WEEK_FIRST.fullmatch(text):
        yield from _monday(match[2], match[1])


def _year(text: str) -> int:
    number = int(text)
    return number if number > 99 else 1900 + number if number >= _OLDEST - 1900 else 2000 + number


def _monday(year: str, week: str) -> Iterator[date]:
    number = int(week)
    if 1 <= number <= 53:
        # a year of 52 weeks has no week 53; codes count it from 1 January, so its last Monday is near enough
        yield date.fromisocalendar(_year(year), min(number, 52), 1)


def _months(year: str, month: str) -> Iterator[date]:
    if 1 <= int(month) <= 12:
        yield date(_year(year), int(month), 1)
