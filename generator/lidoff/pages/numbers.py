"""Numbers for show: those of a record as they were written, those computed here rounded once."""

from collections.abc import Iterable
from decimal import Decimal
from functools import lru_cache

from lidoff.engineering.geometry import in_unit
from lidoff.engineering.rounding import round_places, round_significant

SPACE = "\u00a0"  # a number never parts from its unit at the end of a line
TIMES = f"{SPACE}×{SPACE}"
MINUS = "\u2212"
CACHED = 10_000  # the same few thousand numbers stand on all pages: 5 V, 60 Hz, 30 min
LARGER = {"Ω": ((1_000_000, "MΩ"), (1000, "kΩ")), "µH": ((1000, "mH"),), "pF": ((1000, "nF"),), "nF": ((1000, "µF"),)}


def number(value: float) -> str:
    """A number as a record gives it, without exponent and without a needless ``.0``.

    Examples
    --------
    >>> number(65.0), number(3.25), number(0.00002), number(-4)
    ('65', '3.25', '0.00002', '\u22124')
    """
    text = repr(float(value))
    if "e" in text:
        text = format(Decimal(text), "f")
    text = text.removesuffix(".0")
    return text.replace("-", MINUS) if value < 0 else text


@lru_cache(maxsize=CACHED)
def quantity(value: float, unit: str) -> str:
    """A number with its unit."""
    return f"{number(value)}{SPACE}{unit}" if unit else number(value)


@lru_cache(maxsize=CACHED)
def scaled(value: float, unit: str) -> str:
    """A number with its unit, in the next larger unit where people would say it so: 8200 µH is 8.2 mH.

    Examples
    --------
    >>> scaled(150000.0, "Ω"), scaled(8200.0, "µH"), scaled(330.0, "µH")
    ('150\u00a0kΩ', '8.2\u00a0mH', '330\u00a0µH')
    """
    for factor, larger in LARGER.get(unit, ()):
        if abs(value) >= factor:
            return f"{number(float(Decimal(repr(float(value))) / factor))}{SPACE}{larger}"
    return quantity(value, unit)


def money(amount: float) -> str:
    """An amount of money: whole, or to the cent.

    Examples
    --------
    >>> money(149.0), money(44.9)
    ('149', '44.90')
    """
    return number(amount) if amount == int(amount) else decimals(amount, 2)


def optional(value: float | None, unit: str) -> str:
    """A number with its unit; empty where there is none."""
    return "" if value is None else quantity(value, unit)


def span(low: float, high: float, unit: str) -> str:
    """Two ends of a range with their unit."""
    return f"{number(low)} to {quantity(high, unit)}"


def edges(values: Iterable[float], unit: str = "mm") -> str:
    """The edges of a body or a board as recorded."""
    return f"{TIMES.join(number(value) for value in values)}{SPACE}{unit}"


def edges_in_inches(values_mm: Iterable[float]) -> str:
    """The same edges in inches, each converted exactly and rounded once to three digits."""
    return f"{TIMES.join(map(_inches, values_mm))}{SPACE}in"


@lru_cache(maxsize=CACHED)
def _inches(value_mm: float) -> str:
    return rounded(in_unit(value_mm / 1000, "in"))


@lru_cache(maxsize=CACHED)
def ounces(mass_g: float) -> str:
    """A mass in ounces, converted exactly and rounded once to three digits."""
    return f"{rounded(in_unit(mass_g / 1000, 'oz'))}{SPACE}oz"


@lru_cache(maxsize=CACHED)
def rounded(value: float, digits: int = 3) -> str:
    """A computed number with so many significant digits.

    Examples
    --------
    >>> rounded(91.6247278), rounded(1234.5), rounded(-0.0512)
    ('91.6', '1230', '\u22120.0512')
    """
    return format(round_significant(value, digits), "f").replace("-", MINUS)


def decimals(value: float, places: int) -> str:
    """A computed number with so many decimals.

    Examples
    --------
    >>> decimals(-0.4, 2), decimals(0.05, 2)
    ('\u22120.40', '0.05')
    """
    return format(round_places(value, places), "f").replace("-", MINUS)
