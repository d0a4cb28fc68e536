"""Every log that a record names, read once: what later stages need of it is kept, the readings themselves are not."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from lidoff.bench.log_report import Fault, LogReport
from lidoff.bench.log_values import ChargeLog, SoakLog
from lidoff.bench.swept_point import SweptPoint
from lidoff.record.model import Record
from lidoff.record.model.electrical import Charging, EfficiencySweep, Soak

GAP_RATIO = 5.0
PEAK_WINDOW = 5

LogRow = Charging | EfficiencySweep | Soak


@dataclass(frozen=True, slots=True)
class LogResult:
    """What one row's file gave: how it was read and what it says, or the fault that stopped the reading."""

    file: str
    report: LogReport | None = None
    fault: Fault | None = None
    charge: ChargeLog | None = None
    soak: SoakLog | None = None
    points: tuple[SweptPoint, ...] = ()


Logs = Mapping[str, LogResult]


def log_rows(record: Record) -> Iterator[tuple[str, LogRow]]:
    """Every row that names a log and its columns, with its field."""
    rows = record.measured
    if rows is None:
        return
    for name in ("charging", "efficiency_sweeps", "soak"):
        for place, row in enumerate(getattr(rows, name)):
            if row.log is not None and row.columns:
                yield f"measured.{name}[{place}]", row


def read_logs(
    folder: Path, record: Record, gap_ratio: float = GAP_RATIO, peak_window: int = PEAK_WINDOW
) -> dict[str, LogResult]:
    """What the logs beside a record say, by the field of the row that names them.

    A file that does not lie in ``folder``, or behind a link, has no result: other checks tell of it.
    """
    found = [(at, row) for at, row in log_rows(record) if is_own_file(folder, row.log)]
    if not found:
        return {}
    # numpy and pandas are loaded only where there is a log
    from lidoff.bench.log_reader import read_log

    return {at: read_log(folder / row.log, at, row, record, gap_ratio, peak_window) for at, row in found}


def is_own_file(folder: Path, name: str) -> bool:
    """Whether a file lies in the folder itself and not behind a link."""
    path = folder / name
    return path.is_file() and path.resolve() == folder.resolve() / name
