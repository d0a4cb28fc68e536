"""Names of ports as labels print them, alone, as alternatives and in combinations."""

from lidoff.bench.label_text.phrases import PortName, Ports
from lidoff.bench.label_text.quantities import unit_ahead
from lidoff.bench.label_text.tokens import Cursor
from lidoff.bench.label_text.words import EACH, OR, OUTPUT

_LETTERS = frozenset("ca")
_TYPE = frozenset(("type", "typ"))
_WHOLE = {"usbc": "C", "usba": "A", "typec": "C", "typea": "A"}
_NUMBERED = frozenset(("usb", "port", "out"))
PORTS_BEGIN = _LETTERS | _TYPE | _WHOLE.keys() | _NUMBERED | OUTPUT
_ENDS_OF_HEADING = (":", "+", "=")
_BEFORE_GROUP = (":", "+", "=", "/", ",")
_MAY_FOLLOW = (*_BEFORE_GROUP, ")", "(", "]", "-", "~", ";", "|", "&", ".")
_MOST_PORTS = 12
_DIGITS = 2


def parse_ports(cursor: Cursor) -> Ports | None:
    """The ports that are named at the cursor; None, with the cursor unmoved, where none is."""
    start = cursor.at
    terms = []
    while True:
        term = _term(cursor, is_first=not terms)
        if not term:
            cursor.at = start
            return None
        terms.append(term)
        if not (cursor.is_sign("+") and _name(cursor.fork(1), in_group=True)):
            break
        cursor.at += 1
    if len(terms) == 1 and len(terms[0]) == 1 and not _stands_well(cursor, terms[0][0], start):
        cursor.at = start
        return None
    cursor.skip_word(EACH)
    if not cursor.skip_sign(":"):
        cursor.skip_sign("=")
    return Ports(start, cursor.at, tuple(terms))


def _stands_well(cursor: Cursor, name: PortName, start: int) -> bool:
    """Whether a lone letter is a port's name: it needs what a heading ends with."""
    is_letter = cursor.at - start == 1 and name.number is None and name.family in "CA"
    return not is_letter or cursor.tokens[start].text in _WHOLE or cursor.is_sign(*_ENDS_OF_HEADING)


def _term(cursor: Cursor, is_first: bool) -> tuple[PortName, ...]:
    """Names with a slash, a comma or "or" between them."""
    names = []
    while len(names) < _MOST_PORTS:
        name = _name(cursor, in_group=bool(names) or not is_first or _is_before_group(cursor))
        if name is None:
            return ()
        names.append(name)
        ahead = cursor.fork()
        if not (ahead.skip_sign("/", ",") or ahead.skip_word(OR)) or _name(ahead, in_group=True) is None:
            break
        cursor.at += 1
    return tuple(names)


def _is_before_group(cursor: Cursor) -> bool:
    return cursor.is_sign(*_BEFORE_GROUP, ahead=1)


def _name(cursor: Cursor, in_group: bool) -> PortName | None:
    """One name; in a group a letter alone is one."""
    start = cursor.at
    family = _family(cursor, in_group)
    if family is None:
        cursor.at = start
        return None
    number = _number(cursor, family)
    if number is None and family not in "CA":
        cursor.at = start
        return None
    pieces = cursor.tokens[start : cursor.at]
    printed = "".join(("" if token.glued else " ") + token.raw for token in pieces).strip()
    return PortName(family, number, printed)


def _family(cursor: Cursor, in_group: bool) -> str | None:
    """The family that words such as USB-C, Type-C, C or Port stand for; the cursor is moved behind them."""
    token = cursor.peek()
    if token is None or token.kind != "word":
        return None
    if token.text in _WHOLE:
        cursor.at += 1
        return _WHOLE[token.text]
    at = cursor.at
    has_lead = cursor.skip_word(frozenset(("usb",)))
    if has_lead:
        cursor.skip_sign("-")
    has_lead = _skip_type(cursor) or has_lead
    letter = cursor.peek()
    if letter is not None and letter.text in _LETTERS and _may_be_letter(cursor, has_lead, in_group):
        cursor.at += 1
        return letter.text.upper()
    if has_lead and letter is not None and letter.text in _WHOLE:
        cursor.at += 1
        return _WHOLE[letter.text]
    cursor.at = at
    if token.text not in _NUMBERED and token.text not in OUTPUT:
        return None
    cursor.at += 1
    return "OUTPUT" if token.text in OUTPUT else token.text.upper()


def _skip_type(cursor: Cursor) -> bool:
    if not cursor.is_word(_TYPE) or not (cursor.is_sign("-", ahead=1) or cursor.is_word(_LETTERS, ahead=1)):
        return False
    cursor.at += 1
    cursor.skip_sign("-")
    return cursor.is_word(_LETTERS)


def _may_be_letter(cursor: Cursor, has_lead: bool, in_group: bool) -> bool:
    if has_lead:
        return True
    is_capital = cursor.peek().raw.isupper()
    has_number = cursor.is_number(1) and cursor.peek(1).glued
    return is_capital and (has_number or in_group)


def _number(cursor: Cursor, family: str) -> int | None:
    """A port's number: glued to its name or by a hyphen, or apart where it can be nothing else."""
    ahead = 1 if cursor.is_sign("-") and cursor.peek().glued and cursor.is_number(1) and cursor.peek(1).glued else 0
    token = cursor.peek(ahead)
    if token is None or not cursor.is_number(ahead) or not token.text.isdigit() or len(token.text) > _DIGITS:
        return None
    is_glued = token.glued and ahead == 0
    if unit_ahead(cursor, ahead) is not None and not (is_glued and not cursor.is_letters(ahead + 1)):
        return None  # a quantity, not C1-65W
    if not token.glued and family in "CA" and not cursor.is_sign(*_BEFORE_GROUP, ahead=1):
        return None
    following = cursor.peek(ahead + 1)
    if following is not None and following.glued and following.kind == "sign" and following.text not in _MAY_FOLLOW:
        return None
    cursor.at += ahead + 1
    return int(token.text)
