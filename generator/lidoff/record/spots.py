"""Where the fields of a record stand, and some of these places packed: so that its file need not be read again.

Only what stands there is packed. For a field that is left out the file is read, as for any other.
"""

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

import msgspec

from lidoff.record.paths import Trail
from lidoff.record.reader import Node

Wanted = Mapping[str, "Wanted"] | None
"""The keys whose places are packed, each with those wanted below it; of a list, those of every item."""
ALL: Wanted = None
"""Everything below a key."""
Spot = tuple[int, int] | tuple[int, int, "list[Spot] | dict[str, Spot]"]
"""Line and column of a value, counting from 1; of a list or mapping also the spots of what it holds."""


def spot_of(root: Node) -> Spot:
    """The spots of a whole tree."""
    return _spot(None, root)


def nearest(spot: Spot, trail: Trail) -> tuple[int, int]:
    """Line and column of a field, or of the nearest thing that encloses it."""
    for step in trail:
        inner = _step(spot, step)
        if inner is None:
            break
        spot = inner
    return spot[0], spot[1]


def packed(spot: Spot, wanted: Wanted) -> bytes:
    """The spots of the wanted fields, in bytes."""
    picked = _picked(spot, wanted)
    return msgspec.msgpack.encode(picked[2] if len(picked) == 3 else {})


def spot_in(packed: bytes, trail: Trail) -> tuple[int, int] | None:
    """Line and column of a field; None where it was not packed."""
    spot: Spot | None = (0, 0, _unpacked(packed))
    for step in trail:
        spot = _step(spot, step)
        if spot is None:
            return None
    return (spot[0], spot[1]) if trail else None


def _step(spot: Spot, step: str | int) -> Spot | None:
    """The spot one step further in; None where nothing stands there."""
    try:
        return spot[2][step]
    except (LookupError, TypeError):  # left out, not there, or another kind of collection
        return None


def _spot(key: Node | None, value: Node) -> Spot:
    """Where a value is looked for: a block below its key, or nothing, at the key."""
    at = key if key is not None and (value.is_block or value.content == "") else value
    if value.kind == "list":
        return at.line, at.column, [_spot(None, item) for item in value.content]
    if value.kind != "mapping":
        return at.line, at.column
    inner: dict[str, Spot] = {}
    for name_node, item in value.content:
        # of a key that is there twice the first one counts
        if isinstance(name_node.content, str) and name_node.content not in inner:
            inner[name_node.content] = _spot(name_node, item)
    return at.line, at.column, inner


def _picked(spot: Spot, wanted: Wanted) -> Spot:
    """A spot with no more than the wanted ones within."""
    if wanted is ALL or len(spot) == 2:
        return spot
    line, column, inner = spot
    if not wanted:
        return line, column
    if isinstance(inner, list):
        return line, column, [_picked(item, wanted) for item in inner]
    picked = {
        name: item if len(item) == 2 else _picked(item, wanted[name]) for name, item in inner.items() if name in wanted
    }
    return line, column, picked


@lru_cache(maxsize=64)
def _unpacked(packed: bytes) -> Any:
    return msgspec.msgpack.decode(packed)
