"""A table as text that machines and spreadsheets read, and its values as people read them."""

import json
import re
from collections.abc import Iterable, Mapping

from lidoff.engineering.rounding import round_significant
from lidoff.trends.table import NOT_THE_MARKET, Table, Value

DIGITS = 3
MINUS = "\u2212"  # for people; files keep the hyphen-minus that programs read
_NUMBER = r"[+-]?[0-9]+(?:\.[0-9]+)?(?:[eE][+-]?[0-9]+)?"
# a spreadsheet takes a cell that begins like this for a formula, or drops the sign; one that parts cells at semicolons
# or tabs, as many do by default, begins a cell behind each of these
_FORMULA = re.compile(rf"(^|[;\t\r\n])(?! *{_NUMBER}(?:[;\t\r\n]|\Z))(?= *[=+\-@＝＋－＠])|^(?=[\t\r])")


def shown(value: Value) -> str:
    """A value as people read it: counts whole, measured values to three digits, unknown ones as a dash."""
    if value is None:
        return "–"
    if isinstance(value, str):
        return value
    text = f"{round_significant(value, DIGITS):f}" if isinstance(value, float) else str(value)
    return text.replace("-", MINUS)


def as_json(table: Table) -> str:
    """The table as one JSON object; rows start with their label, as ``columns`` with the heading of the labels."""
    content = {
        "name": table.name,
        "title": table.title,
        "description": table.description,
        "kind": table.kind,
        "columns": [table.row_header, *table.columns],
        "rows": [[row.label, *(cell.value for cell in row.cells)] for row in table.rows],
        "row_totals": list(table.row_totals),
        "column_totals": list(table.column_totals),
        "n": table.n,
        "brands": table.brands,
        "platforms": table.platforms,
        "shares": _shares(table),
        "notes": [NOT_THE_MARKET, *table.notes],
    }
    return json_text(content)


def as_csv(table: Table) -> str:
    """The table as comma-separated values with its totals, safe to open in a spreadsheet."""
    return csv_text(lines_with_totals(table))


def lines_with_totals(table: Table) -> list[tuple[Value, ...]]:
    """Heading, rows and totals as lines of equal length; a list has no totals."""
    is_counted = table.kind == "counts"
    lines: list[tuple[Value, ...]] = [(table.row_header, *table.columns)]
    lines += [(row.label, *(cell.value for cell in row.cells)) for row in table.rows]
    if table.kind == "list":
        return lines
    lines.append(("all", *table.column_totals))
    totals = ("all", *table.row_totals, table.n)
    return [(*line, total) for line, total in zip(lines, totals, strict=True)] if is_counted else lines


def json_text(content: object) -> str:
    """JSON as all our files write it: two spaces, letters as they are, one newline at the end."""
    return json.dumps(content, ensure_ascii=False, indent=2) + "\n"


def csv_text(lines: Iterable[Iterable[object]]) -> str:
    """Comma-separated values with one newline a line; text that a spreadsheet would run gets a leading apostrophe."""
    return "".join(",".join(csv_cell(value) for value in line) + "\n" for line in lines)


def csv_cell(value: object) -> str:
    """A value as a field. Python's own writer leaves a lone carriage return unquoted, which would break the line."""
    text = "" if value is None else str(value)
    if isinstance(value, str):
        text = _FORMULA.sub(r"\1'", text)
    return '"' + text.replace('"', '""') + '"' if any(sign in text for sign in ',"\r\n') else text


def _shares(table: Table) -> list[Mapping[str, object]]:
    """The shares of platforms by column, where there are enough for one; fractions with their 95 % interval."""
    return [
        {
            "row": row.label,
            "column": column,
            "platforms": cell.share.platforms,
            "of_platforms": cell.share.of_platforms,
            "share": cell.share.fraction,
            "low": cell.share.low,
            "high": cell.share.high,
        }
        for row in table.rows
        for column, cell in zip(table.columns, row.cells, strict=True)
        if cell.share is not None
    ]
