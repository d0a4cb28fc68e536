"""The fields of the classes that a record is made of, whether they are dataclasses or structs."""

import dataclasses
from collections.abc import Mapping
from functools import cache

import msgspec


@cache
def defaults_of(kind: type) -> Mapping[str, object] | None:
    """The fields of a class with their defaults, where there is none a sign for that; None for any other class.

    Examples
    --------
    >>> from lidoff.record.model.construction import Core
    >>> list(defaults_of(Core))[:2], defaults_of(int)
    (['family', 'size'], None)
    """
    if dataclasses.is_dataclass(kind):
        return {field.name: field.default for field in dataclasses.fields(kind)}
    if issubclass(kind, msgspec.Struct):
        return {field.name: field.default for field in msgspec.structs.fields(kind)}
    return None
