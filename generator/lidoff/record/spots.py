"""Where some fields of a record stand, packed: so that they need not be looked for in its file again.

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
Spot = tuple[int, int]
"""Line and column, counting from 1."""


def spot_of(key: Node | None, value: Node) -> Spot:
    """Where a value is looked for: a block below its key, or nothing, at the key."""
    at = key if key is not None and (value.is_block or value.content == "") else value
    return at.line, at.column


def packed_spots(root: Node, wanted: Wanted) -> bytes:
    """The places of the wanted fields, in bytes."""
    return msgspec.msgpack.encode(_inner(root, wanted))


def spot_in(packed: bytes, trail: Trail) -> Spot | None:
    """The place of a field; None where it was not packed."""
    found = [0, 0, _unpacked(packed)]
    try:
        for step in trail:
            found = found[2][step]
    except (LookupError, TypeError):  # left out, not there, or another kind of collection
        return None
    return (found[0], found[1]) if trail else None


def _inner(node: Node, wanted: Wanted) -> Any:
    """What is packed of a collection: line, column and the same again of all that is wanted in it."""
    if node.kind == "list":
        return [_packed(None, item, wanted) for item in node.content]
    found: dict[str, list] = {}
    for key, value in node.content if node.kind == "mapping" else ():
        # of a key that is there twice the first one counts, as for every place
        name = key.content
        if isinstance(name, str) and name not in found and (wanted is ALL or name in wanted):
            found[name] = _packed(key, value, ALL if wanted is ALL else wanted[name])
    return found


def _packed(key: Node | None, value: Node, wanted: Wanted) -> list:
    spot = spot_of(key, value)
    is_deeper = value.kind in ("list", "mapping") and (wanted is ALL or len(wanted) > 0)
    return [*spot, _inner(value, wanted)] if is_deeper else [*spot]


@lru_cache(maxsize=64)
def _unpacked(packed: bytes) -> Any:
    return msgspec.msgpack.decode(packed)
