"""Columns that rows of many kinds share: mains, load, port, sample, instrument, remark."""

from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache
from typing import Any

from lidoff.pages.numbers import optional, quantity
from lidoff.pages.table import Field
from lidoff.pages.vocabulary import label
from lidoff.record.model.product import Sample

Row = Any  # rows of the record's model share names, not a base class
CACHED = 1000  # mains: there are a few dozen
INSTRUMENTS = ("input_instrument", "output_instrument", "instrument")


def measured(title: str, name: str, unit: str) -> Field[Row]:
    """A column of one measured number."""

    def text(row: Row) -> str:
        value = getattr(row, name)
        return "" if value is None else quantity(value, unit)

    return Field(title, text, is_number=True)


def word(title: str, name: str, vocabulary: str) -> Field[Row]:
    """A column of words of a vocabulary."""

    def text(row: Row) -> str:
        value = getattr(row, name)
        return label(vocabulary, value) if value is not None else ""

    return Field(title, text)


def plain(title: str, name: str) -> Field[Row]:
    """A column of text as recorded."""
    return Field(title, lambda row: getattr(row, name) or "")


def computed(title: str, text: Callable[[Row], str]) -> Field[Row]:
    """A column of numbers made from several fields of a row."""
    return Field(title, text, is_number=True)


def mains(row: Row) -> str:
    """Mains voltage and frequency of a row."""
    return _mains(row.mains_v, getattr(row, "mains_hz", None))


@lru_cache(maxsize=CACHED)
def _mains(voltage: float | None, frequency: float | None) -> str:
    return " ".join(filter(None, (optional(voltage, "V"), optional(frequency, "Hz"))))


def port_powers(row: Row) -> str:
    """Which ports were loaded with how much."""
    if not row.ports:
        return ""
    return ", ".join(f"{port} {quantity(power, 'W')}" for port, power in row.ports.items())


MAINS: Field[Row] = Field("Mains", mains)
PORT: Field[Row] = Field("Port", lambda row: row.port or "")
PORTS: Field[Row] = Field("Loaded ports", port_powers)


def trailing(samples: Sequence[Sample]) -> Iterable[Field[Row]]:
    """The last columns of every measured table; the sample is said where there are several."""
    if len(samples) > 1:
        yield Field("Sample", lambda row: row.sample or samples[0].id)
    yield Field("Instrument", _instruments)
    yield plain("Remark", "note")


def _instruments(row: Row) -> str:
    return ", ".join(filter(None, [getattr(row, name, None) for name in INSTRUMENTS]))
