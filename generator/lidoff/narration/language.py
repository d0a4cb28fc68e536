"""The sentences and words of a language, from a message catalogue beside this module; a new one needs no code."""

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files

from babel import Locale
from babel.messages.pofile import read_po

from lidoff.pages.vocabulary import label

FOLDER = "messages"
DEFAULT = "en"


class UnknownLanguage(Exception):
    """No catalogue of that name; the text says which there are."""


class MissingMessage(Exception):
    """A catalogue lacks a message; the text says which."""


@dataclass(frozen=True, slots=True)
class Language:
    """One catalogue. ``locale`` is Babel's, for numbers, units and plural forms."""

    name: str
    locale: Locale
    texts: Mapping[str, str]

    def text(self, key: str, **values: str) -> str:
        """One message with its values set in."""
        if key not in self.texts:
            raise MissingMessage(
                f"found     no message {key} in the catalogue {self.name}.po\nfix       translate it there"
            )
        return self.texts[key].format(**values)

    def variants(self, key: str) -> tuple[str, ...]:
        """The keys of all wordings of one sentence, numbered from 1."""
        found = []
        while f"{key}/{len(found) + 1}" in self.texts:
            found.append(f"{key}/{len(found) + 1}")
        return tuple(found)

    def sentence(self, key: str, salt: str, values: Mapping[str, str], turn: int = 0) -> str:
        """One wording of a sentence, always the same for the same ``salt``; each further ``turn`` takes the next."""
        found = self.variants(key)
        if not found:
            raise MissingMessage(
                f"found     no message {key}/1 in the catalogue {self.name}.po\nfix       translate it there"
            )
        digest = hashlib.sha256(f"{salt} {key}".encode()).digest()
        said = self.text(found[(int.from_bytes(digest[:4], "big") + turn) % len(found)], **values)
        return said[:1].upper() + said[1:]

    def word(self, vocabulary: str, word: str) -> str:
        """A word of the record as it is spoken: from the catalogue, else the label that the site shows."""
        return self.texts.get(f"word/{vocabulary}/{word}") or label(vocabulary, word)

    def listed(self, items: Iterable[str]) -> str:
        """Items as a list in a sentence."""
        *first, last = list(items) or [""]
        if not first:
            return last
        return self.text("list/last", before=self.text("list/comma").join(first), last=last)


def languages() -> tuple[str, ...]:
    """The names of all catalogues."""
    found = (one.name for one in files("lidoff.narration").joinpath(FOLDER).iterdir())
    return tuple(sorted(name.removesuffix(".po") for name in found if name.endswith(".po")))


@lru_cache(maxsize=8)
def read_language(name: str = DEFAULT) -> Language:
    """A catalogue by its name."""
    if name not in languages():
        raise UnknownLanguage(
            f"found     the language {name!r}\nexpected  one of {', '.join(languages())}\n"
            f"fix       name one of them, or add {name}.po beside them"
        )
    with files("lidoff.narration").joinpath(FOLDER, f"{name}.po").open("rb") as file:
        catalogue = read_po(file, abort_invalid=True)
    texts = {message.id: message.string for message in catalogue if message.id and message.string}
    return Language(name, catalogue.locale or Locale(name), texts)
