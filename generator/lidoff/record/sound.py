"""The data of a sound record straight from the events of the YAML parser, with the place of every value.

Most files that are read are sound, and thousands are read at once. Where anything needs a word or a second look, there
is no answer here, and the tree of nodes is made instead (``reader``, ``values``); both take the same for the same.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache

import yaml

from lidoff.record import scalars
from lidoff.record.reader import events_of
from lidoff.record.schema import Shape
from lidoff.record.spots import Spot
from lidoff.record.text import refused_sign

REMEMBERED = 4096
"""The texts of a kind that are decided once: most stand in many records."""


@dataclass(frozen=True, slots=True)
class Sound:
    """What a text holds, and where."""

    data: dict
    spot: Spot


class _NeedsAWord(Exception):
    """Something stands here that is no plain value of the schema's kind."""


def sound(text: str, shape: Shape) -> Sound | None:
    """The data of a text in which every value can be taken as it stands; None where one can't, or is not known."""
    try:
        with events_of(text) as following:
            return _document(following, shape)
    except (_NeedsAWord, yaml.MarkedYAMLError):
        return None


def _document(following: Callable[[], yaml.Event], shape: Shape) -> Sound:
    """The one document of a stream, which has no directives."""
    following()
    start = following()
    if type(start) is not yaml.DocumentStartEvent or start.version or start.tags:
        raise _NeedsAWord
    first = following()
    if type(first) is not yaml.MappingStartEvent:
        raise _NeedsAWord
    data, spots = _mapping(first, following, shape)
    following()
    if type(following()) is not yaml.StreamEndEvent:
        raise _NeedsAWord
    return Sound(data, (first.start_mark.line + 1, first.start_mark.column + 1, spots))


def _collection(
    start: yaml.Event, key: yaml.Mark | None, following: Callable[[], yaml.Event], shape: Shape
) -> tuple[dict | list, Spot]:
    """What a mapping or a list holds, and where it stands: a block at its key."""
    if type(start) is yaml.MappingStartEvent:
        data, spots = _mapping(start, following, shape)
    elif type(start) is yaml.SequenceStartEvent:
        data, spots = _list(start, following, shape)
    else:
        raise _NeedsAWord
    mark = start.start_mark if start.flow_style or key is None else key
    return data, (mark.line + 1, mark.column + 1, spots)


def _mapping(
    start: yaml.MappingStartEvent, following: Callable[[], yaml.Event], shape: Shape
) -> tuple[dict, dict[str, Spot]]:
    if shape.kind != "mapping" or start.anchor or start.tag:
        raise _NeedsAWord
    data, spots = {}, {}
    keys, others, scalar = shape.keys, shape.others, yaml.ScalarEvent
    while type(key := following()) is scalar:
        name, event = key.value, following()
        inner = keys.get(name) or others
        if inner is None or name in data or name in ("", "<<") or key.anchor or key.tag:
            raise _NeedsAWord
        if type(event) is scalar:
            data[name], mark = _scalar(event, inner), event.start_mark
            spots[name] = mark.line + 1, mark.column + 1
        else:
            data[name], spots[name] = _collection(event, key.start_mark, following, inner)
    if type(key) is not yaml.MappingEndEvent:
        raise _NeedsAWord
    return data, spots


def _list(start: yaml.SequenceStartEvent, following: Callable[[], yaml.Event], shape: Shape) -> tuple[list, list[Spot]]:
    inner = shape.items
    if inner is None or start.anchor or start.tag:
        raise _NeedsAWord
    data, spots = [], []
    while type(event := following()) is not yaml.SequenceEndEvent:
        if type(event) is yaml.ScalarEvent:
            data.append(_scalar(event, inner))
            spots.append((event.start_mark.line + 1, event.start_mark.column + 1))
        else:
            value, spot = _collection(event, None, following, inner)
            data.append(value)
            spots.append(spot)
    return data, spots


def _scalar(event: yaml.ScalarEvent, shape: Shape) -> str | int | float | bool:
    take = (_DATE if shape.is_date else _TAKES[shape.kind]).get(event.style or "")
    if take is None or event.anchor or event.tag or (value := take(event.value)) is None:
        raise _NeedsAWord
    return value


@lru_cache(REMEMBERED)
def _plain(text: str) -> str | None:
    return None if scalars.other_reading(text) else text


@lru_cache(REMEMBERED)
def _quoted(text: str) -> str | None:
    return text if text and text == text.strip() and not refused_sign(text) else None


def _block(text: str) -> str | None:
    return _quoted(text.rstrip("\n"))


@lru_cache(REMEMBERED)
def _plain_date(text: str) -> str | None:
    return _day(text) if scalars.other_reading(text) in (None, "a date") else None


def _quoted_date(text: str) -> str | None:
    value = _quoted(text)
    return value if value is None else _day(value)


def _day(text: str) -> str | None:
    """A date; of those in full, only days that the calendar has."""
    return text if len(text) != 10 or scalars.is_day(text) else None


@lru_cache(REMEMBERED)
def _number(text: str) -> int | float | None:
    return scalars.number(text)


def _whole(text: str) -> int | None:
    value = _number(text)
    return value if isinstance(value, int) else None


_TAKES: Mapping[str, Mapping[str, Callable[[str], object]]] = {
    "text": {"": _plain, "'": _quoted, '"': _quoted, "|": _block, ">": _block},
    "number": {"": _number},
    "whole": {"": _whole},
    "flag": {"": {"true": True, "false": False}.get},
    "list": {},
    "mapping": {},
    "anything": {},
}
"""How a scalar is taken, by the kind of value that the schema wants and by its style."""
_DATE = {"": _plain_date, "'": _quoted_date, '"': _quoted_date}
