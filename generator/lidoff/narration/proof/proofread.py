"""The whole second look: every disagreement of a text with the record, in order."""

from collections.abc import Sequence

from lidoff.entry import Entry
from lidoff.narration.proof.claims import claim_faults
from lidoff.narration.proof.counts import count_faults, year_faults
from lidoff.narration.proof.facts import facts_of, pairs_of
from lidoff.narration.proof.judge import Judge
from lidoff.narration.proof.names import Names
from lidoff.narration.proof.passage import Disagreement, place_of, sentences
from lidoff.narration.proof.words import word_faults


def proofread(text: str, entry: Entry, entries: Sequence[Entry], tiers_w: Sequence[float]) -> tuple[Disagreement, ...]:
    """What disagrees, each place once."""
    published = [one for one in entries if not one.is_draft or one.slug == entry.slug]
    judge, names = Judge(entry, facts_of(entry, tiers_w), pairs_of(entry)), Names(entry, published)
    years = frozenset(one.year for one in published if one.year and one.slug != entry.slug and one.title in text)
    found: list[Disagreement] = []
    for sentence in sentences(text):
        found += judge.sentence(sentence)
        found += count_faults(entry, sentence)
        found += year_faults(entry, sentence, years)
        found += names.sentence(sentence)
        found += claim_faults(entry, published, tiers_w, sentence)
        found += word_faults(entry.record, sentence)
    by_place: dict[tuple[int, int], Disagreement] = {}
    for one in sorted(found, key=lambda one: (one.start, one.end)):
        by_place.setdefault((one.start, one.end), one)
    return tuple(by_place.values())


def as_text(text: str, path: str, found: Sequence[Disagreement]) -> str:
    """For people: place, what was found and what the record says."""
    blocks = []
    for one in found:
        line, column = place_of(text, one.start)
        head = f"{path}:{line}:{column}: {one.kind}"
        blocks.append(
            f"{head}\n  found     {one.found}\n  expected  {one.says}\n  fix       correct the text, or the record\n"
        )
    return "\n".join(blocks)


def as_data(text: str, path: str, found: Sequence[Disagreement]) -> list[dict[str, object]]:
    """For programs."""
    return [
        {
            "path": path,
            "line": place_of(text, one.start)[0],
            "column": place_of(text, one.start)[1],
            "kind": one.kind,
            "found": one.found,
            "record": one.says,
        }
        for one in found
    ]
