"""One spelling of every sign, with the place in the text as it was given beside each."""

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

DC = "⎓"
BREAKS = frozenset("\n\r\v\f\x1c\x1d\x1e\x85\u2028\u2029")

_INVISIBLE = frozenset("\u00ad\u200b\u200c\u200d\u200e\u200f\u2060\ufeff")
_SAME = {
    **dict.fromkeys("‐‑‒–—―−﹘﹣－⁃┄┅╌╍⏤", "-"),
    **dict.fromkeys("∼〜～∿⏦˜⁓", "~"),
    **dict.fromkeys("⎓⩵═≡≂⩦", DC),
    **dict.fromkeys("＝﹦", "="),
    **dict.fromkeys("、，﹐", ","),
    **dict.fromkeys("•∙⋅・‧･", "·"),
    "。": ".",
    "∕": "/",
    "×": "x",
}
_NOT_AS_DIGITS = ("<super>", "<sub>", "<fraction>", "<circle>", "<font>")
"""Compatibility forms whose digits do not mean what plain digits in their place would."""


@dataclass(frozen=True, slots=True)
class Normal:
    """Text in one spelling; ``places[i]`` is where its sign i stood in the original."""

    text: str
    places: Sequence[int]


def normalised(text: str) -> Normal:
    """The text in lower case without accents, full-width forms, invisible signs and the many dashes and blanks.

    Examples
    --------
    >>> normalised("５Ｖ＝３Ａ").text, normalised("100–240\u202fV∼ Entrée").text
    ('5v=3a', '100-240 v~ entree')
    """
    spelt = [_spelt(sign) for sign in text]
    normal = "".join(spelt)
    if len(normal) == len(text) and "" not in spelt:  # on most labels each sign stays one sign
        return Normal(normal, range(len(text)))
    return Normal(normal, [place for place, pieces in enumerate(spelt) for _ in pieces])


def folded(word: str) -> str:
    """A word of a vocabulary in the spelling that texts are brought to."""
    return normalised(word).text


@lru_cache(maxsize=1024)
def _spelt(sign: str) -> str:
    if sign < "\x7f" and sign not in BREAKS:
        return " " if sign == "\t" else sign.lower()
    if sign in BREAKS:
        return "\n"
    if sign in _SAME:
        return _SAME[sign]
    if sign in _INVISIBLE:
        return ""
    if sign.isspace():
        return " "
    if unicodedata.decomposition(sign).startswith(_NOT_AS_DIGITS):
        return sign
    pieces = (piece for piece in unicodedata.normalize("NFKD", sign) if unicodedata.category(piece) != "Mn")
    return "".join(pieces).casefold()
