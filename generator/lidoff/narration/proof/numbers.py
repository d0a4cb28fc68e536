"""Numbers in words: ``three point two five``, ``a hundred and twelve``, ``twenty twenty-five``."""

import re
from dataclasses import dataclass

_TO_NINE = "one|two|three|four|five|six|seven|eight|nine"
_ONES = {
    word: value
    for value, word in enumerate(
        (
            "zero",
            *_TO_NINE.split("|"),
            "ten",
            "eleven",
            "twelve",
            "thirteen",
            "fourteen",
            "fifteen",
            "sixteen",
            "seventeen",
            "eighteen",
            "nineteen",
        )
    )
}
_TENS = {
    word: 10 * place
    for place, word in enumerate(("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"), 2)
}
_SMALL = "|".join((*_TENS, *sorted(_ONES, key=len, reverse=True)))
_BELOW_100 = rf"(?:(?:{'|'.join(_TENS)})(?:[- ](?:{_TO_NINE}))?|{'|'.join(sorted(_ONES, key=len, reverse=True))})"
_BELOW_1000 = rf"(?:(?:a|{_BELOW_100})[ -]hundred(?:(?: and)? {_BELOW_100}(?![ -]hundred))?|{_BELOW_100})"
_WHOLE = rf"(?:(?:a|{_BELOW_1000})[ -]thousand(?:,? (?:and )?{_BELOW_1000})?|{_BELOW_1000})"
WORDS = re.compile(rf"\b(?:(minus) )?({_WHOLE})((?: point(?: (?:{'|'.join(_ONES)}))+)?)( and a half)?\b", re.IGNORECASE)
_TWO_DIGITS = rf"(?:(?:{'|'.join(_TENS)})(?:-(?:{_TO_NINE}))?|ten|eleven|twelve|\w+teen)"
YEAR = re.compile(rf"\b(nineteen|twenty) ({_TWO_DIGITS})\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Number:
    """A number at its place in a text: ``places`` is how many decimals were given."""

    start: int
    end: int
    value: float
    places: int


def number_in_words(match: re.Match[str]) -> Number:
    """The number that `WORDS` found."""
    minus, whole, point, half = match.groups()
    digits = [str(_ONES[word]) for word in point.lower().split()[1:]]
    value = float(f"{_whole(whole.lower())}.{''.join(digits) or 0}") + (0.5 if half else 0)
    return Number(match.start(), match.end(), -value if minus else value, 1 if half else len(digits))


def year_in_words(match: re.Match[str]) -> int:
    """The year that `YEAR` found."""
    return 100 * _whole(match[1].lower()) + _whole(match[2].lower())


def _whole(text: str) -> int:
    total = part = 0
    for word in re.split(r"[ ,-]+", text):
        if word == "hundred":
            part = (part or 1) * 100
        elif word == "thousand":
            total, part = (part or 1) * 1000, 0
        elif word == "a":
            part += 1
        elif word != "and":
            part += _TENS.get(word, _ONES.get(word, 0))
    return total + part
