"""Measured numbers with the expanded uncertainty that their instrument's stated accuracy gives them."""

from collections.abc import Callable
from dataclasses import dataclass
from math import floor, log10

from lidoff.engineering.combined_uncertainty import difference_uncertainty
from lidoff.engineering.supply_efficiency import operating_point
from lidoff.engineering.uncertainty import expanded_uncertainty
from lidoff.figures.meters import power_spread
from lidoff.figures.rows import reading_uncertainty
from lidoff.pages.numbers import SPACE, decimals, number, quantity, rounded
from lidoff.pages.table import Field
from lidoff.pages.views.rows import Row
from lidoff.record.model.record import Record

COVERAGE = (
    "± is the expanded uncertainty (k = 2) from the stated accuracy of the instruments alone; a number without it has "
    "none recorded."
)


@dataclass(frozen=True, slots=True)
class Reading:
    """A column of readings of one instrument; ``per_unit`` is how many of its unit make one of the instrument's."""

    title: str
    name: str
    unit: str
    quantity: str
    instrument: str = "instrument"
    per_unit: float = 1.0


@dataclass(frozen=True, slots=True)
class Derived:
    """A column that is computed from several readings of a row."""

    title: str
    text: Callable[[Record, Row], str]


Column = Field[Row] | Reading | Derived


def bound(column: Column, record: Record) -> Field[Row]:
    """A column for the rows of one record."""
    if isinstance(column, Reading):
        return Field(column.title, lambda row: reading_text(record, row, column), is_number=True)
    if isinstance(column, Derived):
        return Field(column.title, lambda row: column.text(record, row), is_number=True)
    return column


def reading_text(record: Record, row: Row, column: Reading) -> str:
    """A reading as it was written, with its uncertainty where the row names an instrument of known accuracy."""
    value = getattr(row, column.name)
    if value is None:
        return ""
    instrument = getattr(row, column.instrument) or getattr(row, "instrument", None)
    standard = reading_uncertainty(record, instrument, column.quantity, value / column.per_unit)
    if not standard:
        return quantity(value, column.unit)
    return with_uncertainty(value, expanded_uncertainty(standard) * column.per_unit, column.unit)


def with_uncertainty(value: float, expanded: float, unit: str) -> str:
    """A recorded number and its uncertainty, both to as many decimals: those of the number, more where the uncertainty
    would vanish or, beginning with 1, lose its second digit.

    Examples
    --------
    >>> readings = ((72.09, 0.1265), (71.7, 0.1265), (0.058, 0.00068))
    >>> [with_uncertainty(*one, "W").replace(SPACE, " ") for one in readings]
    ['72.09 ± 0.13 W', '71.70 ± 0.13 W', '0.0580 ± 0.0007 W']
    """
    leading = -floor(log10(expanded))
    begins_with_one = round(expanded * 10**leading) == 1
    whole, _, part = number(value).partition(".")
    places = max(len(part), leading + begins_with_one)
    written = f"{whole}.{part:0<{places}}" if places else whole
    return f"{written}{SPACE}±{SPACE}{decimals(expanded, places)}{SPACE}{unit}".rstrip()


def efficiency_text(record: Record, row: Row) -> str:
    """The efficiency of a point; its uncertainty counts the errors of one meter at both ends as independent.

    Nothing where no input power was read: the point has a finding.
    """
    if not row.input_w > 0:
        return ""
    point = operating_point(row.output_v, row.output_a, row.input_w)
    spread = power_spread(record, row)
    if spread is None:
        return f"{rounded(100 * point.efficiency)}{SPACE}%"
    expanded = 100 * expanded_uncertainty(spread.of_efficiency(row))
    places = max(1, -floor(log10(expanded))) if expanded else 1
    return f"{decimals(100 * point.efficiency, places)}{SPACE}±{SPACE}{decimals(expanded, places)}{SPACE}%"


def rise_text(record: Record, row: Row) -> str:
    """How far a surface is above the air; both readings of one thermometer count as independent."""
    if row.surface_c is None or row.ambient_c is None:
        return ""
    rise = decimals(row.surface_c - row.ambient_c, 1)
    readings = (row.surface_c, row.ambient_c)
    spreads = [reading_uncertainty(record, row.instrument, "temperature", value) for value in readings]
    if None in spreads:
        return f"{rise}{SPACE}K"
    return f"{rise}{SPACE}±{SPACE}{decimals(expanded_uncertainty(difference_uncertainty(*spreads)), 1)}{SPACE}K"
