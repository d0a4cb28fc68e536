"""The docstrings of engineering functions as data for pages: sections, parameters with units, text with formulas."""

import inspect
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from latex2mathml.converter import convert
from markupsafe import Markup

_TITLE = re.compile(r"^(\w[\w ]*)\n-{3,}\n", re.MULTILINE)
_ENTRY = re.compile(r"^(\w+)(?: : (.+))?\n((?:[ ]{4}.*\n?|\n)+)", re.MULTILINE)
_UNIT = re.compile(r"\s*\[([^\]\s]+)\]$")
_MATH_BLOCK = re.compile(r"^\.\. math::\n\n((?:[ ]{4}.*\n?|\n)+)", re.MULTILINE)
_INLINE = re.compile(r":math:`([^`]+)`|``([^`]+)``|`([^`]+)`|\[(\d+)\]_")
_REFERENCE = re.compile(r"^\.\. \[\d+\] (.+?)(?=^\.\. \[|\Z)", re.MULTILINE | re.DOTALL)


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of text: plain, code, or a formula as MathML made from our own source."""

    sort: Literal["text", "code", "formula"]
    text: str | Markup


@dataclass(frozen=True, slots=True)
class Block:
    """A paragraph, or a formula that stands on its own."""

    sort: Literal["paragraph", "formula"]
    pieces: tuple[Piece, ...]


@dataclass(frozen=True, slots=True)
class Argument:
    """One value that goes into a formula or comes out of it."""

    name: str
    unit: str
    meaning: str


@dataclass(frozen=True, slots=True)
class Documentation:
    """All that a docstring says."""

    summary: str
    parameters: tuple[Argument, ...]
    result: tuple[Argument, ...]
    notes: tuple[Block, ...]
    example: str
    references: tuple[str, ...]

    @property
    def has_formula(self) -> bool:
        """Whether a formula stands in it."""
        return any(block.sort == "formula" for block in self.notes)


def documentation(function: Callable) -> Documentation:
    """The docstring of a function, read."""
    sections = _sections(inspect.getdoc(function) or "")
    return Documentation(
        summary=" ".join(sections[""].split()),
        parameters=tuple(_arguments(sections.get("Parameters", ""))),
        result=tuple(_arguments(sections.get("Returns", ""))),
        notes=tuple(_blocks(sections.get("Notes", ""))),
        example=sections.get("Examples", "").strip(),
        references=tuple(_plain(entry) for entry in _REFERENCE.findall(sections.get("References", ""))),
    )


def formula(latex: str, is_block: bool = True) -> Markup:
    """A formula of our own sources as MathML."""
    return Markup(convert(latex, display="block" if is_block else "inline"))


def _sections(text: str) -> Mapping[str, str]:
    pieces = _TITLE.split(text)
    return {"": pieces[0]} | {pieces[place]: pieces[place + 1] for place in range(1, len(pieces), 2)}


def _arguments(section: str) -> Iterator[Argument]:
    for name, _, described in _ENTRY.findall(section.strip("\n") + "\n"):
        meaning = _plain(described)
        unit = _UNIT.search(meaning)
        shown = unit.group(1) if unit and unit.group(1) != "-" else ""
        yield Argument(name, shown, _UNIT.sub("", meaning))


def _blocks(section: str) -> Iterator[Block]:
    for place, text in enumerate(_MATH_BLOCK.split(section)):
        if place % 2:
            for latex in re.split(r"\n\s*\n", text.strip()):
                yield Block("formula", (Piece("formula", formula(" ".join(latex.split()))),))
        else:
            for paragraph in re.split(r"\n\s*\n", text.strip()):
                if paragraph.strip():
                    yield Block("paragraph", tuple(_pieces(" ".join(paragraph.split()))))


def _pieces(text: str) -> Iterator[Piece]:
    end = 0
    for match in _INLINE.finditer(text):
        if match.start() > end:
            yield Piece("text", text[end : match.start()])
        latex, literal, name, reference = match.groups()
        if latex:
            yield Piece("formula", formula(latex, is_block=False))
        elif reference:
            yield Piece("text", f"[{reference}]")
        else:
            yield Piece("code", literal or name)
        end = match.end()
    if end < len(text):
        yield Piece("text", text[end:])


def _plain(text: str) -> str:
    """Text on one line without the marks of the docstring's own notation."""
    return re.sub(r"\[(\d+)\]_", r"[\1]", " ".join(text.split()).replace("``", "").replace("`", "").replace("*", ""))
