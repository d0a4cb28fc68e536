"""Whatever a valid record holds, no check fails, and every notice is about a field that the schema knows.

Sound records are changed at random, change by change; one that makes the record invalid is taken back.
"""

import copy
import json
from pathlib import Path

import msgspec
import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from lidoff.checks import COLLECTION_CHECKS, RECORD_CHECKS
from lidoff.checks.check import HELD_FIGURES, Gist, HeldFigures, Notice, Subject
from lidoff.figures.assumptions import read_assumptions
from lidoff.figures.derive import derive
from lidoff.record.gist import record_gist
from lidoff.record.load import Loaded, load_text
from lidoff.record.paths import steps, written
from lidoff.record.schema import shape_at
from lidoff.settings import DEFAULT_TIERS_W

BASES = sorted((Path(__file__).parent / "bases").glob("*.yaml"))
ASSUMPTIONS = read_assumptions()
NUMBERS = st.sampled_from(
    [0, 0.001, 0.1, 1, 3, 4.99, 5, 9.5, 12, 20.04, 21, 33, 48, 60, 100, 240, 264, 400, 650, 1000, 2026, 20000]
)
WORDS = st.one_of(
    st.sampled_from(
        ["0x00000000", "0x0801912C", "0x0008C1F4", "0xC9A42164", "0xD230968C", "0xE4B0FA00", "0xF0000000", "0x80000000"]
    ),
    st.integers(0, 2**32 - 1).map(lambda word: f"0x{word:08X}"),
)
BYTES = st.one_of(
    st.binary(min_size=1, max_size=60).map(bytes.hex),
    st.sampled_from(
        ["4100bb6cbba8", "A151", "b1a104802c9101080000", "A1512C910108 2CD10200 2CB10400 45410600 4121A4C9 24587A03"]
    ),
)
TEXTS = st.sampled_from(["x", "?", "2R2", "104", "FH-65", "µ", "9999", "radial 5x11", "QFN-32 5x5", "0805"])


def plain(path: Path) -> dict:
    """A record as JSON has it: dates are text."""
    return json.loads(json.dumps(yaml.safe_load(path.read_text(encoding="utf-8")), default=str))


CONTENTS = [plain(path) for path in BASES]


def places(value: object, trail: tuple = ()) -> list[tuple]:
    """The trail of everything in nested data."""
    children = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [found for key, child in children for found in [(*trail, key), *places(child, (*trail, key))]]


def other_value(draw: st.DrawFn, trail: tuple, value: object) -> object:
    """Another value of the same kind, by what the schema says of the place."""
    shape = shape_at(written(trail))
    schema = shape.schema if shape else {}
    if "enum" in schema:
        return draw(st.sampled_from(schema["enum"]))
    if isinstance(value, bool):
        return not value
    if isinstance(value, int | float):
        return draw(st.one_of(NUMBERS, st.sampled_from([value * 0.5, value * 1.1, value * 10])))
    if isinstance(value, str):
        return draw({"words": WORDS, "bytes": BYTES}.get(trail[-1] if isinstance(trail[-1], str) else trail[-2], TEXTS))
    if isinstance(value, list) and value:
        return draw(st.sampled_from([value[1:], value[::-1], value + copy.deepcopy(value[-1:])]))
    return value


def changed(draw: st.DrawFn, content: dict) -> dict:
    """The content with one field gone or changed."""
    content = copy.deepcopy(content)
    *trail, last = draw(st.sampled_from(places(content)))
    holder = content
    for step in trail:
        holder = holder[step]
    if draw(st.integers(0, 3)) == 0:
        del holder[last]
    else:
        holder[last] = other_value(draw, (*trail, last), holder[last])
    return content


@st.composite
def subjects(draw: st.DrawFn) -> Subject:
    """A valid record after some changes, as a check sees it."""
    content = draw(st.sampled_from(CONTENTS))
    loaded = read(content)
    for _ in range(draw(st.integers(1, 8))):
        candidate = changed(draw, content)
        again = read(candidate)
        if again.record is not None:
            content, loaded = candidate, again
    figures = derive(loaded.record, ASSUMPTIONS)
    return Subject(loaded.path, "brand/model", loaded.record, figures, frozenset(), DEFAULT_TIERS_W)


def read(content: dict) -> Loaded:
    return load_text(json.dumps(content, ensure_ascii=False), "entries/brand/model/record.yaml")


def gist_of(subject: Subject) -> Gist:
    """A record as a check of the collection sees it."""
    held = HeldFigures(tuple(figure for figure in subject.figures if figure.id in HELD_FIGURES))
    record = record_gist(msgspec.msgpack.encode(subject.record))
    return Gist(subject.path, subject.slug, record, held, subject.tiers_w, subject.pictures)


def assert_well_formed(notice: Notice) -> None:
    for field in (notice.field, *(field for _, field in notice.related)):
        assert shape_at(field) is not None, field
        assert written(steps(field)) == field
    assert all(text and text == text.strip() for text in (notice.found, notice.expected, notice.fix))
    assert "None" not in notice.found + notice.expected + notice.fix


@pytest.mark.parametrize("path", BASES, ids=lambda path: path.stem)
def test_the_bases_are_valid(path: Path) -> None:
    assert read(plain(path)).record is not None


@settings(max_examples=80, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(subject=subjects())
def test_no_check_fails_on_a_valid_record(subject: Subject) -> None:
    for check in RECORD_CHECKS:
        for notice in check.run(subject):
            assert_well_formed(notice)


@settings(max_examples=20, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(some=st.lists(subjects(), min_size=1, max_size=4))
def test_no_check_of_the_collection_fails_on_valid_records(some: list[Subject]) -> None:
    for check in COLLECTION_CHECKS:
        for path, notice in check.run([gist_of(subject) for subject in some]):
            assert path
            assert_well_formed(notice)
