"""One product as JSON for other programs: its record as it was written, with its figures."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from operator import attrgetter

import msgspec

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
    return msgspec.json.encode(content).decode("utf-8") + "\n"


def plain(value: object) -> object:
    """A piece of a record as JSON has it; fields at their default are what the record leaves out."""
    if isinstance(value, (tuple, list)):
        return [one if type(one) in _PLAIN else plain(one) for one in value]
    known = _fields(type(value))
    if known is None:
        return {key: plain(inner) for key, inner in value.items()} if isinstance(value, Mapping) else value
    given = zip(known.names, known.values(value), known.defaults, strict=True)
    # most fields are left out, and of the rest most are one number or one word
    return {
        name: one if type(one) in _PLAIN else plain(one)
        for name, one, default in given
        if one is not default and one != default
    }


@dataclass(frozen=True, slots=True)
class _Fields:
    """The fields of a dataclass: their names and defaults, and what reads all their values at once."""

    names: tuple[str, ...]
    defaults: tuple[object, ...]
    values: Callable[[object], tuple[object, ...]]


@cache
def _fields(kind: type) -> _Fields | None:
    """What is known of a class; None where it is no dataclass."""
    if not is_dataclass(kind):
        return None
    names = tuple(field.name for field in fields(kind))
    values = attrgetter(*names) if len(names) > 1 else lambda piece: (getattr(piece, names[0]),)
    return _Fields(names, tuple(field.default for field in fields(kind)), values)
