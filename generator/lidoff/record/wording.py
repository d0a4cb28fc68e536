"""Pieces of messages: how a value is shown, and what to write instead of it."""

import re

from lidoff.record import scalars
from lidoff.record.faults import quoted, shown
from lidoff.record.paths import Trail
from lidoff.record.phrases import UNITS_IN_WORDS, counted
from lidoff.record.reader import Node
from lidoff.record.schema import Shape

_NUMBER_AND_REST = re.compile(r"[~≈<>]?\s*(-?[0-9]+(?:[.,][0-9]+)?)\s*(\S.*)?")
_UNKNOWN = frozenset(("?", "-", "--", "n/a", "na", "none", "unknown", "tbd", "todo", "n.a."))
_MOST_KEYS = 4
_YES = frozenset(("yes", "y", "on", "true", "1"))
_NO = frozenset(("no", "n", "off", "false", "0"))


def assigned(trail: Trail | list, value: str) -> str:
    """A value with the key that it stands after; an item of a list stands alone."""
    key = trail[-1] if trail else None
    return f"{key}: {value}" if isinstance(key, str) else value


def collection(node: Node) -> str:
    """A value as a message shows it."""
    if node.kind == "list":
        return f"a list of {counted(len(node.content), 'item')}"
    if node.kind == "mapping":
        keys = [shown(str(key.content)) for key, _ in node.content[:_MOST_KEYS]] + ["..."] * (
            len(node.content) > _MOST_KEYS
        )
        return f"a mapping with the keys {', '.join(keys)}" if keys else "an empty mapping {}"
    return scalar(node)


def scalar(node: Node) -> str:
    """A single value as a message shows it, with its kind where the value alone does not tell it."""
    if node.style in ("|", ">"):
        return "a block of text"
    if node.style:
        return f"{quoted(node.content)} (text)"
    if scalars.number(node.content) is not None:
        return f"{node.content} (a number)"
    return shown(node.content) if scalars.other_reading(node.content) else f"{shown(node.content)} (text)"


def left_out(trail: Trail | list, shape: Shape) -> str:
    """What to do with a key that has no value."""
    if not trail or isinstance(trail[-1], int):
        return "take the item away"
    if shape.kind == "list" and not shape.schema.get("minItems"):
        return f"leave the key out, or write {trail[-1]}: [] if you looked and found none"
    return "leave the key out: what is unknown is not written"


def as_number(trail: Trail | list, node: Node, shape: Shape) -> str:
    """What to write where a number is wanted."""
    text = node.content.strip()
    if node.style and scalars.number(text) is not None:
        return f"remove the quotes: {assigned(trail, text)}"
    usual = scalars.plain_number(text)
    if usual is not None:
        return f"write it out: {assigned(trail, usual)}"
    if text.lower() in _UNKNOWN:
        return "leave the key out: what is unknown is not written"
    match = _NUMBER_AND_REST.fullmatch(text)
    if match is None:
        return "write the number alone, in decimal digits with a point"
    digits, rest = match.group(1).replace(",", "."), (match.group(2) or "").strip()
    unit = shape.schema.get("x-unit", "1")
    if rest and rest != unit and unit in UNITS_IN_WORDS:
        return f"convert it to {UNITS_IN_WORDS[unit]} and write the number alone"
    if scalars.number(digits) is None:
        return "write the number in decimal, without leading zeros"
    return f"write the number alone: {assigned(trail, digits)}"


def as_flag(trail: Trail | list, node: Node) -> str:
    """What to write where true or false is wanted."""
    word = node.content.strip().lower()
    if word in ("true", "false") and node.style:
        return f"remove the quotes: {assigned(trail, word)}"
    meant = "true" if word in _YES else "false" if word in _NO else None
    return f"write {assigned(trail, meant)}" if meant else "write true or false, or leave the key out"


def wrapped(trail: Trail | list, node: Node, shape: Shape) -> str:
    """What to write where a collection is wanted and one value stands."""
    if shape.kind == "list":
        text = (
            quoted(node.content)
            if node.style or scalars.other_reading(node.content) == "nothing"
            else shown(node.content)
        )
        return f"write it as a list: {assigned(trail, f'[{text}]')}"
    if not trail:
        return "start with lidoff new BRAND MODEL"
    keys = list(shape.keys)
    first = shape.schema.get("required", keys or ["..."])[0]
    return f"write keys with their values: {assigned(trail, '{' + first + ': ...}')}"


def restructured(trail: Trail | list, node: Node, shape: Shape) -> str:
    """What to do with a collection where another kind of value is wanted."""
    if shape.kind == "list":
        as_item = "put a - and a space before it, so that it is an item of a list"
        return as_item if node.is_block else "put [ and ] round it"
    if shape.kind == "mapping" and not trail:
        return "write keys with their values, as lidoff new BRAND MODEL does"
    if shape.kind == "mapping":
        return f"take the {'-' if node.is_block else 'brackets'} away: these keys stand here once"
    return "write one value, in quotes if it begins with { or ["
