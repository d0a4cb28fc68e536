"""What is said: lines with what they rest on and what is to be seen meanwhile."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from lidoff.entry import Entry
from lidoff.narration.language import Language
from lidoff.narration.speech import Voice

# how soon a line is left out when time is short: the first ones never
MUST, SHOULD, MAY, DETAIL = 1, 2, 3, 4


@dataclass(frozen=True, slots=True)
class Line:
    """One sentence plan that applies: its message, its values in spoken words, and the parts or view it speaks of.

    ``view`` is a subject of pictures (body, label, board) or "card:" with the name of a card.
    """

    key: str
    level: int
    values: Mapping[str, str] = field(default_factory=dict)
    refs: tuple[str, ...] = ()
    view: str = ""


@dataclass(frozen=True, slots=True)
class Subject:
    """An entry among its fellows, and the voice that speaks of it."""

    entry: Entry
    fellows: tuple[Entry, ...]
    tiers_w: tuple[float, ...]
    voice: Voice

    @property
    def language(self) -> Language:
        """The language of the voice."""
        return self.voice.language
