"""The collection as open data: five tables as CSV, JSON and SQLite, with a Frictionless Data Package descriptor."""

import json
import sqlite3
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import msgspec
import pandas as pd

from lidoff.entry import Entry
from lidoff.trends.formats import csv_text
from lidoff.trends.frames import Frames
from lidoff.trends.open_columns import FINDINGS, TABLES, TITLES, Column
from lidoff.trends.table import NOT_THE_MARKET

PROFILE = "https://datapackage.org/profiles/2.0/datapackage.json"
BETWEEN = "; "
DATABASE = "collection.sqlite"
_SQL_TYPES = {"number": "REAL", "integer": "INTEGER", "boolean": "INTEGER"}
_KEYS: Mapping[str, tuple[str, ...]] = {"products": ("slug",), "components": ("slug", "ref"), "ports": ("slug", "port")}

Row = tuple[object, ...]


@dataclass(frozen=True, slots=True)
class About:
    """What the descriptor says of the whole: name and address of the site, the newest day in the records."""

    site_name: str
    site_url: str
    newest: str | None
    licences: tuple[str, ...]


def open_data(frames: Frames, entries: Iterable[Entry], about: About) -> Iterator[tuple[str, bytes]]:
    """Name and content of every file. Rows are sorted by product, so that the same records give the same bytes."""
    rows = {
        name: tuple(_rows(getattr(frames, name), columns)) for name, columns in TABLES.items() if name != "findings"
    }
    rows["findings"] = tuple(_finding_rows(entries))
    for name, columns in TABLES.items():
        yield f"{name}.csv", _csv(columns, rows[name])
        yield f"{name}.json", _json(columns, rows[name])
    yield DATABASE, _database(rows)
    yield "datapackage.json", (json.dumps(descriptor(about), ensure_ascii=False, indent=2) + "\n").encode("utf-8")


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


def _rows(frame: pd.DataFrame, columns: Mapping[str, Column]) -> Iterator[Row]:
    """Plain values in the order of the columns, None for unknown."""
    values = [frame[name].astype("object").where(frame[name].notna(), None).tolist() for name in columns]
    whole = [column.type == "integer" for column in columns.values()]
    ready = [
        [_whole(one) for one in column] if is_whole else column for column, is_whole in zip(values, whole, strict=True)
    ]
    return zip(*ready, strict=True)


def _whole(value: object) -> int | None:
    return None if value is None else int(value)


def _finding_rows(entries: Iterable[Entry]) -> Iterator[Row]:
    for entry in sorted(entries, key=lambda one: one.slug):
        if not entry.is_draft:
            for finding in entry.findings:
                yield entry.slug, *(getattr(finding, name) or None for name in tuple(FINDINGS)[1:])


def _csv(columns: Mapping[str, Column], rows: Sequence[Row]) -> bytes:
    written = (tuple(map(_cell, row)) for row in rows)
    return csv_text((tuple(columns), *written)).encode("utf-8")


def _cell(value: object) -> object:
    if isinstance(value, tuple):
        return BETWEEN.join(value)
    return str(value).lower() if isinstance(value, bool) else value


def _json(columns: Mapping[str, Column], rows: Sequence[Row]) -> bytes:
    """A list of objects, one a line; unknown is null, several words are a list."""
    encode = msgspec.json.encode
    names = tuple(columns)
    lines = b",\n".join(encode(dict(zip(names, row, strict=True))) for row in rows)
    return b"[\n" + lines + b"\n]\n"


def _database(rows: Mapping[str, Sequence[Row]]) -> bytes:
    """All tables in one SQLite file; the same records give the same bytes with the same library."""
    connection = sqlite3.connect(":memory:")
    try:
        for name, columns in TABLES.items():
            connection.execute(_create(name, columns))
            marks = ", ".join("?" for _ in columns)
            connection.executemany(
                f"INSERT INTO {name} VALUES ({marks})", (tuple(map(_stored, row)) for row in rows[name])
            )
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


def _stored(value: object) -> object:
    return BETWEEN.join(value) if isinstance(value, tuple) else value
