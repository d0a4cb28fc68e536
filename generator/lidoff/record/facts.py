"""Which statements of a record differ, in words: lists are matched by what names their items, not by their order."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import msgspec

from lidoff.record.model import Record
from lidoff.record.schema import field_schema

# what names an item of a list, in this order, with the word that people call it by
_NAMES = {
    "components": ("ref", "part"), "magnetics": ("ref", "magnetic part"), "ports": ("id", "port"),
    "boards": ("id", "board"), "samples": ("id", "sample"), "instruments": ("id", "instrument"),
    "photos": ("file", "picture"), "answered": ("rule", "answer to"), "windings": ("name", "winding"),
    "callouts": ("ref", "mark of"),
}  # fmt: skip
_UNIT_ENDING = re.compile(r"_(v|a|w|hz|mm|g|uf|nf|mohm|ohm|pct|c|s|ms|min|mv|mhz|khz|uh|cm3|kv|us|h|mw|ua|ma)$")
_NO_UNITS = frozenset(("", "1", "year", "currency", "same as the quantity"))
MOST_PIECES = 6

Plain = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class FactChange:
    """One statement of a record that differs; None is where it does not stand."""

    field: str
    words: str
    before: str | None
    after: str | None


def changed_facts(before: Record, after: Record) -> tuple[FactChange, ...]:
    """Every statement that was added, changed or taken away, in the order of the record."""
    return tuple(_of_mappings(msgspec.to_builtins(before), msgspec.to_builtins(after), "", "", ""))


def _of_mappings(before: Plain, after: Plain, field: str, words: str, pattern: str) -> Iterator[FactChange]:
    for key in dict.fromkeys((*after, *before)):
        old, new = _stated(before.get(key)), _stated(after.get(key))
        if old == new:
            continue
        inner = f"{field}.{key}" if field else key
        schema_field = f"{pattern}.{key}" if pattern else key
        called = f"{words}, {_called(key)}" if words else _called(key)
        yield from _of_values(old, new, inner, called, schema_field, key, words)


def _of_values(
    old: Any, new: Any, field: str, called: str, pattern: str, key: str, holder: str
) -> Iterator[FactChange]:
    if isinstance(old, dict) and isinstance(new, dict):
        yield from _of_mappings(old, new, field, called, pattern)
    elif _holds_mappings(old) and _holds_mappings(new):
        yield from _of_lists(old, new, field, pattern, key, holder)
    else:
        yield FactChange(field, called, _written(old, pattern), _written(new, pattern))


def _of_lists(old: Any, new: Any, field: str, pattern: str, key: str, holder: str) -> Iterator[FactChange]:
    naming, noun = _NAMES.get(key, ("", _called(key)))
    earlier, later = _named(old or (), naming), _named(new or (), naming)
    for name in dict.fromkeys((*later, *earlier)):
        one, other = earlier.get(name), later.get(name)
        if one == other:
            continue
        inner, called = f"{field}[{name}]", ", ".join(filter(None, (holder, f"{noun} {name}")))
        if one is None or other is None:
            yield FactChange(inner, called, _written(one, f"{pattern}[0]"), _written(other, f"{pattern}[0]"))
        else:
            yield from _of_mappings(one, other, inner, called, f"{pattern}[0]")


def _named(items: Any, naming: str) -> dict[str, Plain]:
    """Items by their name; those without one, or with a name twice, by their place."""
    named: dict[str, Plain] = {}
    for number, item in enumerate(items, 1):
        name = str(item.get(naming) or number)
        named[name if name not in named else f"{name} ({number})"] = item
    return named


def _stated(value: Any) -> Any:
    """A value as the record states it: absent and the defaults of an absent list are the same here."""
    if isinstance(value, dict):
        inner = {key: _stated(one) for key, one in value.items()}
        return {key: one for key, one in inner.items() if one is not None} or None
    if isinstance(value, (list, tuple)):
        return [_stated(one) for one in value] or None
    return value


def _holds_mappings(value: Any) -> bool:
    return value is None or (isinstance(value, list) and all(isinstance(item, dict) for item in value))


def _called(key: str) -> str:
    return _UNIT_ENDING.sub("", key).replace("_", " ")


def _written(value: Any, pattern: str) -> str | None:
    """A value in words with its unit; None where there is none."""
    if value is None:
        return None
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict):
        pieces = [
            f"{_called(key)} {_written(one, f'{pattern}.{key}')}" for key, one in value.items() if one is not None
        ]
        return "; ".join(pieces[:MOST_PIECES]) + ("; ..." if len(pieces) > MOST_PIECES else "")
    if isinstance(value, list):
        if any(isinstance(item, dict) for item in value):
            return f"{len(value)} rows" if len(value) > 1 else _written(value[0], f"{pattern}[0]")
        return ", ".join(_written(item, f"{pattern}[0]") or "" for item in value)
    if isinstance(value, (int, float)):
        unit = (field_schema(pattern) or {}).get("x-unit", "")
        return f"{value:.12g}" if unit in _NO_UNITS else f"{value:.12g} {unit}"
    return str(value)
