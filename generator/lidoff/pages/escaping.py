"""Texts for HTML, through the function that the templates escape with."""

from collections.abc import Sequence
from functools import lru_cache

from markupsafe import escape

CACHED = 20_000  # texts: the same words stand on all pages
BETWEEN = "\0"  # no text of a record holds it


@lru_cache(maxsize=CACHED)
def escaped(text: str) -> str:
    """Text for HTML, in an element or in a quoted attribute."""
    return str(escape(text))


def all_escaped(texts: Sequence[str]) -> Sequence[str]:
    """Each of many texts for HTML. They pass in one call: a call for each would take most of the time."""
    found = str(escape(BETWEEN.join(texts))).split(BETWEEN)
    return found if len(found) == len(texts) else [str(escape(text)) for text in texts]
