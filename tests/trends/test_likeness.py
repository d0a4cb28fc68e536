"""Likeness of designs: the index against scipy, and the planted siblings of the demo."""

from dataclasses import replace
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from scipy.spatial.distance import jaccard

from lidoff.entry import Entry
from lidoff.figures.figure import Figures
from lidoff.record.gist import record_gist
from lidoff.record.load import load_file
from lidoff.trends import likeness as module
from lidoff.trends.likeness import COMPARABLE, Likeness, likeness, nearest_of_all, nearest_to, same_designs
from lidoff.trends.traits import Trait, traits

ROOT = Path(__file__).resolve().parents[2]
# what the demo was planned with: one design sold by two brands
PLANTED = {
    ("lanterby/lb-33-ii", "pinderby/pb-30"),
    ("ostermere/om-100", "tarnwick/tw-100"),
    ("ostermere/om-65", "tarnwick/tw-65"),
}


@pytest.fixture(scope="module")
def entries() -> tuple[Entry, ...]:
    files = sorted((ROOT / "entries").glob("*/*/record.yaml"))
    loaded = [(file, load_file(file, ROOT)) for file in files]
    return tuple(
        Entry(one.path, "/".join(file.parts[-3:-1]), one.record, Figures())
        for file, one in loaded
        if one.record is not None and one.status == "published"
    )


def some(*traits_: tuple[str, str, float]) -> tuple[Trait, ...]:
    return tuple(Trait("part", aspect, value, value, weight) for aspect, value, weight in traits_)


def test_the_index_is_that_of_scipy_with_weights(entries: tuple[Entry, ...]) -> None:
    found = {entry.slug: traits(entry.record) for entry in entries}
    compared = 0
    for one, other in combinations(sorted(found), 2):
        aspects = {trait.aspect for trait in found[one]} & {trait.aspect for trait in found[other]}
        mine, theirs = (
            {(trait.aspect, trait.value): trait.weight for trait in found[slug] if trait.aspect in aspects}
            for slug in (one, other)
        )
        keys = sorted({**theirs, **mine})
        weights = [{**theirs, **mine}[key] for key in keys]
        if sum(weights) < COMPARABLE:
            continue
        expected = 1 - jaccard([key in mine for key in keys], [key in theirs for key in keys], weights)
        index, shared = likeness(found[one], found[other])
        assert index == pytest.approx(expected, abs=1e-12)
        assert sum(trait.weight for trait in shared) == pytest.approx(index * np.sum(weights))
        compared += 1
    assert compared > 500


def test_the_planted_siblings_are_found_and_no_strangers(entries: tuple[Entry, ...]) -> None:
    groups = same_designs(nearest_of_all(entries))
    found = {pair for group in groups for pair in combinations(group, 2)}
    precision, recall = len(found & PLANTED) / len(found), len(found & PLANTED) / len(PLANTED)
    assert (precision, recall) == (1.0, 1.0), "3 of 3 pairs, none besides, among 630"


def test_a_design_is_as_like_to_another_as_that_to_it(entries: tuple[Entry, ...]) -> None:
    nearest = nearest_of_all(entries)
    pairs = {(slug, other.slug): other.index for slug, others in nearest.items() for other in others}
    both = [(pair, index) for pair, index in pairs.items() if pair[::-1] in pairs]
    assert len(both) > 20 and all(pairs[pair[::-1]] == pytest.approx(index) for pair, index in both)
    assert all(
        len(others) <= 5 and list(others) == sorted(others, key=lambda one: -one.index) for others in nearest.values()
    )


def test_nothing_is_said_of_records_that_speak_of_little() -> None:
    assert likeness(some(("a", "x", 3)), some(("a", "x", 3))) == (0.0, ())
    index, shared = likeness(some(("a", "x", 3), ("b", "y", 3)), some(("a", "x", 3), ("b", "y", 3)))
    assert index == 1.0 and [trait.value for trait in shared] == ["x", "y"]


def test_what_only_one_record_speaks_of_counts_for_neither() -> None:
    index, _ = likeness(some(("a", "x", 4), ("b", "y", 4), ("c", "z", 9)), some(("a", "x", 4), ("b", "q", 4)))
    assert index == pytest.approx(4 / 12)


def test_a_guess_is_no_trait(entries: tuple[Entry, ...]) -> None:
    entry = next(one for one in entries if any(part.part_number for part in one.record.components))
    part = next(part for part in entry.record.components if part.part_number and part.strength != "guess")
    guessed = replace(entry.record, components=(replace(part, strength="guess"),))
    assert [trait for trait in traits(guessed) if trait.kind == "part"] == []


def test_groups_are_chains_of_likeness() -> None:
    def like(slug: str, index: float) -> Likeness:
        return Likeness(slug, index, (), ())

    nearest = {"a": (like("b", 0.7),), "b": (like("a", 0.7), like("c", 0.65)), "c": (), "d": (like("a", 0.5),)}
    assert same_designs(nearest) == (("a", "b", "c"),)


def test_parts_that_everybody_uses_bring_no_candidates(
    entries: tuple[Entry, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    many = [replace(entry, slug=f"{entry.slug}-{number}") for number in range(12) for entry in entries]
    calls = 0
    real = module._index

    def counting(one: object, other: object) -> float:
        nonlocal calls
        calls += 1
        return real(one, other)

    monkeypatch.setattr(module, "_index", counting)
    nearest_of_all(many)
    assert 0 < calls <= 20 * len(many), "the work grows with the products, not with their pairs"


def test_one_product_alone_has_the_same_nearest(entries: tuple[Entry, ...]) -> None:
    found = {entry.slug: traits(entry.record) for entry in entries}
    for slug, nearest in nearest_of_all(entries).items():
        assert nearest_to(slug, found) == nearest


def test_the_gist_of_a_record_has_the_same_traits() -> None:
    compared = 0
    for file in sorted((ROOT / "entries").glob("*/*/record.yaml")):
        loaded = load_file(file, ROOT)
        if loaded.record is not None:
            assert traits(record_gist(loaded.data)) == traits(loaded.record)
            compared += 1
    assert compared > 30
