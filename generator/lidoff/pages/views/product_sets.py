"""What products can be filtered by that is in no column of their list: for each word, the places of its products."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from sys import intern

from lidoff.entry import Entry
from lidoff.pages.context import Context
from lidoff.pages.vocabulary import definitions, label
from lidoff.record.model.component import Component
from lidoff.record.sketch import PartSketch
from lidoff.rows.positions import PRIMARY_SWITCH, parts_in

# the least sure comes first: a product with several primary switches is as sure as the least sure of them
STRENGTHS = ("not identified", "claimed by the brand", "guess", "likely", "certain")


@dataclass(frozen=True, slots=True)
class SetKind:
    """One thing to filter by: a key for addresses and files, a label, and the words of a product."""

    key: str
    label: str
    words: Callable[[Entry], Iterable[str]]
    order: tuple[str, ...] = ()


def protocols(entry: Entry) -> Iterable[str]:
    """The protocols seen at any port."""
    for port in entry.sketch.ports:
        yield from (readable("protocol", word) for word in (*(port.protocols or ()), *port.other_protocols))


def makers(entry: Entry) -> Iterable[str]:
    """The makers of any of its parts, as the record names them."""
    return (part.maker for part in entry.sketch.components if part.maker)


def switch_strength(entry: Entry) -> Iterable[str]:
    """How sure the identification of the primary switch is; nothing where none is listed or nothing is said."""
    said = {_strength(part) for part in parts_in(entry.sketch, PRIMARY_SWITCH.roles)}
    return [word for word in STRENGTHS if word in said][:1]


def _strength(part: Component | PartSketch) -> str:
    if part.identified_by == "unidentified":
        return STRENGTHS[0]
    return STRENGTHS[1] if part.identified_by == "brand-claim" else part.strength or ""


def sources(entry: Entry) -> Iterable[str]:
    """Where its samples came from."""
    return (readable("sample_source", sample.source) for sample in entry.sketch.samples)


def distinct(words: Iterable[str]) -> tuple[str, ...]:
    """Each word once; thousands of products have the same ones, which are held once."""
    return tuple(map(intern, dict.fromkeys(words)))


def readable(vocabulary: str, word: str) -> str:
    """A word of the vocabulary as people read it; any other name as it is written."""
    return label(vocabulary, word) if word in definitions()[vocabulary] else word


KINDS = (
    SetKind("protocol", "Protocol seen", protocols),
    SetKind("maker", "Maker of a part", makers),
    SetKind("strength", "Switch identification", switch_strength, STRENGTHS[::-1]),
    SetKind("source", "Sample from", sources),
)


def places(kind: SetKind, context: Context) -> Mapping[str, list[int]]:
    """The places in the list of all products by word, the words in their order."""
    found: dict[str, list[int]] = {}
    for place, entry in enumerate(context.entries):
        for word in context.known.of(entry, f"words of {kind.key}", lambda one: distinct(kind.words(one))):
            found.setdefault(word, []).append(place)
    by_alphabet = sorted(found, key=lambda word: (word.casefold(), word))
    return {word: found[word] for word in (kind.order or by_alphabet) if word in found}
