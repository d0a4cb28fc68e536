"""The state of a walk over a label's phrases: where it is, what is in force, and what is in doubt."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from lidoff.bench.label_text.judge import Heading
from lidoff.bench.label_text.ledger import UNNAMED, Key, Ledger
from lidoff.bench.label_text.phrases import Mark, Output, Phrase, PortName, Ports, Power, Protocol, Section, Text
from lidoff.bench.label_text.tokens import Token

BRACKETS = frozenset("()[]")
_NOT_APART = BRACKETS | {":"}
_UNUSED = "a protocol without an output"


def heads(phrase: Ports, phrases: Sequence[Phrase], at: int, tokens: Sequence[Token]) -> bool:
    """Whether something that a port can have stands behind its name."""
    rest = [one for one in phrases[at:] if not isinstance(one, Mark)][:2]
    if not rest:
        return False
    if isinstance(rest[0], Power):
        # USB-C 65W charger is a product's name
        is_name = len(rest) > 1 and isinstance(rest[1], Text)
        has_section = any(isinstance(one, Section) for one in phrases[: at - 1])
        return not rest[0].lead and (has_section or not is_name or tokens[phrase.end - 1].text == ":")
    if isinstance(rest[0], Section):
        return rest[0].name == "output"
    return isinstance(rest[0], (Output, Protocol, Ports))


@dataclass(slots=True)
class Walk:
    """A walk over the phrases.

    ``section``, ``ports`` and ``heading`` are in force; ``last`` names the sort of the last phrase that counted, and
    ``marks`` the signs since then. ``doubt`` is the first token and the reason of a stretch that is not understood.
    """

    tokens: Sequence[Token]
    phrases: Sequence[Phrase]
    names: frozenset[PortName] = frozenset()
    ledger: Ledger = field(default_factory=Ledger)
    at: int = 0
    section: str = ""
    ports: tuple[PortName, ...] = ()
    heading: Heading | None = None
    heading_phrase: Protocol | None = None
    doubt: tuple[int, str] | None = None
    doubt_end: int = 0
    last: str = ""
    marks: set[str] = field(default_factory=set)

    @property
    def keys(self) -> tuple[Key, ...]:
        """The ports that an output found here belongs to."""
        return self.ports or UNNAMED

    @property
    def is_apart(self) -> bool:
        """Whether more than a bracket or a colon stands before this phrase."""
        return not self.marks <= _NOT_APART

    @property
    def names_others(self) -> bool:
        """Whether the label names more than the one port in force."""
        return len(self.names - set(self.ports)) > 0 or len(self.ports) > 1

    def begins_line(self, phrase: Phrase) -> bool:
        """Whether a phrase is the first of a line."""
        return self.tokens[phrase.start].own_line

    def heads(self, phrase: Ports, at: int) -> bool:
        """Whether the name of a port heads what begins with the phrase at a place."""
        return heads(phrase, self.phrases, at, self.tokens)

    def ahead(self) -> Phrase | None:
        """The next phrase behind marks."""
        return next((phrase for phrase in self.phrases[self.at :] if not isinstance(phrase, Mark)), None)

    def adjacent(self, *passed: type) -> Phrase | None:
        """The next phrase of the same line where nothing but brackets, or phrases of these sorts, stands before it."""
        for phrase in self.phrases[self.at :]:
            if self.begins_line(phrase):
                return None
            if not isinstance(phrase, (Mark, *passed)) or (isinstance(phrase, Mark) and phrase.sign not in _NOT_APART):
                return phrase
        return None

    def rest_of_port(self) -> Iterator[Phrase]:
        """What stands between here and the next port, section or combination."""
        for phrase in self.phrases[self.at :]:
            if isinstance(phrase, (Ports, Section)):
                return
            yield phrase

    def begin_doubt(self, start: int, end: int, reason: str) -> None:
        """A stretch that is not understood begins, and goes on until a heading."""
        self.doubt = self.doubt or (start, reason)
        self.doubt_end = end
        self.last = "doubt"
        if self.section == "input":
            self.ledger.input_complete = False
        elif self.section:
            self.ledger.leave_open(self.keys)

    def extend_doubt(self, phrase: Phrase) -> bool:
        """Whether a doubt is on: then the phrase belongs to it."""
        if self.doubt is None:
            return False
        self.doubt_end = phrase.end
        return True

    def end_doubt(self) -> None:
        """What follows can be understood again."""
        if self.doubt is not None:
            self.ledger.open.append((self.doubt[0], self.doubt_end, self.doubt[1]))
            self.doubt = None

    def leave_open(self, phrase: Phrase, reason: str) -> None:
        """One phrase is not understood; those behind it are."""
        self.begin_doubt(phrase.start, phrase.end, reason)
        self.end_doubt()

    def drop_heading(self) -> None:
        """The heading of a protocol ends."""
        if self.heading is not None and not self.heading.used:
            self.ledger.aside.append((self.heading_phrase.start, self.heading_phrase.end, _UNUSED))
            if self.heading.kinds != {"fixed"}:
                self.ledger.leave_open(self.keys)
        self.heading, self.heading_phrase = None, None
