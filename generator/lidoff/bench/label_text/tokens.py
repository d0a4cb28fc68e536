"""Label text -> tokens: numbers, words and signs, each with its place in the original."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Literal, NamedTuple

from lidoff.bench.label_text.normalise import BREAKS, normalised
from lidoff.bench.label_text.words import MAX, WITHOUT_BLANKS, writes_no_blanks

_DIGITS = frozenset("0123456789")
_PIECE = re.compile(r"\S+")
_PLAIN_LETTERS = re.compile("[a-z]*")
_NUMBER = re.compile("[.]?[0-9]+(?:[.,][0-9]+)*")
"""Digits with all points and commas between digits: whether they are one number is asked later."""
ELLIPSIS = "..."

_RUNS = frozenset("-=.~")
"""Signs of which several in a row are one: a drawn dash, a drawn pair of lines, an ellipsis."""


class Token(NamedTuple):
    """One token. ``glued`` says that nothing stands between it and the one before; ``own_line`` that a line begins.

    ``start`` and ``end`` are places in the original, ``raw`` is the piece of the original. A named tuple is made in a
    seventh of the time that a frozen dataclass takes, and a label has a hundred tokens.
    """

    kind: Literal["number", "word", "sign"]
    text: str
    start: int
    end: int
    raw: str
    glued: bool
    own_line: bool

    @property
    def decimals(self) -> int:
        """Digits of a number behind its point or comma."""
        return len(self.text.replace(",", ".").partition(".")[2])


def tokens_of(text: str) -> tuple[Token, ...]:
    """The tokens of a text, in order."""
    found: list[Token] = []
    end, own_line = 0, True
    for piece in _PIECE.finditer(text):
        place = piece.start()
        own_line = own_line or not BREAKS.isdisjoint(text[end:place])
        for kind, spelling, start, last, raw, glued, _ in _tokens_within(piece.group()):
            found.append(Token(kind, spelling, place + start, place + last, raw, glued, own_line))
            own_line = False
        end = piece.end()
    return tuple(found)


@lru_cache(maxsize=4096)
def _tokens_within(text: str) -> tuple[Token, ...]:
    """The tokens of a piece without blanks; most pieces of a label stand on others too."""
    normal = normalised(text)
    found: list[Token] = []
    at, glued = 0, False
    while at < len(normal.text):
        if normal.text[at] == " ":
            glued = False
            at += 1
            continue
        kind, end = _next(normal.text, at, found[-1] if glued else None)
        start, last = normal.places[at], normal.places[end - 1] + 1
        spelling = normal.text[at:end] if kind != "sign" else _one_spelling(normal.text[at:end])
        found.append(Token(kind, spelling, start, last, text[start:last], glued, False))
        at, glued = end, True
    return tuple(found)


def _one_spelling(text: str) -> str:
    if len(text) > 1:
        return ELLIPSIS if text[0] == "." else text[0]
    return text


def _next(text: str, at: int, before: Token | None) -> tuple[str, int]:
    """Kind and end of the token that begins at a place."""
    sign = text[at]
    is_point = sign == "." and text[at + 1 : at + 2] in _DIGITS and not _ends_short_form(before)
    if sign in _DIGITS or is_point:
        return "number", _NUMBER.match(text, at).end()
    if sign.isalpha():
        return "word", _word_end(text, at)
    end = at + 1
    while sign in _RUNS and text[end : end + 1] == sign:
        end += 1
    return "sign", end


def _ends_short_form(before: Token | None) -> bool:
    """Whether a point ends a word, as in ``Max.20W``."""
    return before is not None and (before.kind == "word" or before.text in MAX)


def _word_end(text: str, at: int) -> int:
    end = _PLAIN_LETTERS.match(text, at).end()
    if end > at or not writes_no_blanks(text[at]):
        while end < len(text) and text[end].isalpha() and not writes_no_blanks(text[end]):
            end += 1
        return end
    while end < len(text) and writes_no_blanks(text[end]) and text[end].isalpha():
        known = _known_word(text, end)
        if known:
            return end + len(known) if end == at else end
        end += 1
    return end


def _known_word(text: str, at: int) -> str:
    return next((word for word in WITHOUT_BLANKS if text.startswith(word, at)), "")


@dataclass(slots=True)
class Cursor:
    """A place among tokens that a parser moves; every rule that fails sets it back.

    ``known`` and ``phrases`` remember what was parsed at a place, as several rules ask for the same.
    """

    tokens: Sequence[Token]
    at: int = 0
    known: dict[int, object] = field(default_factory=dict)
    phrases: dict[int, object] = field(default_factory=dict)

    def fork(self, ahead: int = 0) -> "Cursor":
        """A second cursor, some places ahead, to look with."""
        return Cursor(self.tokens, self.at + ahead, self.known, self.phrases)

    def peek(self, ahead: int = 0) -> Token | None:
        """The token some places ahead; None past the end."""
        place = self.at + ahead
        try:
            return self.tokens[place] if place >= 0 else None
        except IndexError:
            return None

    def is_sign(self, *signs: str, ahead: int = 0) -> bool:
        """Whether the token ahead is one of these signs."""
        token = self.peek(ahead)
        return token is not None and token.kind == "sign" and token.text in signs

    def is_word(self, words: frozenset[str], ahead: int = 0) -> bool:
        """Whether the token ahead is one of these words."""
        token = self.peek(ahead)
        return token is not None and token.text in words and token.kind != "number"

    def is_number(self, ahead: int = 0) -> bool:
        """Whether the token ahead is a number."""
        token = self.peek(ahead)
        return token is not None and token.kind == "number"

    def is_letters(self, ahead: int = 0) -> bool:
        """Whether the token ahead is a word."""
        token = self.peek(ahead)
        return token is not None and token.kind == "word"

    def skip_sign(self, *signs: str) -> bool:
        """Pass one of these signs if it is next."""
        token = self.peek()
        if token is None or token.kind != "sign" or token.text not in signs:
            return False
        self.at += 1
        return True

    def skip_word(self, words: frozenset[str]) -> bool:
        """Pass one of these words if it is next, with the point of a short form."""
        token = self.peek()
        if token is None or token.text not in words or token.kind == "number":
            return False
        self.at += 1
        following = self.peek()
        if following is not None and following.text == "." and following.glued:
            self.at += 1
        return True
