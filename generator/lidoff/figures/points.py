"""The efficiency points of a record as one list: its own rows, then those of its sweeps in files."""

from collections.abc import Iterable
from dataclasses import replace

from lidoff.bench.logs import Logs
from lidoff.bench.swept_point import SweptPoint
from lidoff.record.model import Record
from lidoff.record.model.electrical import EfficiencyPoint

PointRow = tuple[int, EfficiencyPoint]


def with_sweeps(record: Record, logs: Logs) -> Record:
    """The record with the points of its sweeps behind its own rows, so that one piece of code serves both."""
    swept = tuple(point for result in logs.values() for point in result.points)
    if not swept or record.measured is None:
        return record
    return replace(record, measured=replace(record.measured, efficiency=(*record.measured.efficiency, *swept)))


def point_field(place: int, row: EfficiencyPoint) -> str:
    """Where a point stands: its row, or its sweep with the line of the file in brackets."""
    return row.at if isinstance(row, SweptPoint) else f"measured.efficiency[{place}]"


def series_of(rows: Iterable[PointRow]) -> list[list[PointRow]]:
    """The rows by how they were taken: the record's own together, then those of each sweep."""
    series: dict[str, list[PointRow]] = {}
    for place, row in rows:
        taken = row.at.partition(".log[")[0] if isinstance(row, SweptPoint) else ""
        series.setdefault(taken, []).append((place, row))
    return list(series.values())
