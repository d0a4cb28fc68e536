"""Efficiency points as checks see them: those of the record's rows and those of its sweeps, with their places."""

from collections.abc import Iterable, Iterator

from lidoff.bench.swept_point import SweptPoint
from lidoff.checks.check import Notice, Subject
from lidoff.checks.log_readable import file_beside
from lidoff.figures.points import PointRow, point_field
from lidoff.figures.rows import measured
from lidoff.finding import Place
from lidoff.record.model.electrical import EfficiencyPoint


def points(subject: Subject) -> list[PointRow]:
    """Every efficiency point with its place in the list."""
    return list(enumerate(measured(subject.whole_record).efficiency))


def field_of(place: int, row: EfficiencyPoint, key: str) -> str:
    """The field that a notice about a point names; of a point in a file it is the line that names the file."""
    at = point_field(place, row)
    return at.rpartition("[")[0] if isinstance(row, SweptPoint) else f"{at}.{key}"


def fields_of(place: int, row: EfficiencyPoint, *keys: str) -> tuple[tuple[str, str], ...]:
    """Further fields of a point in the record; of a point in a file there are none."""
    return () if isinstance(row, SweptPoint) else tuple(("", field_of(place, row, key)) for key in keys)


def lines_of(subject: Subject, *rows: object) -> tuple[Place, ...]:
    """The lines of files in which points stand."""
    swept = [row for row in rows if isinstance(row, SweptPoint)]
    files = {at: file_beside(subject, result.file) for at, result in subject.logs.items()}
    return tuple(Place(files[row.at.partition(".log[")[0]], row.line, 1) for row in swept)


def each_file_once(found: Iterable[tuple[object, Notice]]) -> Iterator[Notice]:
    """The notices, of those about one file only the first: what is wrong with it is wrong with most of its lines."""
    told: set[str] = set()
    for row, notice in found:
        if isinstance(row, SweptPoint) and notice.field in told:
            continue
        told.add(notice.field)
        yield notice
