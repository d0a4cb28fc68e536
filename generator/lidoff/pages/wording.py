"""Pieces of sentences: lists, counts, capitals."""

from collections.abc import Iterable
from functools import cache


def listed(items: Iterable[str], last: str = "and") -> str:
    """Items as a list in a sentence.

    Examples
    --------
    >>> listed(["C1"]), listed(["C1", "C2"]), listed(["C1", "C2", "A1"], "or")
    ('C1', 'C1 and C2', 'C1, C2 or A1')
    """
    *first, final = list(items) or [""]
    return f"{', '.join(first)} {last} {final}" if first else final


def counted(number: int, one: str, many: str = "") -> str:
    """A number with its noun.

    Examples
    --------
    >>> counted(1, "product"), counted(0, "product"), counted(2, "entry", "entries")
    ('1 product', 'no products', '2 entries')
    """
    noun = one if number == 1 else many or f"{one}s"
    return f"{number if number else 'no'} {noun}"


def capital(text: str) -> str:
    """The text with its first letter as a capital; the rest stays as it is."""
    return text[:1].upper() + text[1:]


@cache
def assumption_name(id: str) -> str:
    """An assumption's id as words, without the unit at its end.

    Examples
    --------
    >>> assumption_name("bridge_drop_v"), assumption_name("converter_efficiency")
    ('bridge drop', 'converter efficiency')
    """
    words = id.split("_")
    return " ".join(words[:-1] if words[-1] in ("v", "hz", "pct") else words)


def sentence(text: str) -> str:
    """The text as a sentence: capital first, full stop last."""
    text = capital(text.strip())
    return text if not text or text[-1] in ".!?:…" else f"{text}."
