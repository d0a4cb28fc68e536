"""Drafts of the demo: order, length, words, honesty, and that two of them do not read the same."""

import re
from collections.abc import Callable
from itertools import combinations
from string import Formatter

import pytest

from lidoff.entry import Entry
from lidoff.narration.draft import LENGTHS_S, QUESTIONS, make_draft
from lidoff.narration.language import read_language
from lidoff.narration.line import Subject
from lidoff.narration.script import as_markdown
from lidoff.narration.shots import shots

MOST_ALIKE = 0.35
SPOKEN = ("60s", "3min", "8min")
FORBIDDEN = re.compile(
    r"\b(compl(y|ies)|safe|certified|excellent|great|amazing|impressive|premium|best-in-class|powerful|sleek|stunning"
    r"|wait (for )?\w+ (seconds?|minutes?))\b",
    re.IGNORECASE,
)


@pytest.fixture(scope="module")
def drafts(demo_entries: dict[str, Entry], subject: Callable[[str], Subject]) -> dict:
    return {length: {slug: make_draft(subject(slug), length) for slug in demo_entries} for length in SPOKEN}


@pytest.mark.parametrize("length", SPOKEN)
def test_two_drafts_do_not_read_the_same(drafts: dict, length: str) -> None:
    """Over all pairs of the demo: runs of five words that both have, of those of the shorter one, stay under 35 %."""
    runs = {}
    for slug, draft in drafts[length].items():
        words = re.findall(r"[\w'.-]+", draft.spoken.lower())
        runs[slug] = {tuple(words[place : place + 5]) for place in range(len(words) - 4)}
    alike = {
        (first, second): len(runs[first] & runs[second]) / min(len(runs[first]), len(runs[second]))
        for first, second in combinations(runs, 2)
    }
    pair = max(alike, key=alike.__getitem__)
    print(f"{length}: at most {alike[pair]:.1%} ({' and '.join(pair)}), mean {sum(alike.values()) / len(alike):.1%}")
    assert alike[pair] < MOST_ALIKE, pair


@pytest.mark.parametrize("length", SPOKEN)
def test_a_draft_keeps_its_time(drafts: dict, length: str) -> None:
    for slug, draft in drafts[length].items():
        assert draft.seconds() <= LENGTHS_S[length], slug
        if draft.left_out and length != "8min":
            assert draft.seconds() > 0.85 * LENGTHS_S[length], slug


def test_a_draft_is_the_same_every_time(subject: Callable[[str], Subject]) -> None:
    assert as_markdown(make_draft(subject("fernhollow/fh-65"))) == as_markdown(make_draft(subject("fernhollow/fh-65")))


def test_every_question_is_answered_in_the_order_asked_for(drafts: dict, subject: Callable[[str], Subject]) -> None:
    for slug, draft in drafts["3min"].items():
        assert list(dict.fromkeys(one.question for one in draft.sentences)) == list(QUESTIONS), slug
    order = ("sure", "made", "promises")
    turned = make_draft(subject("fernhollow/fh-65"), "3min", order)
    assert tuple(dict.fromkeys(one.question for one in turned.sentences)) == order


def test_no_draft_praises_promises_or_gives_a_time_to_wait(drafts: dict) -> None:
    for found in drafts.values():
        for slug, draft in found.items():
            text = draft.spoken.replace("not a compliance test", "").replace("no compliance test", "")
            assert not FORBIDDEN.search(text), (slug, FORBIDDEN.search(text))


def test_numbers_are_in_words(drafts: dict) -> None:
    """Only names of parts, ports, cores and standards have digits."""
    for slug, draft in drafts["3min"].items():
        for one in draft.sentences:
            assert not re.search(r"\d\s?(V|A|W|mm|g|%|volts?|amps?|watts?)\b", one.text), (slug, one.text)


def test_every_draft_speaks_the_caution_when_it_opens_the_unit(drafts: dict) -> None:
    for found in drafts.values():
        for slug, draft in found.items():
            made = [one.line.key for one in draft.sentences if one.question == "made"]
            assert made[0].startswith("made/caution"), slug


def test_spoken_values_are_those_of_the_record(drafts: dict) -> None:
    text = drafts["3min"]["fernhollow/fh-65"].spoken.lower()
    for said in (
        "sixty-five watts",  # rated_power_w: 65
        "twenty volts",  # label: 20 V
        "three point two five amps",  # label: 3.25 A
        "one hundred and twelve point three grams",  # mass_g: 112.3
        "three point nine six ounces",  # the same over 28.349523125 g
        "forty-one point five",  # body_mm: 41.5
        "one point six three",  # the same over 25.4
        "fifty-eight milliwatts",  # no_load: 0.058 W
    ):
        assert said in text, said


def test_a_shot_shows_what_the_sentence_speaks_of(drafts: dict) -> None:
    draft = drafts["8min"]["oxtermoor/ox-e30"]
    photos = {photo.file: {one.ref for one in photo.callouts} for photo in draft.entry.record.photos}
    found = shots(draft)
    assert [one.first for one in found] == sorted(one.first for one in found)
    assert sum(bool(one.callouts) for one in found) >= 5
    for shot in found:
        if shot.callouts and shot.picture in photos:
            assert set(shot.callouts) <= photos[shot.picture], shot
    assert all(earlier.start < later.start for earlier, later in zip(found, found[1:], strict=False))


def test_a_markdown_cell_cannot_break_the_table(subject: Callable[[str], Subject]) -> None:
    lines = as_markdown(make_draft(subject("oxtermoor/ox-e30"))).splitlines()
    rows = [line for line in lines if line.startswith("| ")]
    assert len({len(re.findall(r"(?<!\\)\|", row)) for row in rows}) == 1
    assert any("All data is invented" in line for line in lines)


def test_every_wording_of_a_sentence_has_what_was_measured() -> None:
    """Which wording is taken depends on the product's name; whether a value is told must not."""
    measured = {
        "power", "value", "density", "density_in", "energy", "clearance", "creepage", "total", "each", "surface", "air",
        "minutes", "until", "ripple", "points", "time", "reason", "ratio", "loss", "mass", "a", "a_in", "margin", "valley",
    }  # fmt: skip
    language = read_language()
    for key in sorted({key.rsplit("/", 1)[0] for key in language.texts if re.search(r"/\d+$", key)}):
        fields = [
            {name for _, name, _, _ in Formatter().parse(language.texts[one]) if name} for one in language.variants(key)
        ]
        lacking = (set.union(*fields) - set.intersection(*fields)) & measured
        assert not lacking, (key, lacking)


def test_every_sentence_plan_has_its_wordings() -> None:
    """Keys that the plans name in full; those put together at run time are covered by the drafts of the demo."""
    import ast
    from pathlib import Path

    import lidoff.narration.plans as plans

    language, found = read_language(), set()
    for path in Path(plans.__path__[0]).glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if (
                isinstance(node, ast.Call)
                and getattr(node.func, "id", "") == "Line"
                and isinstance(node.args[0], ast.Constant)
            ):
                found.add(node.args[0].value)
    assert len(found) > 50
    assert not [key for key in sorted(found) if not language.variants(key)]
