"""Captions of a narration: at most two lines of 42 signs, no faster than people read, as WebVTT or SubRip.

Two lines, 42 signs and 17 to 20 characters a second are common practice, no source.
"""

import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape
from itertools import pairwise

LINE_SIGNS, LINES = 42, 2
READ_EASILY, READ_AT_MOST = 17.0, 20.0
SHORTEST_S = 1.0

Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Caption:
    """One caption with its lines and its time in milliseconds."""

    start_ms: int
    end_ms: int
    lines: tuple[str, ...]

    @property
    def signs(self) -> int:
        """Characters to read; the break between lines counts as one."""
        return len(" ".join(self.lines))

    @property
    def speed(self) -> float:
        """Characters a second."""
        return self.signs * 1000 / (self.end_ms - self.start_ms)


@dataclass(frozen=True, slots=True)
class Captions:
    """All captions, and what a reader of them may stumble over."""

    captions: tuple[Caption, ...]
    remarks: tuple[str, ...]


def captions_of(sentences: Sequence[str], words_a_minute: int, spans: Sequence[Span] | None = None) -> Captions:
    """Captions for sentences: timed by their words, or by the ``spans`` in seconds in which each was spoken."""
    cut = [cut_up(sentence) for sentence in sentences]
    made = tuple(_from_words(cut, words_a_minute) if spans is None else _aligned(cut, spans))
    remarks = tuple(
        f"caption {number} ({stamp(one.start_ms, '.')}): {one.speed:.1f} characters a second, expected at most "
        f"{READ_AT_MOST:g}; speak slower or say less there"
        for number, one in enumerate(made, 1)
        if one.speed > READ_AT_MOST
    )
    return Captions(made, remarks)


def cut_up(sentence: str) -> list[tuple[str, ...]]:
    """A sentence in pieces of two lines, about equally long."""
    count = len(_wrapped(sentence, LINE_SIGNS))
    pieces = -(-count // LINES)
    even = LINE_SIGNS
    while even > 1 and len(_wrapped(sentence, even - 1)) <= pieces * LINES:
        even -= 1
    lines = _wrapped(sentence, even)
    return [tuple(lines[place : place + LINES]) for place in range(0, len(lines), LINES)]


def _wrapped(text: str, width: int) -> list[str]:
    return textwrap.wrap(text, width, break_on_hyphens=False, break_long_words=width == LINE_SIGNS) or [""]


def _from_words(cut: Iterable[list[tuple[str, ...]]], words_a_minute: int) -> Iterable[Caption]:
    now = 0
    for pieces in cut:
        for lines in pieces:
            text = " ".join(lines)
            seconds = max(len(text.split()) * 60 / words_a_minute, len(text) / READ_EASILY, SHORTEST_S)
            end = now + -(-int(seconds * 1_000_000) // 1000)
            yield Caption(now, end, lines)
            now = end


def _aligned(cut: Sequence[list[tuple[str, ...]]], spans: Sequence[Span]) -> Iterable[Caption]:
    """Each sentence within its time; one that is too short to be read stays until the next one starts."""
    starts = [start for start, _ in spans]
    for pieces, (start, end), following in zip(cut, spans, [*starts[1:], float("inf")], strict=True):
        signs = [len(" ".join(lines)) for lines in pieces]
        end = max(end, min(start + max(sum(signs) / READ_EASILY, SHORTEST_S), following))
        edges = [start + (end - start) * sum(signs[:place]) / sum(signs) for place in range(len(signs) + 1)]
        for lines, (first, last) in zip(pieces, pairwise(edges), strict=True):
            yield Caption(round(first * 1000), round(last * 1000), lines)


def stamp(milliseconds: int, point: str) -> str:
    """A time as both formats write it.

    Examples
    --------
    >>> stamp(3_723_004, ","), stamp(0, ".")
    ('01:02:03,004', '00:00:00.000')
    """
    seconds, rest = divmod(milliseconds, 1000)
    return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}{point}{rest:03}"


def as_vtt(captions: Iterable[Caption]) -> str:
    """WebVTT of the W3C."""
    blocks = [
        f"{number}\n{stamp(one.start_ms, '.')} --> {stamp(one.end_ms, '.')}\n{escape(_text(one), quote=False)}\n"
        for number, one in enumerate(captions, 1)
    ]
    return "\n".join(["WEBVTT\n", *blocks])


def as_srt(captions: Iterable[Caption]) -> str:
    """SubRip."""
    return "\n".join(
        f"{number}\n{stamp(one.start_ms, ',')} --> {stamp(one.end_ms, ',')}\n{_text(one)}\n"
        for number, one in enumerate(captions, 1)
    )


def _text(caption: Caption) -> str:
    return "\n".join(caption.lines)
