"""Values that are only written wrongly: numbers in quotes or with a unit, yes for true, words in another spelling."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

import yaml

from lidoff.record import scalars
from lidoff.record.schema import Shape, record_shape

_COMPOSER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_NUMBER_AND_UNIT = re.compile(r"(?P<digits>[+-]?[0-9]*[.,]?[0-9]+)\s*(?P<unit>\D*)")
_DECIMAL_COMMA = re.compile(r"-?[0-9]+,(?:[0-9]{1,2}|[0-9]{4,})")
# the usual spellings of a unit beside its symbol; only such as can mean nothing else
_SPELLINGS = {
    "V": ("v", "volt", "volts", "vdc", "vac"), "A": ("a", "amp", "amps", "ampere", "amperes"),
    "W": ("w", "watt", "watts"), "Hz": ("hz", "hertz"), "mm": ("mm", "millimetre", "millimetres", "millimeters"),
    "g": ("g", "gram", "grams", "gramm"), "µF": ("uf", "µf", "μf", "microfarad", "microfarads"),
    "°C": ("c", "°c", "degc", "deg c"), "min": ("min", "minutes"), "s": ("s", "sec", "seconds"),
    "%": ("%", "percent", "per cent"), "mV": ("mv",), "mΩ": ("mohm", "mω"), "kHz": ("khz",),
    "Ω": ("ohm", "ohms", "ω"), "nF": ("nf",), "pF": ("pf",), "ms": ("ms",),
}  # fmt: skip
_FLAGS = {
    "yes": "true",
    "y": "true",
    "on": "true",
    "true": "true",
    "no": "false",
    "n": "false",
    "off": "false",
    "false": "false",
}

Done = tuple[int, str]


@dataclass(frozen=True, slots=True)
class _Change:
    """Another text for one scalar."""

    start: int
    end: int
    line: int
    key: str
    text: str


def rewritten_values(text: str) -> tuple[str, tuple[Done, ...]]:
    """The text with every such value written as it should be; line and words of each change."""
    root = yaml.compose(text, _COMPOSER)
    if root is None:
        return text, ()
    changes = sorted(_changes(root, record_shape(), ""), key=lambda change: change.start)
    done = tuple((one.line, f"{one.key}: {text[one.start : one.end]} -> {one.text}") for one in changes)
    for one in reversed(changes):
        text = text[: one.start] + one.text + text[one.end :]
    return text, done


def _changes(node: yaml.Node, shape: Shape, key: str) -> Iterator[_Change]:
    if isinstance(node, yaml.MappingNode):
        for inner, value in node.value:
            step = shape.step(inner.value) if isinstance(inner, yaml.ScalarNode) else None
            if step is not None:
                yield from _changes(value, step, inner.value)
    elif isinstance(node, yaml.SequenceNode):
        for value in node.value:
            if shape.items is not None:
                yield from _changes(value, shape.items, key)
    elif isinstance(node, yaml.ScalarNode) and node.style not in ("|", ">"):
        meant = _meant(node, shape)
        if meant is not None:
            start, end = node.start_mark, node.end_mark
            yield _Change(start.index, end.index, start.line + 1, key, meant)


def _meant(node: yaml.ScalarNode, shape: Shape) -> str | None:
    """What the scalar must have been meant as; None where it stands or where that is not certain."""
    text = node.value.strip()
    if shape.kind in ("number", "whole"):
        number = _number(text, shape.schema.get("x-unit", ""))
        return number if number is not None and (node.style or number != node.value) else None
    if shape.kind == "flag":
        flag = _FLAGS.get(text.lower())
        return flag if flag is not None and (node.style or flag != node.value) else None
    words = shape.schema.get("enum") if shape.kind == "text" else None
    if words and node.value not in words:
        alike = [word for word in words if _bare(word) == _bare(text)]
        return alike[0] if len(alike) == 1 else None
    return None


def _number(text: str, unit: str) -> str | None:
    """The number that a text can only mean, as the record writes it."""
    if scalars.number(text) is not None:
        return text
    if _DECIMAL_COMMA.fullmatch(text):
        return _sound(text.replace(",", "."))
    usual = scalars.plain_number(text)
    if usual is not None:
        return usual
    match = _NUMBER_AND_UNIT.fullmatch(text)
    if match is None or not match["unit"].strip():
        return None
    written = match["unit"].strip()
    if written != unit and written.lower() not in _SPELLINGS.get(unit, ()):
        return None
    return _number(match["digits"], "")


def _sound(text: str) -> str | None:
    return text if scalars.number(text) is not None else None


def _bare(word: str) -> str:
    """A word without what people vary: case, spaces, underscores."""
    return re.sub(r"[\s_-]+", "-", word.strip().casefold())
