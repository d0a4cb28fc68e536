"""The logs beside a record, read on the assumptions of the knowledge base."""

from pathlib import Path

from lidoff.bench.logs import Logs, read_logs
from lidoff.figures.assumptions import Assumptions
from lidoff.record.model import Record


def logs_beside(folder: Path, record: Record, assumptions: Assumptions) -> Logs:
    """What the logs in a record's folder say, by the field of the row that names each."""
    gap_ratio = assumptions.values["log_gap_ratio"].value
    return read_logs(folder, record, gap_ratio, int(assumptions.values["peak_window_samples"].value))
