"""What happens in a walk at INPUT and OUTPUT, at the name of a port, and at the name of a protocol."""

from collections.abc import Sequence
from dataclasses import replace

from lidoff.bench.label_text.combinations import combinations_of, said_of
from lidoff.bench.label_text.judge import Heading, offers_of
from lidoff.bench.label_text.on_text import take_text
from lidoff.bench.label_text.phrases import Level, Mark, Output, Phrase, PortName, Ports, Protocol, Section, Text
from lidoff.bench.label_text.tokens import ELLIPSIS, Token
from lidoff.bench.label_text.walk import BRACKETS, Walk, heads
from lidoff.bench.label_text.words import AND

_AND = AND | {"&"}
_JOINS = _AND | {"/", ",", "+"}
_BETWEEN = _AND | {"~", "-", ELLIPSIS}
_EACH_OR_TOGETHER = "may mean these ports together, each of them or those between them"


def port_names(phrases: Sequence[Phrase], tokens: Sequence[Token]) -> frozenset[PortName]:
    """The ports that the label names, without those that stand in other text, such as USB-C charger."""
    found: set[PortName] = set()
    for at, phrase in enumerate(phrases):
        if isinstance(phrase, Ports) and (phrase.is_combination or heads(phrase, phrases, at + 1, tokens)):
            found.update(name for term in phrase.terms for name in term)
    return frozenset(found)


def on_section(walk: Walk, phrase: Section) -> None:
    """INPUT or OUTPUT; USB-C Output: keeps its port."""
    walk.end_doubt()
    walk.drop_heading()
    if walk.last != "ports" or phrase.name == "input":
        walk.ports = ()
    walk.section, walk.last = phrase.name, "section"


def on_ports(walk: Walk, phrase: Ports) -> None:
    """One port or several, or ports together."""
    if phrase.is_combination:
        _combine(walk, phrase)
    elif not walk.heads(phrase, walk.at):
        take_text(walk, Text(phrase.start, phrase.end, is_port=True))
    elif _is_behind(walk):
        start = walk.ledger.retract(walk.keys).start
        walk.begin_doubt(start, phrase.end, "a port behind outputs: which of them are its own?")
    elif (end := _end_of_pair(walk, phrase)) is not None:
        walk.end_doubt()
        walk.section = walk.section or "output"
        walk.begin_doubt(phrase.start, end, _EACH_OR_TOGETHER)
    else:
        walk.end_doubt()
        walk.drop_heading()
        is_second_name = walk.last == "ports" and not walk.is_apart
        if not is_second_name or phrase.terms[0][0].connector is not None:
            walk.ports = phrase.terms[0]
        walk.section, walk.last = "output", "ports"


def _is_behind(walk: Walk) -> bool:
    """Whether a port stands in brackets behind an output: 5V 3A (USB-C)."""
    closing = walk.phrases[walk.at : walk.at + 1]
    is_closed = bool(closing) and isinstance(closing[0], Mark) and closing[0].sign in (")", "]")
    return is_closed and walk.last == "output" and walk.marks <= BRACKETS


def _end_of_pair(walk: Walk, phrase: Ports) -> int | None:
    """The end of names that stand side by side, such as C1 & C2, which are passed; None where there is one alone."""
    end = None
    while True:
        following = walk.phrases[walk.at : walk.at + 2]
        joined = isinstance(following[0], Mark) and following[0].sign in _BETWEEN if following else False
        names = following[1:] if joined else following[:1]
        is_name = bool(names) and isinstance(names[0], Ports) and not names[0].is_combination
        if not is_name or (not joined and phrase.terms[0][0].connector is None):
            return end
        walk.at += 1 + joined
        end = names[0].end


def _combine(walk: Walk, phrase: Ports) -> None:
    walk.end_doubt()
    walk.drop_heading()
    said = said_of(phrase, walk.phrases[walk.at :])
    walk.section, walk.ports, walk.last = "output", (), "combination"
    last = walk.phrases[walk.at + said.length - 1] if said.length else phrase
    if said.fault:
        walk.ledger.combinations_complete = False
        walk.ledger.open.append((phrase.start, last.end, said.fault))
    else:
        walk.ledger.combinations += combinations_of(phrase, said, last.end)
    walk.at += said.length


def on_protocol(walk: Walk, phrase: Protocol) -> None:
    """A protocol's name: behind an output it names that one, else it stands over those that follow."""
    if walk.extend_doubt(phrase):
        return
    heading = Heading(frozenset((phrase.kind,)), phrase.name, phrase.colon)
    is_other_matter = phrase.kind == "ufcs" and walk.heading is not None and walk.heading.colon
    if walk.last == "output" and not phrase.colon and not walk.marks - BRACKETS and not is_other_matter:
        if phrase.bracketed or not isinstance(walk.adjacent(), Output):
            _name_last(walk, phrase, heading)
            return
        if phrase.kind == "proprietary":
            output = walk.ledger.retract(walk.keys)
            reason = f"{phrase.name} may belong to the output before it or to the one behind it"
            walk.begin_doubt(output.start, phrase.end, reason)
            return
    if walk.last == "heading" and walk.marks & _JOINS:
        heading = walk.heading.joined(heading)
    else:
        walk.drop_heading()
    walk.heading, walk.heading_phrase, walk.last = heading, phrase, "heading"


def _name_last(walk: Walk, phrase: Protocol, heading: Heading) -> None:
    """A protocol's name behind an output."""
    output, before = walk.ledger.last(walk.keys)
    found = offers_of(output, heading)
    if isinstance(found, str):
        walk.ledger.retract(walk.keys)
        walk.begin_doubt(output.start, phrase.end, found)
        walk.end_doubt()
    else:
        walk.ledger.replace_last(walk.keys, tuple(replace(offer, power_w=before[0].power_w) for offer in found))


def on_level(walk: Walk, phrase: Level) -> None:
    """The numeral of the efficiency marking; one inside other text is a part of that."""
    if walk.section or phrase.end - phrase.start > 1 or walk.begins_line(phrase):
        walk.end_doubt()
        walk.ledger.level, walk.last = phrase.numeral, "level"
    else:
        take_text(walk, Text(phrase.start, phrase.end))
