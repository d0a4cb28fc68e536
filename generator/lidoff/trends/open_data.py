"""The collection as open data: five tables as CSV, JSON and SQLite, with a Frictionless Data Package descriptor."""

import json
import sqlite3
from collections.abc import Iterable, Iterator, Mapping, Sequence

import msgspec
import pandas as pd

from lidoff.entry import Entry
from lidoff.trends.citation import About, citation_cff
from lidoff.trends.formats import csv_cell
from lidoff.trends.frames import Frames
from lidoff.trends.open_columns import FINDINGS, TABLES, TITLES, Column
from lidoff.trends.table import NOT_THE_MARKET

PROFILE = "https://datapackage.org/profiles/2.0/datapackage.json"
BETWEEN = "; "
DATABASE = "collection.sqlite"
_SQL_TYPES = {"number": "REAL", "integer": "INTEGER", "boolean": "INTEGER"}
_KEYS: Mapping[str, tuple[str, ...]] = {"products": ("slug",), "components": ("slug", "ref"), "ports": ("slug", "port")}

Values = list[list[object]]


def open_data(frames: Frames, entries: Sequence[Entry], about: About) -> Iterator[tuple[str, bytes]]:
    """Name and content of every file. Rows are sorted by product, so that the same records give the same bytes."""
    for name in TABLES:
        yield from table_files(name, frames, entries)
    yield database_file(frames, entries)
    yield from descriptions(about)


def values_of(name: str, frames: Frames, entries: Iterable[Entry]) -> Values:
    """The values of a table column by column, None for unknown: all that its files rest on."""
    return _finding_values(entries) if name == "findings" else _values(getattr(frames, name), TABLES[name])


def table_files(name: str, frames: Frames, entries: Iterable[Entry]) -> Iterator[tuple[str, bytes]]:
    """A table as CSV and as JSON."""
    values = values_of(name, frames, entries)
    yield f"{name}.csv", _csv(TABLES[name], values)
    yield f"{name}.json", _json(TABLES[name], values)


def database_file(frames: Frames, entries: Sequence[Entry]) -> tuple[str, bytes]:
    """All tables as one SQLite file."""
    return DATABASE, _database({name: values_of(name, frames, entries) for name in TABLES})


def descriptions(about: About) -> Iterator[tuple[str, bytes]]:
    """What the tables are, and how to cite them."""
    yield "datapackage.json", (json.dumps(descriptor(about), ensure_ascii=False, indent=2) + "\n").encode("utf-8")
    yield "CITATION.cff", citation_cff(about).encode("utf-8")


def descriptor(about: About) -> dict[str, object]:
    """The Data Package, version 2: every table with types, units and meanings of its columns."""
    licences = {"licenses": [{"name": one} for one in about.licences]} if about.licences else {}
    created = {"created": f"{about.newest}T00:00:00Z"} if about.newest else {}
    return {
        "$schema": PROFILE,
        "name": "opened-chargers",
        "title": about.site_name,
        "description": NOT_THE_MARKET,
        "homepage": about.site_url,
        **created,
        **licences,
        "resources": [_resource(name, columns) for name, columns in TABLES.items()],
    }


def _resource(name: str, columns: Mapping[str, Column]) -> dict[str, object]:
    schema: dict[str, object] = {
        "fields": [_field(called, column) for called, column in columns.items()],
        "missingValues": [""],
    }
    if name in _KEYS:
        schema["primaryKey"] = list(_KEYS[name])
    if name != "products":
        schema["foreignKeys"] = [{"fields": ["slug"], "reference": {"resource": "products", "fields": ["slug"]}}]
    return {
        "name": name, "title": TITLES[name], "type": "table", "path": f"{name}.csv", "format": "csv",
        "mediatype": "text/csv", "encoding": "utf-8", "schema": schema,
    }  # fmt: skip


def _field(name: str, column: Column) -> dict[str, object]:
    several = f'. Several are parted by "{BETWEEN}"' if column.type == "words" else ""
    field: dict[str, object] = {
        "name": name,
        "type": "string" if column.type == "words" else column.type,
        "description": column.meaning + several,
    }
    if column.type == "boolean":
        field |= {"trueValues": ["true"], "falseValues": ["false"]}
    if column.unit:
        field["unit"] = column.unit
    if column.required:
        field["constraints"] = {"required": True}
    return field


def _values(frame: pd.DataFrame, columns: Mapping[str, Column]) -> Values:
    """Plain values column by column, None for unknown."""
    return [_plain(frame[name], column) for name, column in columns.items()]


def _plain(series: pd.Series, column: Column) -> list[object]:
    values = series.tolist()
    if column.type == "integer":
        return [None if value is pd.NA else int(value) for value in values]
    return [None if value != value else value for value in values] if column.type == "number" else values


def _finding_values(entries: Iterable[Entry]) -> Values:
    rows = [
        (entry.slug, *(getattr(finding, name) or None for name in tuple(FINDINGS)[1:]))
        for entry in sorted(entries, key=lambda one: one.slug)
        if not entry.is_draft
        for finding in entry.findings
    ]
    return [[row[place] for row in rows] for place in range(len(FINDINGS))]


def _csv(columns: Mapping[str, Column], values: Values) -> bytes:
    # column by column, since most words come again and again and are made ready once
    texts = [_cells(column, column_values) for column, column_values in zip(columns.values(), values, strict=True)]
    return ("\n".join(map(",".join, (tuple(columns), *zip(*texts, strict=True)))) + "\n").encode("utf-8")


def _cells(column: Column, values: Sequence[object]) -> list[str]:
    if column.type in ("number", "integer"):
        return ["" if value is None else str(value) for value in values]
    ready = {value: csv_cell(_cell(value)) for value in set(values)}
    return [ready[value] for value in values]


def _cell(value: object) -> object:
    return str(value).lower() if isinstance(value, bool) else _joined(value)


def _joined(value: object) -> object:
    return BETWEEN.join(value) if isinstance(value, tuple) else value


def _json(columns: Mapping[str, Column], values: Values) -> bytes:
    """A list of objects, one a line; unknown is null, several words are a list."""
    encode = msgspec.json.encode
    names = tuple(columns)
    lines = [encode(dict(zip(names, row, strict=True))) for row in zip(*values, strict=True)] or [b""]
    # the ends go to the lines: the whole is a hundred megabytes, and would be held twice
    lines[0] = b"[\n" + lines[0]
    lines[-1] += b"\n]\n"
    return b",\n".join(lines)


def _database(values: Mapping[str, Values]) -> bytes:
    """All tables in one SQLite file; the same records give the same bytes with the same library."""
    connection = sqlite3.connect(":memory:")
    try:
        for name, columns in TABLES.items():
            connection.execute(_create(name, columns))
            marks = ", ".join("?" for _ in columns)
            stored = [
                list(map(_joined, column_values)) if column.type == "words" else column_values
                for column, column_values in zip(columns.values(), values[name], strict=True)
            ]
            connection.executemany(f"INSERT INTO {name} VALUES ({marks})", zip(*stored, strict=True))
        connection.commit()
        return connection.serialize()
    finally:
        connection.close()


def _create(name: str, columns: Mapping[str, Column]) -> str:
    lines = [_sql_column(called, column) for called, column in columns.items()]
    if name in _KEYS:
        lines.append(f"PRIMARY KEY ({', '.join(_KEYS[name])})")
    if name != "products":
        lines.append("FOREIGN KEY (slug) REFERENCES products (slug)")
    return f"CREATE TABLE {name} (\n  " + ",\n  ".join(lines) + "\n)"


def _sql_column(name: str, column: Column) -> str:
    return f'"{name}" {_SQL_TYPES.get(column.type, "TEXT")}{" NOT NULL" if column.required else ""}'
