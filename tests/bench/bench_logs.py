"""Measure how long it takes to read a log and to compute what is said of a charge.

    .venv/bin/python tests/bench/bench_logs.py [READINGS ...]      default: 10000 1000000

The log is invented: 20 V, 3 A, a reading every 0.1 s, an outlier now and then. Reading is from the bytes in memory to numbers;
computing is all that follows: gaps, power, energy, peak, time at each voltage, shares of the energy, curves. The best of three
runs counts, in processor seconds; the machine's speed varies: compare rows of one run, not of two.
"""

import argparse
import time
from collections.abc import Callable, Mapping

import numpy as np

from lidoff.bench.charge_log import charge_log
from lidoff.bench.log_columns import run_columns
from lidoff.bench.log_power import flow_of
from lidoff.bench.log_samples import make_samples
from lidoff.bench.log_table import read_table
from lidoff.bench.log_text import decoded
from lidoff.bench.log_time import time_axis

RUNS = 3
COLUMNS = run_columns({"time": "t", "voltage_v": "v", "current_a": "i"})
SECONDS = run_columns({"time_s": "t", "voltage_v": "v", "current_a": "i"})


def content(readings: int, written: Callable[[np.ndarray], list[str]]) -> bytes:
    """An invented log."""
    rng = np.random.default_rng(1)
    times = np.arange(readings) / 10
    volts, amperes = 20 + rng.normal(0, 0.01, readings), 3 + rng.normal(0, 0.02, readings)
    amperes[:: max(readings // 50, 1)] = 4.5
    rows = zip(written(times), volts.round(4).tolist(), amperes.round(4).tolist(), strict=True)
    return ("t,v,i\n" + "\n".join(f"{t},{v},{i}" for t, v, i in rows) + "\n").encode()


def elapsed(times: np.ndarray) -> list[str]:
    return [f"{time:.1f}" for time in times]


def moments(times: np.ndarray) -> list[str]:
    return np.datetime_as_string(
        np.datetime64("2026-03-09T08:00:00", "ms") + (times * 1000).astype("timedelta64[ms]")
    ).tolist()


def clock(times: np.ndarray) -> list[str]:
    return [text[11:] for text in moments(times)]


FORMS: Mapping[str, Callable[[np.ndarray], list[str]]] = {
    "elapsed seconds": elapsed,
    "date and time": moments,
    "time of day": clock,
}


def timed(text_of: bytes, columns: tuple) -> tuple[float, float]:
    """Processor seconds for reading and for computing."""
    started = time.process_time()
    text, _ = decoded(text_of)
    table = read_table(text, columns)
    axis = time_axis(table, columns)
    read = time.process_time()
    charge_log(flow_of(make_samples(table, axis, 5.0), columns), 5)
    return read - started, time.process_time() - read


def main() -> None:
    """Print the rows for each size and form of time."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("readings", metavar="READINGS", type=int, nargs="*", default=[10_000, 1_000_000])
    print(f"{'readings':>10}  {'time as':<16}{'MB':>7}{'read s':>9}{'compute s':>11}")
    for readings in parser.parse_args().readings:
        for name, written in FORMS.items():
            made = content(readings, written)
            columns = SECONDS if written is elapsed else COLUMNS
            runs = [timed(made, columns) for _ in range(RUNS)]
            read, computed = min(run[0] for run in runs), min(run[1] for run in runs)
            print(f"{readings:>10}  {name:<16}{len(made) / 1e6:>7.1f}{read:>9.3f}{computed:>11.3f}")


if __name__ == "__main__":
    main()
