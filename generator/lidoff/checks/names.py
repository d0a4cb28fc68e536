"""Spellings of names: what two of them have in common, and which are one letter apart."""

import re
import unicodedata
from collections.abc import Iterable, Iterator
from functools import lru_cache

_NOT_OF_A_NAME = re.compile(r"[\W_]+")


@lru_cache(maxsize=65536)
def bare(name: str) -> str:
    """A name without case, spaces, hyphens and other signs.

    Examples
    --------
    >>> bare("Marrow Bay") == bare("MARROW-BAY"), bare("QS650-R150")
    (True, 'qs650r150')
    """
    return _NOT_OF_A_NAME.sub("", unicodedata.normalize("NFKC", name).casefold())


def one_letter_apart(names: Iterable[str], shortest: int) -> Iterator[tuple[str, str]]:
    """Pairs of bare names that differ by one letter added, left out or replaced, or by two neighbours swapped.

    Names that differ in their digits are never a pair.

    Each name is put under itself and under all it becomes when one letter is left out, so that the effort grows with
    the number of names and not with that of pairs.

    Examples
    --------
    >>> list(one_letter_apart(["marrowbay", "marowbay", "quillstone", "series1000", "series2000"], 8))
    [('marrowbay', 'marowbay')]
    """
    by_rest: dict[str, list[str]] = {}
    for name in dict.fromkeys(names):
        if len(name) >= shortest:
            for rest in {name, *(name[:place] + name[place + 1 :] for place in range(len(name)))}:
                by_rest.setdefault(rest, []).append(name)
    seen: set[tuple[str, str]] = set()
    for together in by_rest.values():
        for first, second in _pairs(together):
            if (first, second) not in seen:
                seen.add((first, second))
                if _digits(first) == _digits(second) and _is_one_slip(first, second):
                    yield first, second


def _pairs(names: list[str]) -> Iterator[tuple[str, str]]:
    for place, first in enumerate(names):
        for second in names[place + 1 :]:
            yield first, second


def _is_one_slip(first: str, second: str) -> bool:
    """Whether what is left between the common beginning and the common end is one letter, or two that were swapped."""
    shorter = min(len(first), len(second))
    start = next((place for place in range(shorter) if first[place] != second[place]), shorter)
    end = next((place for place in range(shorter - start) if first[-1 - place] != second[-1 - place]), shorter - start)
    one, other = first[start : len(first) - end], second[start : len(second) - end]
    return max(len(one), len(other)) <= 1 or (len(one) == 2 and one == other[::-1])


def _digits(name: str) -> str:
    return "".join(letter for letter in name if letter.isdigit())
