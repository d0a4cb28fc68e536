"""Walk a record: every field that names something, with its path as the record writes it."""

import functools
import typing
from collections.abc import Iterator, Mapping

from lidoff.record.model.fields import defaults_of


def names_in(record: object, keys: frozenset[str]) -> Iterator[tuple[str, str, str]]:
    """Every text under one of ``keys``, as (path, key, text), in the record's order.

    A list gives one item each, a mapping its keys.

    Examples
    --------
    >>> from lidoff.record.model.label import Port, Sharing
    >>> list(names_in(Sharing(ports={"C1": 45.0}, basis="label", sample="s1"), frozenset({"ports", "sample"})))
    [('ports.C1', 'ports', 'C1'), ('sample', 'sample', 's1')]
    """
    yield from _walk(record, "", keys)


def texts_in(node: object, keys: frozenset[str]) -> dict[str, set[str]]:
    """The same texts by their key, without their paths, which take most of the time.

    Examples
    --------
    >>> from lidoff.record.model.label import Sharing
    >>> texts_in(Sharing(ports={"C1": 45.0}, basis="label"), frozenset({"ports"}))
    {'ports': {'C1'}}
    """
    found: dict[str, set[str]] = {key: set() for key in keys}
    _collect(node, keys, found)
    return found


def _collect(node: object, keys: frozenset[str], found: dict[str, set[str]]) -> None:
    for name, is_wanted, leads_on in _plan(type(node), keys):
        value = getattr(node, name)
        if value is None:
            continue
        if is_wanted and type(value) is str:
            found[name].add(value)
        elif is_wanted:
            found[name].update([one for one in value if isinstance(one, str)])
        if leads_on and type(value) is tuple:
            for item in value:
                _collect(item, keys, found)
        elif leads_on:
            _collect(value, keys, found)


def _walk(node: object, path: str, keys: frozenset[str]) -> Iterator[tuple[str, str, str]]:
    for name, is_wanted, leads_on in _plan(type(node), keys):
        value = getattr(node, name)
        if value is None:
            continue
        field = f"{path}.{name}" if path else name
        if is_wanted:
            yield from _texts(value, field, name)
        if leads_on and type(value) is tuple:
            for position, item in enumerate(value):
                yield from _walk(item, f"{field}[{position}]", keys)
        elif leads_on:
            yield from _walk(value, field, keys)


@functools.cache
def _plan(kind: type, keys: frozenset[str]) -> tuple[tuple[str, bool, bool], ...]:
    """The fields of a class that are wanted or lead to wanted ones: name, wanted, leads on. The rest is never visited."""
    rows = ((name, name in keys, any(_plan(inner, keys) for inner in inners)) for name, inners in _classes_within(kind))
    return tuple(row for row in rows if row[1] or row[2])


@functools.cache
def _classes_within(kind: type) -> tuple[tuple[str, tuple[type, ...]], ...]:
    """Each field of a class with the record classes that its type holds."""
    hints = typing.get_type_hints(kind)
    return tuple((name, tuple(_record_classes(hints[name]))) for name in defaults_of(kind))


def _record_classes(hint: object) -> Iterator[type]:
    if isinstance(hint, type) and defaults_of(hint) is not None:
        yield hint
    for inner in typing.get_args(hint):
        yield from _record_classes(inner)


def _texts(value: object, field: str, key: str) -> Iterator[tuple[str, str, str]]:
    if isinstance(value, str):
        yield field, key, value
    elif isinstance(value, Mapping):
        for name in value:
            yield f"{field}.{name}", key, name
    elif isinstance(value, tuple):
        for position, item in enumerate(value):
            if isinstance(item, str):
                yield f"{field}[{position}]", key, item
