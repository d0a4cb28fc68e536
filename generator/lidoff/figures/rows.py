"""Measured rows: which sample they belong to, what they were set to, and how sure their instruments are."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Protocol, TypeVar

from lidoff.engineering.uncertainty import accuracy_half_width, standard_uncertainty
from lidoff.record.model import Record
from lidoff.record.model.measured import Instrument, Measured

NOMINAL_MAINS_V = (90.0, 100.0, 110.0, 115.0, 120.0, 127.0, 200.0, 208.0, 220.0, 230.0, 240.0, 264.0)
NOMINAL_MAINS_HZ = (47.0, 50.0, 60.0, 63.0)
NOTHING_MEASURED = Measured()
CACHED = 4096


class Row(Protocol):
    """A measured row; without a sample it belongs to the first one."""

    sample: str | None


@dataclass(frozen=True, slots=True)
class Accuracy:
    """Half-width of a stated accuracy: a share of the reading, and a part that is the same for every reading."""

    share: float
    fixed: float


AnyRow = TypeVar("AnyRow", bound=Row)


def measured(record: Record) -> Measured:
    """What was measured, empty where nothing was."""
    return record.measured or NOTHING_MEASURED


def of_first_sample(record: Record, rows: Iterable[tuple[int, AnyRow]]) -> list[tuple[int, AnyRow]]:
    """Those numbered rows that belong to the first sample that has any; samples are never mixed."""
    rows = list(rows)
    if not any(row.sample for _, row in rows):  # a row that names none belongs to the first one
        return rows
    order = {sample.id: place for place, sample in enumerate(record.samples)}
    numbered = [(order.get(row.sample, len(order)) if row.sample else 0, index, row) for index, row in rows]
    first = min(place for place, _, _ in numbered)
    return [(index, row) for place, index, row in numbered if place == first]


@lru_cache(maxsize=CACHED)
def nominal(value: float, among: Sequence[float], tolerance: float = 0.01) -> float:
    """The nominal value that a reading stands for, else the reading to the nearest whole number."""
    near = [one for one in among if abs(one - value) <= tolerance * one]
    return min(near, key=lambda one: abs(one - value)) if near else float(round(value))


def reading_uncertainty(record: Record, instrument: str | None, quantity: str, reading: float) -> float | None:
    """Standard uncertainty of a reading in the unit of its quantity, None where no accuracy is recorded."""
    stated = accuracy_of(record, instrument, quantity)
    return None if stated is None else standard_uncertainty(stated.share * abs(reading) + stated.fixed)


def accuracy_of(record: Record, instrument: str | None, quantity: str) -> Accuracy | None:
    """The accuracy that an instrument states for a quantity; None where it states none, or a part is missing."""
    for one in record.instruments:
        if one.id == instrument and one.quantity == quantity:
            if not accuracy_is_complete(one):
                return None
            return _stated(one.pct_reading, one.pct_range, one.range, one.digits, one.digit_size)
    return None


@lru_cache(maxsize=CACHED)
def _stated(
    pct_reading: float | None, pct_range: float | None, range: float | None, digits: float | None, step: float | None
) -> Accuracy:
    fixed = accuracy_half_width(0.0, 0.0, digits or 0, step or 0.0)
    if pct_range and range is not None:
        fixed += accuracy_half_width(range, pct_range / 100)
    return Accuracy((pct_reading or 0.0) / 100, fixed)


def only_instrument(record: Record, quantity: str) -> str | None:
    """The one instrument for a quantity, for values that have no place to name theirs; None where there are several."""
    found = [one.id for one in record.instruments if one.quantity == quantity]
    return found[0] if len(found) == 1 else None


def accuracy_is_complete(instrument: Instrument) -> bool:
    """Whether an instrument's stated accuracy has no part missing."""
    if instrument.pct_reading is instrument.pct_range is instrument.digits is None:
        return False
    has_range = not instrument.pct_range or instrument.range is not None
    return has_range and (not instrument.digits or instrument.digit_size is not None)
