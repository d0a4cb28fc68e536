"""The words of a record as people read them: a label of a few words, and the schema's own one-line definition."""

import csv
from collections.abc import Mapping
from functools import cache, lru_cache
from importlib.resources import files

from lidoff.record.schema import parts

VOCABULARY_PART = "vocabulary.schema.json"
CACHED = 4096  # more than all words of all vocabularies


@cache
def definitions() -> Mapping[str, Mapping[str, str]]:
    """The definition of every word, by vocabulary, in the schema's order."""
    vocabularies = parts()[VOCABULARY_PART]["$defs"]
    return {
        name: dict(zip(one["enum"], one["markdownEnumDescriptions"], strict=True)) for name, one in vocabularies.items()
    }


@cache
def labels() -> Mapping[tuple[str, str], str]:
    """The labels that are more than the word with spaces for its hyphens."""
    text = files("lidoff.pages").joinpath("labels.csv").read_text(encoding="utf-8")
    return {(row["vocabulary"], row["word"]): row["label"] for row in csv.DictReader(text.splitlines())}


@lru_cache(maxsize=CACHED)
def label(vocabulary: str, word: str) -> str:
    """A word as a heading, a cell or a piece of a sentence shows it."""
    return labels().get((vocabulary, word)) or word.replace("-", " ")


def definition(vocabulary: str, word: str) -> str:
    """The one-line definition of a word; empty where the vocabulary does not know it."""
    return definitions().get(vocabulary, {}).get(word, "")
