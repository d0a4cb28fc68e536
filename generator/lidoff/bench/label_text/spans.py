"""Runs of tokens -> pieces of the original text."""

from collections.abc import Iterator, Sequence

from lidoff.bench.label_text.ledger import Ledger
from lidoff.bench.label_text.reading import Span
from lidoff.bench.label_text.tokens import Token

Run = tuple[int, int, str]

_CLOSING = {"(": ")", "[": "]"}


def spans_of(ledger: Ledger, tokens: Sequence[Token], text: str) -> dict[str, tuple[Span, ...]]:
    """The pieces put aside and those not understood, by their place; neighbours of one reason are one piece."""
    return {
        "left_aside": tuple(_span(run, tokens, text) for run in _merged(ledger.aside, tokens)),
        "not_understood": tuple(_span(run, tokens, text) for run in _merged(ledger.open, tokens)),
    }


def _merged(runs: Sequence[Run], tokens: Sequence[Token]) -> Iterator[Run]:
    """The runs in order; two of one reason with nothing but signs between them are one."""
    last: Run | None = None
    for run in sorted(runs):
        between = tokens[last[1] : run[0]] if last else ()
        if last is not None and run[2] == last[2] and all(token.kind == "sign" for token in between):
            last = (last[0], run[1], run[2])
            continue
        if last is not None:
            yield last
        last = run
    if last is not None:
        yield last


def _span(run: Run, tokens: Sequence[Token], text: str) -> Span:
    start, end, reason = run
    signs = [token.text for token in tokens[start:end]]
    for opening, closing in _CLOSING.items():
        # a bracket that is opened inside is closed inside
        if signs.count(opening) > signs.count(closing) and end < len(tokens) and tokens[end].text == closing:
            end += 1
    first, last = tokens[start].start, tokens[end - 1].end
    return Span(first, last, text[first:last], reason)
