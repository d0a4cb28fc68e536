"""The text of a value or rating ("82uF 400V", "150 mOhm", "4k7 1%", "T3.15AL 250VAC") -> ratings of a record."""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from lidoff.bench.parts_table.rating_words import RATINGS, SAID, UNIT_OF, kind_of, rating_by_unit
from lidoff.bench.spreadsheet.units import as_decimal, converted, dimension, is_undecided, unit_named

Ratings = dict[str, Decimal | str]

_GAP = re.compile(r"[\s,;/|+@:=]+")
_NUMBER = r"(?P<sign>±|\+/-|\+-)?\s*(?P<number>\d+/\d+(?=\s*W)|\d+(?:[.,]\d+)?|[.,]\d+)"
_UNIT = (
    r"(?P<unit>k?V|mV|µA|mA|A²s|A2s|A|k?W|mW|[kMm]?(?:Ω|ohms?)|[mµnp]?F|[mµn]?H|[kM]?Hz|[µnp]?C|°\s?C|deg\s?C|°\s?F|m?J|%|h(?:ou)?rs?|h)"
    r"(?P<current>\s?(?:AC|DC|rms)|\s?~)?"
)
_QUANTITY = re.compile(rf"{_NUMBER}\s*{_UNIT}(?![A-Za-z0-9²Ω])")
_LETTER_CODE = re.compile(r"(?P<whole>\d{0,4})(?P<letter>[RkKMpnµ])(?P<decimals>\d{0,4})(?![A-Za-z0-9²Ω])")
_FUSE = re.compile(
    r"(?P<speed>FF|TT|[FMT])\s?(?P<number>\d+(?:[.,]\d+)?)\s?(?P<unit>m?A)(?P<breaking>[LEH])?(?=\d|\W|$)"
)
_WORD = re.compile(r"[^\s,;/|+@:=]+")
_SAFETY = re.compile(r"([XY][124])(?:\s?/?\s?([XY][124]))?(?![A-Za-z0-9])", re.IGNORECASE)
_DIELECTRIC = re.compile(r"(?:[XYZ][2-9][A-Z]|C0G|NP0)(?![A-Za-z0-9])")
_LETTERS = {"R": ("Ω", 0), "k": ("Ω", 3), "K": ("Ω", 3), "M": ("Ω", 6), "p": ("pF", 0), "n": ("nF", 0), "µ": ("µF", 0)}
_INDUCTANCES = {"n": "nH", "µ": "µH"}


class _Unclear(Exception):
    """A piece that can't be taken: why not, and what to write instead."""

    def __init__(self, found: str, fix: str) -> None:
        super().__init__(found)
        self.found, self.fix = found, fix


@dataclass(frozen=True, slots=True)
class NotUnderstood:
    """A piece of a rating that was not understood; ``at`` is its place in the text, from 0."""

    at: int
    found: str
    fix: str


@dataclass(slots=True)
class _Reader:
    """Reads one text from left to right; ``said`` is the rating that a word before the next number names."""

    text: str
    roles: Sequence[str]
    ratings: Ratings
    at: int = 0
    said: str = ""

    def put(self, rating: str, value: Decimal | str, piece: str) -> None:
        """Keep a rating; refuses a second value for it."""
        if self.ratings.setdefault(rating, value) != value:
            raise _Unclear(f"{piece}, and {rating} is {self.ratings[rating]} already", "give each rating once")

    def amount(self, number: str, unit: str, current: str, piece: str) -> None:
        """Keep an amount under the rating that it stands for."""
        measures = dimension(unit)
        rating, fix = rating_by_unit(measures, unit, current, self.roles)
        if self.said:
            rating, fix = self.said, f"write {UNIT_OF[self.said]} behind it"
            if dimension(UNIT_OF[rating]) != measures:
                raise _Unclear(piece, fix)
        if not rating:
            raise _Unclear(piece, fix)
        if is_undecided(number):
            fix = f"write {number.replace(',', '')} or {number.replace(',', '.')}"
            raise _Unclear(f"{piece}, whose comma may set off thousands or decimals", fix)
        value = _fraction(number) if "/" in number else as_decimal(number, "," if "," in number else ".")
        self.said = ""
        self.put(rating, converted(value, unit, UNIT_OF[rating]), piece)


def read_ratings(text: str, roles: Sequence[str]) -> tuple[Ratings, tuple[NotUnderstood, ...]]:
    """The ratings in a text of a part that does this, and the pieces that were not understood.

    Examples
    --------
    >>> read_ratings("82uF 400V 105C", ["bulk-capacitor"])[0]
    {'capacitance_uf': Decimal('82'), 'voltage_v': Decimal('400'), 'temperature_c': Decimal('105')}
    >>> read_ratings("650V 150 mOhm 11A", ["primary-switch"])[0]
    {'voltage_v': Decimal('650'), 'rds_on_mohm': Decimal('150'), 'current_a': Decimal('11')}
    """
    plain = text.replace("\u03bc", "µ").replace("\u2126", "Ω").replace("\n", " ")
    plain = re.sub(r"(?<![A-Za-z])u(?=[FHA]\b|\d|\s|$)", "µ", plain)
    plain = re.sub(r"(?<=[kMm])Ohm|(?<![A-Za-z])Ohm", "ohm", plain)
    reader, wrong = _Reader(plain, roles, {}), []
    while reader.at < len(plain):
        if gap := _GAP.match(plain, reader.at):
            reader.at = gap.end()
            continue
        start = reader.at
        try:
            _take(reader)
        except _Unclear as unclear:
            wrong.append(NotUnderstood(start, unclear.found, unclear.fix))
            reader.said = ""
    if reader.said:
        wrong.append(
            NotUnderstood(0, f"{text}, without a number behind its last word", "write the number with its unit")
        )
    return reader.ratings, tuple(wrong)


def _take(reader: _Reader) -> None:
    """Take the next piece, by the first form that fits."""
    for pattern, take in _FORMS:
        match = pattern.match(reader.text, reader.at)
        if match and match.end() > reader.at:
            reader.at = match.end()
            if take(reader, match):
                return
            reader.at = match.start()
    word = _WORD.match(reader.text, reader.at)
    reader.at = word.end() if word else len(reader.text)
    raise _Unclear(word.group() if word else reader.text, "write numbers with their units, and the rest under Notes")


def _fuse(reader: _Reader, match: re.Match[str]) -> bool:
    if "fuse" not in reader.roles:
        return False
    reader.put("fuse_speed", match["speed"], match.group())
    if match["breaking"]:
        reader.put("breaking_capacity", match["breaking"], match.group())
    reader.amount(match["number"], match["unit"], "", match.group())
    return True


def _quantity(reader: _Reader, match: re.Match[str]) -> bool:
    unit = unit_named(match["unit"].replace(" ", ""))
    current = (match["current"] or "").strip().lower().replace("rms", "ac").replace("~", "ac")
    if unit is None or (current and dimension(unit) not in ("voltage", "current")):
        return False
    reader.amount(match["number"], unit, current, match.group().strip())
    return True


def _letter_code(reader: _Reader, match: re.Match[str]) -> bool:
    """A letter for the decimal point (IEC 60062, from memory), or a prefix without its unit: 4k7, 2n2, 100n."""
    whole, letter, decimals = match["whole"], match["letter"], match["decimals"]
    if not (whole or decimals):
        return False
    unit, exponent = _LETTERS[letter]
    kind = kind_of(reader.roles)
    if unit != "Ω" and kind == "inductor":
        unit = _INDUCTANCES.get(letter, "")
    wanted = {"Ω": ("resistor",), "nH": ("inductor",), "µH": ("inductor",)}.get(unit, ("capacitor",))
    if kind not in wanted and not reader.said:
        raise _Unclear(match.group(), "write the unit out: 4.7kOhm, 100nF, 10uH")
    number = Decimal(f"{whole or 0}.{decimals or 0}").scaleb(exponent)
    reader.amount(format(number.normalize(), "f"), unit, "", match.group())
    return True


def _word(reader: _Reader, match: re.Match[str]) -> bool:
    """A word that names the rating of the number behind it."""
    rating = SAID.get(match.group().casefold())
    if rating is None:
        return False
    reader.said = rating
    return True


def _safety(reader: _Reader, match: re.Match[str]) -> bool:
    word = "-".join(filter(None, match.groups())).lower()
    if word not in RATINGS["safety_class"].schema["enum"]:
        return False
    reader.put("safety_class", word, match.group())
    return True


def _dielectric(reader: _Reader, match: re.Match[str]) -> bool:
    if match.group() == "NP0":
        raise _Unclear("NP0", "write C0G, the same ceramic by its EIA code")
    reader.put("dielectric", match.group(), match.group())
    return True


def _vocabulary(reader: _Reader, match: re.Match[str]) -> bool:
    """A fuse's speed or breaking capacity that stands alone, or a capacitor's technology."""
    for rating in ("fuse_speed", "breaking_capacity") if "fuse" in reader.roles else ("chemistry",):
        if match.group() in RATINGS[rating].schema["enum"]:
            reader.put(rating, match.group(), match.group())
            return True
    return False


def _fraction(text: str) -> Decimal:
    upper, lower = text.split("/")
    return Decimal(upper) / Decimal(lower)


_FORMS: Sequence[tuple[re.Pattern[str], Callable[[_Reader, re.Match[str]], bool]]] = (
    (_FUSE, _fuse), (_SAFETY, _safety), (_DIELECTRIC, _dielectric), (_QUANTITY, _quantity),
    (_LETTER_CODE, _letter_code), (_WORD, _word), (_WORD, _vocabulary),
)  # fmt: skip
