"""A text in sentences and clauses, with lines and columns."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

_SENTENCE_END = re.compile(r"(?<=[.!?])[\"')\]]*\s+(?=[\"'(\[#*>|-]?\s*[A-Z0-9#*\"'])|\n\s*\n|\n(?=[#>|*-])")
_CLAUSE_END = re.compile(
    r"[;:()|—]|,(?!\d)|\s(?:and|but|while|whereas|though|since|because|which|after which|with)\s(?!a half\b)",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Span:
    """A piece of a text."""

    start: int
    end: int
    text: str


@dataclass(frozen=True, slots=True)
class Disagreement:
    """Something that a text says and the record does not: at ``start`` to ``end`` of the text."""

    start: int
    end: int
    found: str
    says: str
    kind: str


def sentences(text: str) -> Iterator[Span]:
    """The sentences; a heading or an empty line ends one too."""
    yield from _cut(text, 0, _SENTENCE_END)


def clauses(sentence: Span) -> tuple[Span, ...]:
    """The clauses of a sentence, each with its place in the whole text."""
    return tuple(_cut(sentence.text, sentence.start, _CLAUSE_END))


def clause_at(found: tuple[Span, ...], place: int) -> Span:
    """The clause that holds a place."""
    return next((one for one in found if one.start <= place < one.end), found[-1])


def place_of(text: str, offset: int) -> tuple[int, int]:
    """Line and column, from 1."""
    return text.count("\n", 0, offset) + 1, offset - text.rfind("\n", 0, offset)


def _cut(text: str, base: int, ends: re.Pattern[str]) -> Iterator[Span]:
    start = 0
    for match in ends.finditer(text):
        if text[start : match.start()].strip():
            yield Span(base + start, base + match.start(), text[start : match.start()])
        start = match.end()
    if text[start:].strip() or not start:
        yield Span(base + start, base + len(text), text[start:])
