"""The collection as files for other programs: one JSON a product, an index of products, and every frame as CSV."""

import dataclasses
import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import MISSING
from functools import cache

import pandas as pd

from lidoff.entry import Entry
from lidoff.figures.plain import plain_figure
from lidoff.trends.formats import csv_text, json_text
from lidoff.trends.frames import Frames

INDEX_COLUMNS = (
    "slug", "brand", "model", "name", "kind", "demo", "year", "year_basis", "rated_power_w", "tier", "pfc", "topology",
    "primary_switch_technology", "protocol", "connector", "power_density_w_per_cm3", "bulk_uf_per_w", "platform",
)  # fmt: skip
_BETWEEN = "; "
_PLAIN = frozenset({str, int, float, bool})


def product_json(entry: Entry) -> str:
    """One product: its record as it was written, the points of its sweeps, its figures with their reasons and sources."""
    content = {
        "slug": entry.slug,
        "title": entry.title,
        "year": entry.year,
        "record": plain(entry.record),
        "swept_points": [plain(point) for result in entry.logs.values() for point in result.points],
        "figures": [plain_figure(figure) for figure in entry.figures],
    }
    return json.dumps(content, ensure_ascii=False, separators=(",", ":")) + "\n"


def plain(value: object) -> object:
    """A piece of a record as JSON has it; fields at their default are what the record leaves out."""
    if dataclasses.is_dataclass(value):
        return dict(_written(value))
    if isinstance(value, Mapping):
        return {key: plain(inner) for key, inner in value.items()}
    return [plain(inner) for inner in value] if isinstance(value, tuple | list) else value


def _written(piece: object) -> Iterator[tuple[str, object]]:
    for name, default in _fields(type(piece)):
        value = getattr(piece, name)
        # most fields are left out, and of the rest most are one number or one word
        if value is not default and (default is MISSING or value != default):
            yield name, value if type(value) in _PLAIN else plain(value)


@cache
def _fields(kind: type) -> tuple[tuple[str, object], ...]:
    """Name and default of every field of a dataclass."""
    return tuple((field.name, field.default) for field in dataclasses.fields(kind))


def index_json(frames: Frames) -> str:
    """The index of products with few columns, for lists and filters."""
    return json_text(list(rows_of(frames.products[list(INDEX_COLUMNS)])))


def index_csv(frames: Frames) -> str:
    """The same index for spreadsheets."""
    return frame_csv(frames.products[list(INDEX_COLUMNS)])


def frame_json(frame: pd.DataFrame) -> str:
    """A whole frame as a list of objects; unknown is null, several words are a list."""
    return json_text(list(rows_of(frame)))


def frame_csv(frame: pd.DataFrame) -> str:
    """A whole frame for spreadsheets; unknown is empty, several words stand in one cell."""
    lines = ([_one_cell(value) for value in row.values()] for row in rows_of(frame))
    return csv_text(_with_heading(tuple(frame.columns), lines))


def rows_of(frame: pd.DataFrame) -> Iterator[dict[str, object]]:
    """The rows with plain values, None for unknown, in the order of the frame."""
    columns = [frame[name].astype("object").where(frame[name].notna(), None).tolist() for name in frame.columns]
    for values in zip(*columns, strict=True):
        yield dict(zip(frame.columns, values, strict=True))


def _with_heading(heading: tuple[str, ...], lines: Iterable[list[object]]) -> Iterator[Iterable[object]]:
    yield heading
    yield from lines


def _one_cell(value: object) -> object:
    if isinstance(value, tuple):
        return _BETWEEN.join(value)
    return str(value).lower() if isinstance(value, bool) else value
