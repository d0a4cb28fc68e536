"""A log as a file for readers: every reading that counts, in numbers alone and under headings of our own."""

from pathlib import Path

import pandas as pd

from lidoff.bench.log_columns import run_columns
from lidoff.bench.log_power import flow_of
from lidoff.bench.log_reader import read_samples
from lidoff.bench.logs import LogResult, LogRow

HEADINGS = {"voltage": "voltage_v", "current": "current_a", "surface": "surface_c", "ambient": "ambient_c"}
POINT_COLUMNS = (
    "mains_v", "mains_hz", "set_v", "load_pct", "load_base_a", "output_v", "output_a", "input_w", "power_factor",
    "cable_mohm", "warm_up_min",
)  # fmt: skip
PLACES_OF_TIME = 6


def log_as_csv(path: Path, row: LogRow, result: LogResult) -> bytes:
    """The readings of a log that could be read; no text of the file is copied, so none can be taken for a formula."""
    return points_as_csv(result) if result.points else _readings_as_csv(path, row)


def points_as_csv(result: LogResult) -> bytes:
    """The points of a sweep, those columns that have any number."""
    frame = pd.DataFrame({name: [getattr(point, name) for point in result.points] for name in POINT_COLUMNS})
    return _csv(frame.dropna(axis="columns", how="all"))


def _readings_as_csv(path: Path, row: LogRow) -> bytes:
    samples = read_samples(path, row)
    flow = flow_of(samples, run_columns(row.columns or {})) if {"power", "voltage"} & samples.values.keys() else None
    values = samples.values if flow is None else flow.samples.values
    columns = {"time_s": (samples.times - samples.times[0]).round(PLACES_OF_TIME)}
    columns |= {HEADINGS[name]: column for name, column in values.items() if name in HEADINGS}
    if flow is not None:
        columns["power_w"] = flow.power.round(PLACES_OF_TIME)
    return _csv(pd.DataFrame(columns))


def _csv(frame: pd.DataFrame) -> bytes:
    return frame.to_csv(index=False, lineterminator="\n").encode("ascii")
