"""Logs for the tests of bench data: a record of one row, a file beside it, and what reading it gives."""

from collections.abc import Callable, Mapping
from pathlib import Path

import msgspec
import pytest

from lidoff.bench.logs import LogResult, read_logs
from lidoff.record.model import Record

COLUMNS = {"time_s": "t", "voltage_v": "v", "current_a": "i"}


def record_of(name: str, row: Mapping[str, object], label: list[dict]) -> Record:
    content = {
        "schema": 1, "status": "draft", "product": {"brand": "Fernhollow", "model": "FH-65", "kind": "wall-charger"},
        "ports": [{"id": "C1", "connector": "usb-c", "label": label}],
        "measured": {name: [dict(row)]},
    }  # fmt: skip
    return msgspec.convert(content, Record)


@pytest.fixture
def read(tmp_path: Path) -> Callable[..., LogResult]:
    """Reads text or bytes as the log of a charge; further fields of the row can be given."""

    def read(
        content: str | bytes, columns: Mapping[str, str] = COLUMNS, label: tuple[float, ...] = (), **options: float
    ) -> LogResult:
        (tmp_path / "log.csv").write_bytes(content.encode() if isinstance(content, str) else content)
        fixed = [{"kind": "fixed", "voltage_v": volts, "current_a": 3} for volts in label]
        record = record_of("charging", {"log": "log.csv", "columns": columns, "port": "C1"}, fixed)
        return read_logs(tmp_path, record, **options)["measured.charging[0]"]

    return read


@pytest.fixture
def read_row(tmp_path: Path) -> Callable[..., LogResult]:
    """Reads text as the log of a row of another kind: efficiency_sweeps or soak."""

    def read_row(name: str, content: str, **row: object) -> LogResult:
        (tmp_path / "log.csv").write_text(content, encoding="utf-8")
        return read_logs(tmp_path, record_of(name, {"log": "log.csv", **row}, []))[f"measured.{name}[0]"]

    return read_row


@pytest.fixture
def told() -> Callable[[LogResult], list[str]]:
    """The texts of what was odd."""
    return lambda result: [odd.text for odd in result.report.oddities]
