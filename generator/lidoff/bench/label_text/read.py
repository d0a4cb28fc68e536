"""A rating label's text -> what it says: one walk over its phrases, in which a doubt is never settled by a guess."""

from collections.abc import Callable, Iterable, Mapping

from lidoff.bench.label_text.grammar import phrases_of
from lidoff.bench.label_text.headings import known_names
from lidoff.bench.label_text.ledger import reading_of, settle
from lidoff.bench.label_text.on_headings import on_level, on_ports, on_protocol, on_section, port_names
from lidoff.bench.label_text.on_quantities import on_output, on_power, on_single
from lidoff.bench.label_text.on_text import take_text
from lidoff.bench.label_text.phrases import Level, Mark, Output, Ports, Power, Protocol, Section, Single, Text
from lidoff.bench.label_text.reading import LabelReading, nothing_understood
from lidoff.bench.label_text.spans import spans_of
from lidoff.bench.label_text.tokens import tokens_of
from lidoff.bench.label_text.walk import Walk

LONGEST_LABEL = 2000
"""The record's field for the printed text holds as much."""


def read_label(text: str, protocols: Iterable[str] = (), names: Iterable[str] = ()) -> LabelReading:
    """What a label says.

    ``protocols`` are names of proprietary protocols that may stand on it, ``names`` those of brands, makers and models:
    words that are neither are not understood where they stand beside an output.

    Examples
    --------
    >>> reading = read_label("INPUT 100-240V~ 50/60Hz 0,6A OUTPUT 5V⎓3A / 9V⎓2,22A")
    >>> reading.input.frequencies_hz, [(offer.voltage_v, offer.current_a) for offer in reading.ports[0].offers]
    ((50.0, 60.0), [(5.0, 3.0), (9.0, 2.22)])
    >>> [(span.text, span.reason) for span in read_label("5-20V 3A").not_understood]
    [('5-20V 3A', 'a range of voltages without its protocol, such as PPS or AVS')]
    """
    if len(text) > LONGEST_LABEL:
        return nothing_understood(text, f"a text of {len(text):,} characters; a label has up to {LONGEST_LABEL:,}")
    tokens = tokens_of(text)
    phrases = phrases_of(tokens, known_names(protocols), known_names(names))
    walk = Walk(tokens, phrases, port_names(phrases, tokens))
    while walk.at < len(phrases):
        phrase = phrases[walk.at]
        walk.at += 1
        _RULES[type(phrase)](walk, phrase)
        if not isinstance(phrase, Mark):
            walk.marks.clear()
    walk.end_doubt()
    walk.drop_heading()
    settle(walk.ledger, walk.names)
    return reading_of(walk.ledger, spans_of(walk.ledger, tokens, text))


def _on_mark(walk: Walk, phrase: Mark) -> None:
    walk.marks.add(phrase.sign)


_RULES: Mapping[type, Callable[[Walk, object], None]] = {
    Section: on_section, Ports: on_ports, Protocol: on_protocol, Level: on_level, Mark: _on_mark, Text: take_text,
    Output: on_output, Single: on_single, Power: on_power,
}  # fmt: skip
