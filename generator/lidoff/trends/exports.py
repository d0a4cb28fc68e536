"""One product as JSON for other programs: its record as it was written, with its figures."""

from dataclasses import MISSING
from functools import cache
from typing import Any, get_args, get_origin, get_type_hints

import msgspec

from lidoff.entry import Entry
from lidoff.figures.plain import plain_figure
from lidoff.record.model.fields import defaults_of

NO_DEFAULT = (MISSING, msgspec.NODEFAULT)


def product_json(entry: Entry) -> str:
    """One product: its record as it was written, the points of its sweeps, its figures with their reasons and sources."""
    content = {
        "slug": entry.slug,
        "title": entry.title,
        "year": entry.year,
        "record": as_written(entry.record),
        "swept_points": [as_written(point) for result in entry.logs.values() for point in result.points],
        "figures": [plain_figure(figure) for figure in entry.figures],
    }
    return msgspec.json.encode(content).decode("utf-8") + "\n"


def as_written(piece: object) -> msgspec.Struct:
    """A piece of a record for JSON; fields at their default are what the record leaves out."""
    return msgspec.convert(piece, _mirror(type(piece)), from_attributes=True)


@cache
def _mirror(kind: type) -> type[msgspec.Struct]:
    """The struct of a class of the model, which msgspec writes without the fields that are at their default."""
    types = get_type_hints(kind)
    given = [
        (name, _mirrored(types[name]), *(() if default in NO_DEFAULT else (default,)))
        for name, default in defaults_of(kind).items()
    ]
    return msgspec.defstruct(kind.__name__, given, omit_defaults=True)


def _mirrored(annotation: Any) -> Any:
    """The same type with such structs in place of the classes; numbers and words are taken as they are."""
    if isinstance(annotation, type) and defaults_of(annotation) is not None:
        return _mirror(annotation)
    inner = [one for one in get_args(annotation) if one not in (type(None), ...)]
    if len(inner) != 1:
        return Any
    of_one = _mirrored(inner[0])
    return tuple[of_one, ...] if get_origin(annotation) is tuple else of_one | None
