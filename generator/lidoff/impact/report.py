"""An impact as text, as Markdown for a pull request, and as JSON. One outline serves both kinds of text."""

import html
import json
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import msgspec

from lidoff.finding import Finding
from lidoff.impact.change import CellChange, Impact, Name, RecordChange, Sibling, Standing
from lidoff.reports.text import finding_text

MOST_ROWS = 60
MOST_SHARED = 4
NOT_THERE = "–"
_SPECIAL = re.compile(r"([\\`*_{}\[\]()#+!|~-])")

Row = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """One part of the outline: a heading of level 1 to 3, lines, and a table with headings in its first row."""

    level: int
    heading: str
    lines: tuple[str, ...] = ()
    rows: tuple[Row, ...] = ()
    blocks: tuple[str, ...] = ()


def as_json(impact: Impact) -> str:
    """Everything, nothing left out."""
    return json.dumps(msgspec.to_builtins(impact), ensure_ascii=False, indent=2) + "\n"


def as_text(impact: Impact) -> str:
    """The outline for a terminal."""
    return "\n".join(line for part in outline(impact) for line in _text_lines(part)).lstrip("\n") + "\n"


def as_markdown(impact: Impact) -> str:
    """The outline for a comment or a job's summary; text of records can neither mark up nor call anyone there."""
    return "\n".join(line for part in outline(impact) for line in _markdown_lines(part)).lstrip("\n") + "\n"


def outline(impact: Impact) -> Iterator[Part]:
    """What a maintainer reads: records, findings, tables."""
    counts = {kind: sum(1 for one in impact.changes if one.kind == kind) for kind in ("added", "changed", "removed")}
    told = ", ".join(f"{count} {kind}" for kind, count in counts.items() if count) or "no record differs"
    yield Part(1, f"What differs from {impact.base}", (f"Records: {told}; {impact.records} in all.",))
    for change in impact.changes:
        yield from _of_record(change)
    yield from _of_findings("New findings", impact.new_findings)
    yield from _of_findings("Findings that went", impact.resolved_findings)
    if impact.cells:
        yield Part(2, "Trend tables that move", _more(impact.cells), (
            ("table", "row", "column", "before", "now"), *map(_cell_row, impact.cells[:MOST_ROWS]),
        ))  # fmt: skip


def _of_record(change: RecordChange) -> Iterator[Part]:
    lines = [change.path]
    if not change.readable:
        lines.append("The record can't be read: its errors stand below.")
    lines += [f"also: {file}" for file in change.other_files]
    yield Part(2, f"{change.title}: {change.kind}", tuple(lines))
    if change.facts:
        rows = [(fact.words, fact.before or NOT_THERE, fact.after or NOT_THERE) for fact in change.facts]
        yield Part(3, "Statements", _more(rows), (("statement", "before", "now"), *rows[:MOST_ROWS]))
    if change.figures:
        rows = [
            (f"{one.title}, {one.of}" if one.of else one.title, one.before or NOT_THERE, one.after or NOT_THERE)
            for one in change.figures
        ]
        yield Part(3, "Derived figures", _more(rows), (("figure", "before", "now"), *rows[:MOST_ROWS]))
    if change.names:
        yield Part(3, "Names", tuple(map(_name_line, change.names)))
    if change.standings:
        yield Part(3, "Among its tier", tuple(map(_standing_line, change.standings)))
    if change.siblings:
        yield Part(3, "Designs like it", tuple(map(_sibling_line, change.siblings)))


def _of_findings(heading: str, findings: Sequence[Finding]) -> Iterator[Part]:
    if findings:
        shown = tuple(finding_text(finding) for finding in findings[:MOST_ROWS])
        yield Part(2, heading, (f"{len(findings)} in all.", *_more(findings)), blocks=shown)


def _name_line(name: Name) -> str:
    if name.contradicts:
        return f"{name.kind} {name.name} ({name.field}) was read before: {name.contradicts}"
    return f"{name.kind} {name.name} ({name.field}): first time in this knowledge base"


def _sibling_line(sibling: Sibling) -> str:
    shared = "; ".join(sibling.shared[:MOST_SHARED])
    more = len(sibling.shared) - MOST_SHARED
    also = f" and {more} more" if more > 0 else ""
    return f"{sibling.title} ({sibling.path}), likeness {100 * sibling.index:.0f} of 100: shares {shared}{also}"


def _standing_line(standing: Standing) -> str:
    unit = "" if standing.unit == "1" else f" {standing.unit}"
    place = f"number {standing.rank} of {standing.n} from the largest, tier {standing.tier}"
    line = f"{standing.name}: {standing.value:.3g}{unit}, {place}"
    if standing.distance is None:
        return f"{line}; too few or too alike for a distance"
    side = "above" if standing.distance >= 0 else "below"
    return f"{line}; {abs(standing.distance):.1f} robust standard deviations {side} the median"


def _cell_row(cell: CellChange) -> Row:
    return (cell.table, cell.row, cell.column, cell.before or NOT_THERE, cell.after or NOT_THERE)


def _more(items: Sequence[object]) -> tuple[str, ...]:
    left = len(items) - MOST_ROWS
    return (f"The first {MOST_ROWS}; --format json has the other {left}.",) if left > 0 else ()


def _text_lines(part: Part) -> Iterator[str]:
    yield from ("", part.heading if part.level < 3 else f"  {part.heading}")
    yield from (f"    {line}" for line in part.lines)
    if part.rows:
        widths = [max(len(row[place]) for row in part.rows) for place in range(len(part.rows[0]))]
        for row in part.rows:
            yield "    " + "  ".join(f"{text:<{width}}" for text, width in zip(row, widths, strict=True)).rstrip()
    for block in part.blocks:
        yield from (f"    {line}" for line in block.splitlines())


def _markdown_lines(part: Part) -> Iterator[str]:
    yield from ("", f"{'#' * (part.level + 1)} {_plain(part.heading)}", "")
    yield from (f"- {_plain(line)}" for line in part.lines)
    if part.rows:
        heading, *rows = part.rows
        yield from ("", _markdown_row(heading, _plain), "|" + " --- |" * len(heading))
        yield from (_markdown_row(row, _plain) for row in rows)
    for block in part.blocks:
        yield from ("", *(f"    {line}" for line in block.splitlines()))


def _markdown_row(row: Row, written: Callable[[str], str]) -> str:
    return "| " + " | ".join(map(written, row)) + " |"


def _plain(text: str) -> str:
    """Text that Markdown and HTML leave as it is, on one line, and that mentions nobody."""
    return _SPECIAL.sub(r"\\\1", html.escape(" ".join(text.split()), quote=False)).replace("@", "&#64;")
