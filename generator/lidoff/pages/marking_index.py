"""Finds texts by any piece of them: all endings of all texts, sorted, in small files that are loaded only when needed.

A text that begins with the wanted piece from some sign on is one of the endings, and endings with the same beginning
are neighbours; so one or two files answer for a piece, wherever in a text it stands. ``js/marking_index.js`` reads what
is written here and cleans what is asked for in the same way.
"""

import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache

from msgspec.json import encode

from lidoff.website import SiteFile

FOLDER = "data/markings"
UNREADABLE = "?"
SHORTEST = 2  # signs in a row that must be known
CLEAR_BYTES = 12_000  # a file of endings
UNCLEAR_BYTES = 4_000  # smaller: several are needed for one question
ROWS_BYTES = 6_000  # a file of what is shown of each text
START_SIGNS = 8  # of the first ending of a file, in the list of files


@lru_cache(maxsize=1 << 16)
def searchable(text: str) -> str:
    """A text as it is compared: capitals, without spaces and punctuation, with ``?`` for a sign that can't be read.

    Examples
    --------
    >>> searchable("qs650-r150"), searchable("QS65 / ?150"), searchable("4µ7")
    ('QS650R150', 'QS65?150', '4Μ7')
    """
    capitals = unicodedata.normalize("NFKC", text).upper()
    return "".join(sign for sign in capitals if sign == UNREADABLE or _is_kept(sign))


def _is_kept(sign: str) -> bool:
    """Letters and digits; those beyond U+FFFF are two signs to a script, and nobody prints them on a part."""
    return sign <= "\uffff" and unicodedata.category(sign)[0] in "LN"


def index_files(rows: Sequence[tuple[str, object]]) -> Iterator[SiteFile]:
    """The files of an index of rows: a searchable text and what is shown of it, each text once and in order.

    Texts with unreadable signs are kept apart: any sign of what is asked for fits there.
    """
    numbered = [(text, number) for number, (text, _) in enumerate(rows)]
    starts: dict[str, list[object]] = {}
    for name, is_unclear, most in (("clear", False, CLEAR_BYTES), ("unclear", True, UNCLEAR_BYTES)):
        endings = _endings((text, number) for text, number in numbered if (UNREADABLE in text) == is_unclear)
        starts[name] = []
        for number, (piece, content) in enumerate(_packed(endings, most)):
            text, at, _ = piece[0]
            starts[name].append(text[at : at + START_SIGNS])
            yield SiteFile(f"{FOLDER}/{name}/{number}.json", content)
    starts["rows"] = []
    first = 0
    for number, (piece, content) in enumerate(_packed((row for _, row in rows), ROWS_BYTES)):
        starts["rows"].append(first)
        first += len(piece)
        yield SiteFile(f"{FOLDER}/rows/{number}.json", content)
    yield SiteFile(f"{FOLDER}/starts.json", encode(starts))


def _endings(texts: Iterable[tuple[str, int]]) -> list[tuple[str, int, int]]:
    """Every ending that begins with signs which are all known: its text, where it begins, the number of the text."""
    found = [
        (text, at, number)
        for text, number in texts
        for at in range(len(text) - SHORTEST + 1)
        if UNREADABLE not in text[at : at + SHORTEST]
    ]
    return sorted(found, key=lambda ending: (ending[0][ending[1] :], ending[2], ending[1]))


def _packed(items: Iterable[object], most: int) -> Iterator[tuple[list, bytes]]:
    """Items in their order, as many in one file as fit, at least one; with the file's content."""
    piece: list[object] = []
    texts: list[bytes] = []
    size = 0
    for item in items:
        text = encode(item)
        if piece and size + len(text) > most:
            yield piece, b"[" + b",".join(texts) + b"]"
            piece, texts, size = [], [], 0
        piece.append(item)
        texts.append(text)
        size += len(text) + 1
    if piece:
        yield piece, b"[" + b",".join(texts) + b"]"
