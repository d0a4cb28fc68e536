"""Walk a record: every field that names something, with its path as the record writes it."""

import dataclasses
import functools
from collections.abc import Iterator, Mapping


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


def _walk(node: object, path: str, keys: frozenset[str]) -> Iterator[tuple[str, str, str]]:
    for name in _field_names(type(node)):
        value = getattr(node, name)
        if value is None or value == ():
            continue
        field = f"{path}.{name}" if path else name
        if name in keys:
            yield from _texts(value, field, name)
        if type(value) is tuple:
            # the items of a list are all of one kind
            if _field_names(type(value[0])):
                for position, item in enumerate(value):
                    yield from _walk(item, f"{field}[{position}]", keys)
        elif _field_names(type(value)):
            yield from _walk(value, field, keys)


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


@functools.cache
def _field_names(kind: type) -> tuple[str, ...]:
    return tuple(field.name for field in dataclasses.fields(kind)) if dataclasses.is_dataclass(kind) else ()
