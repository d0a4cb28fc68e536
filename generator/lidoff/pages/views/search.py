"""The text search: a short text for each product, and what can be filtered by."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.pages.context import Context
from lidoff.pages.views.head import one_line
from lidoff.pages.views.listing import technology_text, topology_text
from lidoff.pages.wording import capital
from lidoff.rows.tiers import tier_word
from lidoff.website import SearchText

FILTERED = (("tier", "Power tier"), ("technology", "Primary switch"), ("topology", "Conversion"), ("year", "Year"))


@dataclass(frozen=True, slots=True)
class Choice:
    """One thing to filter by: its key, its label, the words that occur."""

    key: str
    label: str
    options: tuple[str, ...]


def search_text(entry: Entry, context: Context) -> SearchText:
    """What is searched of a product: its names and summary, how it converts, its parts and their makers."""
    record, words = entry.sketch, filter_words(entry, context)
    parts = (piece for part in record.components for piece in (part.maker, part.part_number) if piece)
    pieces = (record.summary, words["topology"], words["technology"], *dict.fromkeys(parts))
    return SearchText(
        address=f"/{addresses.product(entry.slug)}",
        title=entry.title,
        line=one_line(entry),
        text=". ".join(piece.rstrip(".") for piece in pieces if piece),
        filters={key: word for key, word in words.items() if word},
    )


def filter_words(entry: Entry, context: Context) -> dict[str, str]:
    """The words of a product by the key of the filter; they read as in the index of products."""
    return {
        "tier": tier_word(context.tier_of(entry).name),
        "technology": technology_text(entry.sketch),
        "topology": capital(topology_text(entry.sketch)),
        "year": str(entry.year or ""),
    }


def search_choices(context: Context) -> Iterator[Choice]:
    """The filters that leave a choice: tiers by power, years from the newest, all else by alphabet."""
    words = [filter_words(entry, context) for entry in context.entries]
    for key, label in FILTERED:
        found = {one[key] for one in words} - {""}
        if len(found) > 1:
            yield Choice(key, label, tuple(_ordered(key, found, context)))


def _ordered(key: str, found: set[str], context: Context) -> Iterable[str]:
    if key == "tier":
        return (word for tier in context.tiers.values() if (word := tier_word(tier.name)) in found)
    return sorted(found, reverse=key == "year")
