"""What happens in a walk at words that are no part of a label's own language: aside, or not understood."""

from lidoff.bench.label_text.phrases import Output, Phrase, Ports, Power, Protocol, Single, Text
from lidoff.bench.label_text.walk import BRACKETS, Walk
from lidoff.bench.label_text.words import SINGLE

_OTHER = "says nothing of input or outputs"
_UNKNOWN = "words that are no port and no known protocol; they may change what the output is"
_HEADING = "outputs below words that are no port and no known protocol"
_NUMBER_OF_PORTS = "words before a port that may say that there are several, or another"
_ENDS_SENTENCE = frozenset((".", ";", "|", "·"))
_MATTERS_BEHIND = frozenset(("output", "limit", "input", "doubt", "section", "heading", "ports"))


def take_text(walk: Walk, phrase: Text) -> None:
    """Put words aside where they can't bear on an input or output; else they are not understood."""
    is_own_line = walk.begins_line(phrase) and (walk.at == len(walk.phrases) or walk.begins_line(walk.phrases[walk.at]))
    led = _led(walk, phrase)
    if walk.doubt is not None and not is_own_line and (led is not None or not phrase.general):
        walk.extend_doubt(phrase)
        return
    walk.end_doubt()
    if phrase.suspect:
        walk.leave_open(phrase, phrase.suspect)
    elif led is not None:
        _doubt_led(walk, phrase)
    elif (port := _port_behind(walk, phrase)) is not None:
        walk.at += 1
        walk.begin_doubt(phrase.start, port.end, _NUMBER_OF_PORTS)
    elif phrase.general or is_own_line or walk.last not in _MATTERS_BEHIND or _is_ended(walk, phrase):
        walk.ledger.aside.append((phrase.start, phrase.end, _OTHER))
        walk.last = "aside"
    else:
        start = _start_with_output(walk, phrase)
        walk.begin_doubt(start, phrase.end, _UNKNOWN)
        walk.end_doubt()


def _led(walk: Walk, phrase: Text) -> Phrase | None:
    """What the words stand over or before, if it is an output, a power or a current that they could change."""
    passed = (Protocol, Text) if phrase.is_port else (Protocol,)
    following = walk.ahead() if phrase.colon else walk.adjacent(*passed)
    if phrase.colon and isinstance(following, Protocol):
        following = walk.adjacent(Protocol)
    if isinstance(following, Power) and "total" in following.lead:
        return None
    if isinstance(following, Output) and following.voltage.alternating and not phrase.colon:
        return None
    return following if isinstance(following, (Output, Power, Single)) else None


def _port_behind(walk: Walk, phrase: Text) -> Ports | None:
    """The port whose name follows at once, such as USB-A after dual; words that only say single change nothing."""
    following = walk.phrases[walk.at] if walk.at < len(walk.phrases) else None
    if not isinstance(following, Ports) or following.is_combination or walk.begins_line(following):
        return None
    is_single = all(token.text in SINGLE for token in walk.tokens[phrase.start : phrase.end])
    return (
        None if phrase.general or phrase.is_port or is_single or not walk.heads(following, walk.at + 1) else following
    )


def _doubt_led(walk: Walk, phrase: Text) -> None:
    """Words before an output: it may be of another port or protocol, and so may those behind it."""
    start = phrase.start if phrase.colon else _start_with_output(walk, phrase)
    walk.begin_doubt(start, phrase.end, _HEADING if phrase.colon else _UNKNOWN)


def _start_with_output(walk: Walk, phrase: Text) -> int:
    """Where the stretch begins: with the output that stands right before the words, which is taken away."""
    if walk.last == "output" and walk.marks <= BRACKETS and not walk.begins_line(phrase):
        return walk.ledger.retract(walk.keys).start
    return phrase.start


def _is_ended(walk: Walk, phrase: Text) -> bool:
    """Whether what stood before was brought to an end."""
    return bool(walk.marks & _ENDS_SENTENCE) or (walk.begins_line(phrase) and walk.last != "doubt")
