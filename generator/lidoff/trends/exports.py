"""One product as JSON for other programs: its record as it was written, with its figures."""

import dataclasses
import json
from collections.abc import Iterator, Mapping
from dataclasses import MISSING
from functools import cache

from lidoff.entry import Entry
from lidoff.figures.plain import plain_figure

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
