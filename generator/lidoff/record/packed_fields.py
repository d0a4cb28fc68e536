"""Fields of a record's data that stay in bytes until they are asked for, for structs that are held by the thousand."""

from functools import cache
from typing import Any

import msgspec

NOTHING = msgspec.Raw(msgspec.msgpack.encode(None))
NONE_OF_THEM = msgspec.Raw(msgspec.msgpack.encode(()))


def packed(name: str, default: msgspec.Raw = NOTHING) -> Any:
    """The field of that name as it stands in the data."""
    return msgspec.field(name=name, default=default)


def made_of(field: str, kind: Any) -> property:
    """A property that is made of a packed field, anew at each call."""
    return property(lambda item: decoder(kind).decode(getattr(item, field)))


@cache
def decoder(kind: Any) -> msgspec.msgpack.Decoder:
    """What makes a kind of its data."""
    return msgspec.msgpack.Decoder(kind)
