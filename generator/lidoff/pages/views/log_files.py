"""Logs as files beside the page of a product, and how each was read."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import PurePosixPath

from lidoff.bench.log_report import LogReport
from lidoff.bench.logs import LogResult
from lidoff.entry import Entry
from lidoff.pages.numbers import SPACE
from lidoff.pages.table import Link
from lidoff.pages.wording import counted, sentence


@dataclass(frozen=True, slots=True)
class Reading:
    """How a file was read: the forms that were found out, what was odd, and the link to its numbers."""

    sentence: str
    oddities: tuple[str, ...]
    download: Link | None


def published_names(entry: Entry) -> dict[str, str]:
    """The file of each log that could be read, relative to the product's page, by the field of its row."""
    names: dict[str, str] = {}
    for at, result in entry.logs.items():
        if result.fault is None:
            stem = PurePosixPath(result.file).with_suffix("")
            taken = sum(1 for name in names.values() if name == f"{stem}.csv" or name.startswith(f"{stem}_"))
            names[at] = f"{stem}_{taken + 1}.csv" if taken else f"{stem}.csv"
    return names


def log_reading(at: str, result: LogResult, names: Mapping[str, str]) -> Reading:
    """How the file of one row was read."""
    if result.fault is not None or result.report is None:
        fault = result.fault
        said = f"{result.file} could not be read: {fault.found} in line {fault.line}." if fault else ""
        return Reading(said, (), None)
    odd = tuple(sentence(f"Line {one.line}: {one.text}") for one in result.report.oddities)
    what = "points" if result.points else "readings"
    link = Link(f"The {what} of {result.file} as a table of numbers (CSV)", names[at])
    return Reading(_forms(result.file, result.report), odd, link)


def _forms(name: str, report: LogReport) -> str:
    pieces = [f"{report.encoding} text", f"{report.separator}s between the columns"]
    if report.decimal == "comma":
        pieces.append("decimal commas")
    pieces.append(f"headings in line {report.header_line}" if report.header_line else "no headings")
    if report.time_form:
        pieces.append(f"time as {report.time_form}")
    every = f", one every {report.interval_s:.3g}{SPACE}s" if report.interval_s else ""
    return f"{name} was read as {', '.join(pieces)}: {counted(report.rows, 'row')}{every}."
