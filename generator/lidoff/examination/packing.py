"""Plain data in bytes and back. Nothing but data of the wanted type is ever made of bytes, whoever wrote them."""

from array import array
from functools import cache
from typing import Any

import msgspec


def encoded(value: object) -> bytes:
    """Plain data as bytes."""
    return _encoder().encode(value)


def decoded(content: bytes, kind: Any) -> Any:
    """Data of a type from its bytes; None where they do not hold it."""
    try:
        return _decoder(kind).decode(content)
    except msgspec.MsgspecError:
        return None


@cache
def _encoder() -> msgspec.msgpack.Encoder:
    return msgspec.msgpack.Encoder(enc_hook=_simple)


@cache
def _decoder(kind: Any) -> msgspec.msgpack.Decoder:
    return msgspec.msgpack.Decoder(kind, dec_hook=_special)


def _simple(value: object) -> object:
    """A value that the encoder does not know: the points of a curve, or a number of a numeric library."""
    if isinstance(value, array):
        return value.tobytes()
    if isinstance(value, float):
        return float(value)
    raise TypeError(f"no form in bytes for {type(value)}")


def _special(kind: type, value: object) -> object:
    if kind is array and isinstance(value, bytes):
        return array("d", value)
    raise TypeError(f"no {kind} in bytes")
