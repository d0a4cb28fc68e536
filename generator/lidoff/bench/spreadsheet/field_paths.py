"""Fields that a column may give, as a map writes them: measured.body_mm.size[0], components[].ref."""

import difflib
from collections.abc import Iterator
from functools import cache

from lidoff.record.paths import steps
from lidoff.record.schema import Shape, record_shape, shape_at

MOST_OFFERED = 3
MOST_KEYS = 8
RESERVED = {"schema": "it is always 1", "status": "what is imported is a draft", "demo": "write it in the record"}
SINGLE = frozenset(("text", "number", "whole", "flag"))


def fault_in(path: str) -> tuple[str, str, str] | None:
    """What is wrong with a field that a map names, as found, expected and fix; None where nothing is."""
    shape = _shape(path)
    if path in RESERVED:
        return path, "a field that a sheet can give", f"take it out: {RESERVED[path]}"
    if shape is None:
        near = offered(path)
        fix = f"did you mean {' or '.join(near)}?" if near else "see the fields of a record in the site's field list"
        return f"the field {path}", "a field of a record", fix
    if path.count("[]") > 1:
        fix = "write [0], [1] for the others"
        return f"{path} with {path.count('[]')} open lists", "one [], which a row adds an item to", fix
    if shape.kind == "list" and shape.items is not None and shape.items.kind in SINGLE:
        return None
    if shape.kind not in SINGLE:
        inner = shape.items if shape.kind == "list" else shape
        stem = f"{path}[]" if shape.kind == "list" and not path.endswith("[]") else path
        keys = [f"{stem}.{key}" for key in list(inner.keys)[:MOST_KEYS]] if inner else []
        return f"{path}, which holds several values", "a field with one value", f"write {', '.join(keys)} or the like"
    return None


def _shape(path: str) -> Shape | None:
    """The shape at a field; None where the schema knows no such field, or the text is no field."""
    if not path:
        return None
    try:
        steps(path.replace("[]", "[0]"))
        return shape_at(path.replace("[]", "[0]"))
    except ValueError:
        return None


def offered(path: str) -> list[str]:
    """The fields that somebody may have meant: those that end in the same key, else those written alike."""
    key = path.rpartition(".")[2]
    same = [field for field in all_fields() if field.rpartition(".")[2] == key]
    if same and len(same) <= MOST_OFFERED:
        return same
    plain = path.replace("[0]", "[]")
    return difflib.get_close_matches(plain, all_fields(), n=1, cutoff=0.6) or same[:MOST_OFFERED]


@cache
def all_fields() -> tuple[str, ...]:
    """Every field with a single value, lists with [] in their place."""
    return tuple(_below(record_shape(), ""))


def _below(shape: Shape, path: str) -> Iterator[str]:
    if shape.kind in SINGLE:
        yield path
    for key, inner in shape.keys.items():
        yield from _below(inner, f"{path}.{key}" if path else key)
    if shape.items is not None:
        yield from [path] if shape.items.kind in SINGLE else _below(shape.items, f"{path}[]")
