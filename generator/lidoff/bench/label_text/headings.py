"""Headings of a label: INPUT and OUTPUT, names of protocols, the numeral of the efficiency marking."""

from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache

from lidoff.bench.label_text.normalise import DC
from lidoff.bench.label_text.phrases import Level, Protocol, Section, Text
from lidoff.bench.label_text.quantities import unit_ahead
from lidoff.bench.label_text.tokens import Cursor, tokens_of
from lidoff.bench.label_text.words import INPUT, LEVEL, MAX, OUTPUT, QUANTITY_NAMES, RATED, SHORT_HEADINGS

Names = Mapping[str, Sequence[tuple[tuple[str, ...], str]]]
"""Names with the texts of their tokens, by the first of these, the longest name first."""

_AC_DC = frozenset(("ac", "dc"))
_USB = frozenset(("usb",))
_PD = frozenset(("pd",))
_POWER, _DELIVERY = frozenset(("power",)), frozenset(("delivery",))
_EDITIONS = frozenset(("spr", "epr"))
_RANGES = {"pps": "pps", "avs": "avs", "ufcs": "ufcs"}
_NUMERALS = frozenset(("v", "vi"))
_SURE_NUMERAL = "vi"
"""V alone is a volt without its number."""
SECTION_BEGINS = _AC_DC | RATED | MAX | INPUT | OUTPUT | SHORT_HEADINGS.keys() | {"(", "["}
PROTOCOL_BEGINS = _USB | _EDITIONS | _POWER | _PD | _RANGES.keys() | {"(", "[", "-"}
"""What a protocol may begin with, besides a proprietary name."""
LEVEL_BEGINS = LEVEL | {_SURE_NUMERAL}


def known_names(names: Iterable[str]) -> Names:
    """Names ready to be looked for."""
    found: dict[str, list[tuple[tuple[str, ...], str]]] = {}
    for name in sorted(set(names)):
        texts = _texts(name)
        if texts:
            found.setdefault(texts[0], []).append((texts, name))
    for alike in found.values():
        alike.sort(key=lambda pair: -len(pair[0]))
    return found


@lru_cache(maxsize=4096)
def _texts(name: str) -> tuple[str, ...]:
    """The texts of a name's tokens; the same names are looked for on every label."""
    return tuple(token.text for token in tokens_of(name))


def parse_name(cursor: Cursor, names: Names) -> Text | None:
    """A name that is known to be none of a protocol, such as the manufacturer's."""
    start = cursor.at
    name = _known(cursor, names)
    return None if name is None else Text(start, cursor.at, general=True)


def parse_section(cursor: Cursor) -> Section | None:
    """INPUT or OUTPUT in one or several languages, with what else belongs to the heading."""
    start = cursor.at
    opened = cursor.skip_sign("(", "[")
    while cursor.is_word(_AC_DC) or cursor.is_word(RATED) or cursor.is_word(MAX):
        cursor.at += 1
    name = _section_word(cursor)
    if name is None:
        return None
    while _further_language(cursor, INPUT if name == "input" else OUTPUT):
        pass
    while cursor.skip_word(RATED) or cursor.skip_word(QUANTITY_NAMES):
        pass
    if opened and not cursor.skip_sign(")", "]"):
        return None
    if cursor.is_sign("(") and cursor.is_word(_AC_DC, ahead=1) and cursor.is_sign(")", ahead=2):
        cursor.at += 3
    if cursor.is_sign("~", DC) and cursor.is_sign(":", ahead=1):
        cursor.at += 1
    if not cursor.skip_sign(":"):
        cursor.skip_sign("=")
    return Section(start, cursor.at, name)


def _section_word(cursor: Cursor) -> str | None:
    token = cursor.peek()
    if token is None or token.kind != "word":
        return None
    name = "input" if token.text in INPUT else "output" if token.text in OUTPUT else None
    if name is None and (cursor.is_sign(":", ahead=1) or cursor.is_word(_AC_DC, ahead=-1)):
        name = SHORT_HEADINGS.get(token.text)
    cursor.at += name is not None
    return name


def _further_language(cursor: Cursor, words: frozenset[str]) -> bool:
    """Pass the same heading in another language: INPUT/Eingang, INPUT (Eingang)."""
    at = cursor.at
    opened = cursor.skip_sign("(")
    if not opened:
        cursor.skip_sign("/", "|", "-", ",")
    if cursor.skip_word(words) and (not opened or cursor.skip_sign(")")):
        return True
    cursor.at = at
    return False


def parse_protocol(cursor: Cursor, names: Names) -> Protocol | None:
    """A protocol's name, with its colon or in brackets."""
    start = cursor.at
    opened = cursor.skip_sign("(", "[")
    found = _range_kind(cursor) or _power_delivery(cursor) or _proprietary(cursor, names)
    if found is None:
        return None
    bracketed = opened and cursor.skip_sign(")", "]")
    if opened and not bracketed:
        return None
    colon = cursor.skip_sign(":") or cursor.skip_sign("=")
    return Protocol(start, cursor.at, *found, colon, bracketed)


def _range_kind(cursor: Cursor) -> tuple[str, str] | None:
    """PPS or AVS, perhaps with USB, PD and its revision, SPR or EPR before it."""
    ahead = cursor.fork()
    while ahead.skip_word(_USB) or ahead.skip_word(_EDITIONS) or _skip_pd(ahead):
        ahead.skip_sign("-")
    token = ahead.peek()
    kind = _RANGES.get(token.text) if token is not None else None
    if kind is None:
        return None
    cursor.at = ahead.at + 1
    return kind, ""


def _skip_pd(cursor: Cursor) -> bool:
    """Pass PD or Power Delivery, with its revision."""
    if cursor.is_word(_POWER) and cursor.is_word(_DELIVERY, ahead=1):
        cursor.at += 2
    elif not cursor.skip_word(_PD):
        return False
    if cursor.is_number() and unit_ahead(cursor, 0) is None:
        cursor.at += 1
    return True


def _power_delivery(cursor: Cursor) -> tuple[str, str] | None:
    """USB PD with or without its revision; EPR alone stands for it too."""
    cursor.skip_word(_USB)
    cursor.skip_sign("-")
    return ("fixed", "") if _skip_pd(cursor) or cursor.skip_word(_EDITIONS) else None


def _proprietary(cursor: Cursor, names: Names) -> tuple[str, str] | None:
    name = _known(cursor, names)
    return None if name is None else ("proprietary", name)


def _known(cursor: Cursor, names: Names) -> str | None:
    """Pass the longest of the names that stands here."""
    first = cursor.peek()
    for texts, name in names.get(first.text, ()) if first is not None else ():
        pieces = (cursor.peek(ahead) for ahead in range(len(texts)))
        if tuple(piece.text if piece else "" for piece in pieces) == texts and not _goes_on(cursor, len(texts)):
            cursor.at += len(texts)
            return name
    return None


def _goes_on(cursor: Cursor, length: int) -> bool:
    """Whether a number that is no quantity follows without a blank: then it is another name."""
    following = cursor.peek(length)
    return following is not None and following.glued and cursor.is_number(length) and unit_ahead(cursor, length) is None


def parse_level(cursor: Cursor) -> Level | None:
    """The numeral of the efficiency marking, with or without the words before it."""
    start = cursor.at
    while cursor.skip_word(LEVEL):
        cursor.skip_sign(":")
    token = cursor.peek()
    if token is None or token.text not in _NUMERALS or (cursor.at == start and token.text != _SURE_NUMERAL):
        return None
    if not token.raw.isupper() or (cursor.peek(1) is not None and cursor.peek(1).glued and cursor.is_number(1)):
        return None
    cursor.at += 1
    return Level(start, cursor.at, token.text)
