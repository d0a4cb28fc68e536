"""The time of each row in seconds since the first: elapsed time, time of day, date and time, or seconds since 1970."""

import datetime
import io
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from lidoff.bench.log_columns import SYMBOLS, Wanted
from lidoff.bench.log_report import Oddity, Unreadable, plain, rows, shown
from lidoff.bench.log_table import GRAVE, MOST_WRONG, Table

DAY_S = 86_400.0
LOOKED_AT = 50
EPOCHS = ((1e8, 1e10, 1.0, "seconds"), (1e11, 1e13, 1e3, "milliseconds"), (1e14, 1e16, 1e6, "microseconds"))
"""From 1973 to 2286, in each unit that loggers write; an elapsed time in seconds never gets there."""
FORMS = "elapsed time as time_s or time_ms, 2026-03-09 14:05:31, 14:05:31, or seconds since 1970"
CLOCK = re.compile(r"\d{1,3}:\d{2}:\d{2}([.,]\d+)?")
SHORT_CLOCK = re.compile(r"\d{1,3}:\d{2}([.,]\d+)?")
ISO = re.compile(r"\d{4}[-/]\d{2}[-/]\d{2}[T ]\d{2}:\d{2}(:\d{2}([.,]\d+)?)? ?(Z|[+-]\d{2}:?\d{2})?")
DOTTED = re.compile(r"\d{1,2}\.\d{1,2}\.\d{4}[ ,]+\d{1,2}:\d{2}(:\d{2}([.,]\d+)?)?")
SLASHED = re.compile(r"\d{1,2}/\d{1,2}/\d{2,4}.*")


@dataclass(frozen=True, slots=True)
class TimeAxis:
    """Seconds since the first row that has a time, NaN where a row has none, and the form they were written in.

    ``is_clock`` is true for a time of day without its date, which starts again at midnight.
    """

    seconds: NDArray[np.float64]
    form: str
    is_clock: bool = False
    oddities: tuple[Oddity, ...] = ()


def time_axis(table: Table, wanted: Sequence[Wanted]) -> TimeAxis:
    """The times of a table; raises Unreadable where no form of time is known in its column."""
    column = next((one for one in wanted if one.quantity == "time"), None)
    if column is None:
        fix = "add time_s or time to columns"
        raise Unreadable("no column with the time", "the time of each reading", fix, max(table.header.line, 1))
    if "time" in table.numbers:
        seconds, form = _from_numbers(table.numbers["time"], column, table)
        return TimeAxis(seconds - _first(seconds), form)
    texts = table.texts["time"]
    if "date" in table.texts:
        texts = [f"{date} {time}".strip() for date, time in zip(table.texts["date"], texts, strict=True)]
    return _from_texts(texts, column, table)


def _from_numbers(values: NDArray[np.float64], column: Wanted, table: Table) -> tuple[NDArray[np.float64], str]:
    """Seconds of numbers; the unit is that of the key, unless only seconds since 1970 can be so large."""
    raw = values * (column.per_si or 1.0)
    middle = float(np.nanmedian(raw))
    for least, most, per_second, unit in EPOCHS:
        is_in_unit = column.per_si is None or column.per_si == per_second
        if least <= middle < most and is_in_unit:
            return raw / per_second, f"{unit} since 1970"
    if column.per_si is None:
        raise Unreadable(
            f"{plain(middle)} and the like under {shown(column.heading)}, numbers without a unit",
            FORMS, "write time_s for seconds, time_ms for milliseconds, time_min or time_h",
            int(table.lines[0]), column.key,
        )  # fmt: skip
    return values, f"elapsed time in {SYMBOLS[column.unit]}"


def _from_texts(texts: Sequence[str], column: Wanted, table: Table) -> TimeAxis:
    sample = [text for text in texts if text][:LOOKED_AT]
    for pattern, read, form in READERS:
        if sum(bool(pattern.fullmatch(text)) for text in sample) > MOST_WRONG * len(sample):
            seconds = read(texts)
            return TimeAxis(seconds - _first(seconds), form, read is _clock, _unread(seconds, texts, column, table))
    numbers = pd.to_numeric(pd.Series([text.replace(",", ".") for text in texts]), errors="coerce").to_numpy(np.float64)
    if np.isfinite(numbers).sum() > MOST_WRONG * len(texts):
        seconds, form = _from_numbers(numbers / (column.per_si or 1.0), column, table)
        return TimeAxis(seconds - _first(seconds), form, oddities=_unread(seconds, texts, column, table))
    raise _unknown_form(sample[0] if sample else "", column, table)


def _unknown_form(text: str, column: Wanted, table: Table) -> Unreadable:
    fix = "export the time in one of these forms"
    if SLASHED.fullmatch(text):
        fix = "export dates as 2026-03-09: with slashes, day and month can't be told apart"
    elif SHORT_CLOCK.fullmatch(text):
        fix = "export the time with hours, minutes and seconds: two parts can mean either"
    heading = shown(column.heading)
    found = f"{shown(text)} as a time under {heading}" if text else f"no time under {heading}"
    return Unreadable(found, FORMS, fix, int(table.lines[0]), column.key)


def _clock(texts: Sequence[str]) -> NDArray[np.float64]:
    """Seconds of hours, minutes and seconds; NaN where a text is none."""
    try:
        return _clock_numbers("\n".join(texts))
    except ValueError:
        # one text or more is no clock: those count as empty
        return _clock_numbers("\n".join(text if CLOCK.fullmatch(text) else "" for text in texts))


def _clock_numbers(lines: str) -> NDArray[np.float64]:
    if lines.count(":") > 2 * (lines.count("\n") + 1):
        raise ValueError("more than three parts in a line")
    parts = pd.read_csv(
        io.StringIO(lines.replace(",", ".")), sep=":", names=range(3), index_col=False, dtype=np.float64,
        skip_blank_lines=False,
    ).to_numpy()  # fmt: skip
    return parts[:, 0] * 3600 + parts[:, 1] * 60 + parts[:, 2]


def _dates(texts: Sequence[str]) -> NDArray[np.float64]:
    """Seconds of dates with the year first; a text without a zone counts as the zone of all others."""
    lines = "\n".join(texts).replace(",", ".").replace("/", "-").split("\n")
    return _since_1970(pd.to_datetime(pd.Series(lines), format="ISO8601", utc=True, errors="coerce"))


def _dotted_dates(texts: Sequence[str]) -> NDArray[np.float64]:
    """Seconds of dates with the day first and points between."""
    parts = [re.split("[ ,]+", text, maxsplit=1) if DOTTED.fullmatch(text) else ("", "") for text in texts]
    days = {day: _day(day) for day, _ in parts}
    clocks = _clock([f"{clock}:00" if clock.count(":") == 1 else clock for _, clock in parts])
    return np.array([days[day] for day, _ in parts], dtype=np.float64) * DAY_S + clocks


def _day(text: str) -> float:
    """The number of a day; NaN for one that no calendar has."""
    try:
        day, month, year = (int(part) for part in text.split("."))
        return float(datetime.date(year, month, day).toordinal())
    except ValueError:
        return float("nan")


def _since_1970(moments: pd.Series) -> NDArray[np.float64]:
    spans = moments - pd.Timestamp("1970-01-01", tz="UTC")
    return spans.dt.total_seconds().to_numpy(dtype=np.float64, copy=True)


Reader = Callable[[Sequence[str]], NDArray[np.float64]]
READERS: tuple[tuple[re.Pattern[str], Reader, str], ...] = (
    (CLOCK, _clock, "hours, minutes and seconds"),
    (ISO, _dates, "date and time, year first"),
    (DOTTED, _dotted_dates, "date and time, day first"),
)


def _first(seconds: NDArray[np.float64]) -> float:
    """The first time that there is; what is subtracted keeps the digits that follow."""
    known = seconds[np.isfinite(seconds)]
    return float(known[0]) if len(known) else 0.0


def _unread(seconds: NDArray[np.float64], texts: Sequence[str], column: Wanted, table: Table) -> tuple[Oddity, ...]:
    """Rows whose text is no time."""
    places = [place for place in np.flatnonzero(~np.isfinite(seconds)) if texts[place]]
    if not places:
        return ()
    first = shown(texts[places[0]])
    said = f"{rows(len(places))} with {first} or the like for a time under {shown(column.heading)}, left out"
    return (Oddity(said, int(table.lines[places[0]]), len(places) > GRAVE * len(texts)),)
