"""What was found in a log file: plain data, the words for it, and the fault that stops the reading."""

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Fault:
    """Why a file could not be read: one place in it, what stands there, what was expected, how to mend it.

    ``key`` is the quantity of the record's ``columns`` that is concerned, where it is one.
    """

    found: str
    expected: str
    fix: str
    line: int = 1
    key: str = ""


class Unreadable(Exception):
    """A file that can't be read, with its fault."""

    def __init__(self, found: str, expected: str, fix: str, line: int = 1, key: str = "") -> None:
        super().__init__(found)
        self.fault = Fault(found, expected, fix, line, key)


@dataclass(frozen=True, slots=True)
class Oddity:
    """Something odd in a file that was read all the same.

    ``text`` says what, how often, and what was done about it; ``line`` is where it is first seen. ``is_grave`` means
    that the numbers of the whole log suffer.
    """

    text: str
    line: int
    is_grave: bool = False


@dataclass(frozen=True, slots=True)
class LogReport:
    """How a file was read, so that nobody has to guess: each detected form, the number of rows, and what was odd."""

    rows: int
    encoding: str
    separator: str
    decimal: str
    header_line: int
    time_form: str = ""
    interval_s: float | None = None
    oddities: tuple[Oddity, ...] = ()


def plain(value: float) -> str:
    """A number to four digits, without an exponent.

    Examples
    --------
    >>> plain(897.0), plain(12345.6), plain(0.00912)
    ('897', '12350', '0.00912')
    """
    return format(Decimal(f"{value:.4g}"), "f")


def times(count: int) -> str:
    """How often something happens, as a sentence says it.

    Examples
    --------
    >>> times(1), times(2), times(1234)
    ('once', 'twice', '1234 times')
    """
    return {1: "once", 2: "twice"}.get(count, f"{count} times")


def rows(count: int) -> str:
    """A number of rows.

    Examples
    --------
    >>> rows(1), rows(7)
    ('1 row', '7 rows')
    """
    return "1 row" if count == 1 else f"{count} rows"


def shown(text: str, longest: int = 40) -> str:
    """A piece of a file in quotation marks, cut where it is long and with its control signs left out."""
    visible = "".join(sign for sign in " ".join(text.split()) if sign.isprintable())
    return f'"{visible}"' if len(visible) <= longest else f'"{visible[: longest - 1]}…"'
