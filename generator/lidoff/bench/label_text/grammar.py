"""Tokens -> phrases: a small recursive parser that tries its rules in order and keeps all else as text."""

from collections.abc import Callable, Container, Sequence
from dataclasses import dataclass

from lidoff.bench.label_text.headings import (
    LEVEL_BEGINS,
    PROTOCOL_BEGINS,
    SECTION_BEGINS,
    Names,
    parse_level,
    parse_name,
    parse_protocol,
    parse_section,
)
from lidoff.bench.label_text.outputs import POWER_BEGINS, parse_output, parse_power, parse_single
from lidoff.bench.label_text.phrases import Mark, Phrase, Text
from lidoff.bench.label_text.port_names import PORTS_BEGIN, parse_ports
from lidoff.bench.label_text.quantities import QUANTITY_BEGINS, unit_ahead
from lidoff.bench.label_text.tokens import ELLIPSIS, Cursor, Token
from lidoff.bench.label_text.words import AFTER_FOR, AND, FOR, GENERAL, OR, OTHER_UNITS, writes_no_blanks

_APART = ("+", "/", ";", ",", "|", "·", "(", ")", "[", "]", ":", "-", "~", ".", "&", ELLIPSIS)
_ENDS_TEXT = ("/", ";", "|", "·", "(", ")", "[", "]")
_WORD_SIGNS = ("/", "-", ".", "&", "_", "'", "’")


@dataclass(frozen=True, slots=True)
class Rule:
    """How a phrase is parsed, and what its first token may be: one of these texts, or any number."""

    parse: Callable[[Cursor], Phrase | None]
    begins: Container[str]
    by_number: bool = False


def phrases_of(tokens: Sequence[Token], protocols: Names, names: Names) -> tuple[Phrase, ...]:
    """The phrases of a label; together they cover every token."""
    rules = (
        Rule(lambda cursor: parse_name(cursor, names), names),
        Rule(parse_power, POWER_BEGINS, by_number=True),
        Rule(parse_ports, PORTS_BEGIN),
        Rule(parse_section, SECTION_BEGINS),
        Rule(lambda cursor: parse_protocol(cursor, protocols), PROTOCOL_BEGINS | protocols.keys()),
        Rule(parse_output, QUANTITY_BEGINS, by_number=True),
        Rule(parse_single, QUANTITY_BEGINS, by_number=True),
        Rule(parse_level, LEVEL_BEGINS),
    )
    cursor = Cursor(tokens)
    found: list[Phrase] = []
    while cursor.peek() is not None:
        found.append(_first(cursor, rules) or _mark(cursor) or _text(cursor, rules))
    return tuple(found)


def _first(cursor: Cursor, rules: Sequence[Rule]) -> Phrase | None:
    """The phrase that begins here, by the first rule that fits; remembered, as it is asked for twice behind a text."""
    at = cursor.at
    if at not in cursor.phrases:
        cursor.phrases[at] = _parsed(cursor, rules)
    phrase = cursor.phrases[at]
    cursor.at = at if phrase is None else phrase.end
    return phrase


def _parsed(cursor: Cursor, rules: Sequence[Rule]) -> Phrase | None:
    at, token = cursor.at, cursor.peek()
    is_number = token.kind == "number"
    for rule in rules:
        if token.text not in rule.begins and not (is_number and rule.by_number):
            continue
        phrase = rule.parse(cursor)
        if phrase is not None:
            return phrase
        cursor.at = at
    return None


def _mark(cursor: Cursor) -> Mark | None:
    token = cursor.peek()
    if cursor.is_sign(*_APART) or cursor.is_word(OR) or cursor.is_word(AND):
        cursor.at += 1
        return Mark(cursor.at - 1, cursor.at, token.text)
    return None


def _text(cursor: Cursor, rules: Sequence[Rule]) -> Text:
    """All tokens up to the next phrase, or to a sign that sets items apart."""
    start, is_general = cursor.at, _is_general(cursor)
    cursor.at += 1
    while (token := cursor.peek()) is not None and not token.own_line:
        if cursor.skip_sign(":"):
            break
        if cursor.is_sign(*_ENDS_TEXT) and not _is_inside_word(cursor):
            break
        if _is_general(cursor) and not token.glued:
            break
        if _may_begin(cursor) and _first(cursor.fork(), rules) is not None:
            break
        cursor.at += 1
    pieces = cursor.tokens[start : cursor.at]
    return Text(start, cursor.at, is_general, pieces[-1].text == ":", _suspect(cursor, start))


def _is_general(cursor: Cursor) -> bool:
    """Whether words about something else begin here."""
    return cursor.is_word(GENERAL) or (cursor.is_word(FOR) and cursor.is_word(AFTER_FOR, ahead=1))


def _is_inside_word(cursor: Cursor) -> bool:
    """Whether a sign stands between letters without blanks, as in S/N."""
    before, after = cursor.peek(-1), cursor.peek(1)
    joins = cursor.peek().glued and after is not None and after.glued
    return cursor.is_sign(*_WORD_SIGNS) and joins and before.kind == "word" and after.kind == "word"


def _may_begin(cursor: Cursor) -> bool:
    """Whether a phrase may begin here: not in the middle of a name such as FH-65W."""
    token, before = cursor.peek(), cursor.peek(-1)
    if not token.glued or before.text in (",", ")", "]"):
        return True
    return writes_no_blanks(token.text[0]) or writes_no_blanks(before.text[-1])


def _suspect(cursor: Cursor, start: int) -> str:
    """Why a text must not be passed over: it holds a quantity."""
    inner = Cursor(cursor.tokens, start)
    while inner.at < cursor.at:
        if inner.is_number() and (inner.at == start or not inner.peek().glued):
            if unit_ahead(inner, 0) is not None:
                return "a quantity that is not written in a known way"
            if inner.is_word(OTHER_UNITS, ahead=1) or inner.is_sign("%", ahead=1):
                return f"a quantity in {inner.peek(1).raw}, for which the label has no field"
        inner.at += 1
    return ""
