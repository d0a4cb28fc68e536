"""The demo shows what a record can say: every section and list of the schema is used, and every kind of doubt."""

from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml

from lidoff.record.load import Loaded, load_file
from lidoff.record.model import Record
from lidoff.record.reference import fields, vocabularies
from lidoff.record.schema import Shape, record_shape

ROOT = Path(__file__).resolve().parents[2]
FILES = sorted((ROOT / "entries").glob("*/*/record.yaml"))

# what the demo need not show, each for a reason
NOT_SHOWN = {
    "measured.other_samples[].body_mm.with_prongs": "the plug in working position is measured of the first sample",
    **dict.fromkeys(
        (
            "photos[].scale.picture_px",
            "photos[].card",
            "photos[].card.corners",
            "photos[].card.picture_px",
            "boards[].in_photo",
            "boards[].in_photo.length",
            "boards[].in_photo.width",
        ),
        "sizes are taken from photographs of real things; the drawings of the demo are drawn to the sizes in their records",
    ),
}
# the words of a conclusion or of a doubt: every one of them stands somewhere in the demo, so that its page can be seen
ALL_WORDS_USED = (
    "status", "product_kind", "plug_mechanism", "protection_class", "coverage_boards", "coverage_parts",
    "coverage_label", "hidden_by", "offer_kind", "capability_message", "sharing_basis", "claim", "identified_by",
    "strength", "technology", "marking_state", "secondary", "potting_extent", "board_side", "winding_insulation",
)  # fmt: skip
WORDS_NOT_USED = {
    "primary": {"forward"}, "pfc": {"boost", "passive"}, "per_port": {"undetermined"}, "authenticity": {"imitation"},
}  # fmt: skip
VOCABULARIES_NOT_USED = {"picture_kind", "picture_subject", "package_family"}  # package_family gives the form of a text


@pytest.fixture(scope="module")
def uses() -> dict[str, set[str]]:
    """Every field that the demo uses, as the schema's reference writes it, with the words it has there."""
    found: dict[str, set[str]] = {}
    for file in FILES:
        for path, value in walked(yaml.load(file.read_text(encoding="utf-8"), yaml.BaseLoader), record_shape(), ""):
            found.setdefault(path, set()).add(value)
    return found


@pytest.fixture(scope="module")
def demo() -> tuple[Loaded, ...]:
    return tuple(load_file(file, ROOT) for file in FILES)


@pytest.fixture(scope="module")
def records(demo: tuple[Loaded, ...]) -> tuple[Record, ...]:
    return tuple(loaded.record for loaded in demo)


def walked(data: object, shape: Shape, path: str) -> Iterator[tuple[str, str]]:
    """Every field of a record with its text; a list or a mapping has none."""
    if isinstance(data, dict):
        yield path, ""
        for key, value in data.items():
            name = key if key in shape.keys else "*"
            yield from walked(value, shape.step(key), f"{path}.{name}" if path else name)
    elif isinstance(data, list):
        yield path, ""
        for item in data:
            if isinstance(item, dict | list):
                yield from walked(item, shape.items, f"{path}[]")
            else:
                yield path, item
    else:
        yield path, data


def words_used(uses: dict[str, set[str]], vocabulary: str) -> set[str]:
    return set().union(*(uses.get(field.path, set()) for field in fields() if field.vocabulary == vocabulary)) - {""}


def test_every_section_and_list_is_used(uses: dict[str, set[str]]) -> None:
    holding = {field.path for field in fields() if field.kind in ("list", "mapping")}
    assert len(holding) > 80 and set(NOT_SHOWN) <= holding
    assert {path for path in holding if path not in uses} - set(NOT_SHOWN) == set()


def test_most_fields_are_used(uses: dict[str, set[str]]) -> None:
    known = {field.path for field in fields() if not field.path.startswith("photos")}
    assert len(known & set(uses)) / len(known) > 0.8


@pytest.mark.parametrize("vocabulary", [one.name for one in vocabularies() if one.name not in VOCABULARIES_NOT_USED])
def test_every_vocabulary_is_used(uses: dict[str, set[str]], vocabulary: str) -> None:
    (known,) = ({word.word for word in one.words} for one in vocabularies() if one.name == vocabulary)
    used = words_used(uses, vocabulary)
    assert used and used <= known
    if vocabulary in ALL_WORDS_USED or vocabulary in WORDS_NOT_USED:
        assert known - used <= WORDS_NOT_USED.get(vocabulary, set())


def test_two_samples_disagree(records: tuple[Record, ...]) -> None:
    differing = [
        record for record in records
        for other in (record.measured.other_samples if record.measured else ())
        if other.mass_g and record.measured.mass_g and abs(other.mass_g - record.measured.mass_g) > 1
    ]  # fmt: skip
    assert differing
    assert any(part.other_samples for record in differing for part in record.components)


def test_a_marking_is_erased_and_a_guess_has_two_candidates(records: tuple[Record, ...]) -> None:
    parts = [part for record in records for part in record.components]
    assert any(part.marking and part.marking.state == "erased" for part in parts)
    doubted = [part for part in parts if part.strength == "guess" and len(part.candidates) >= 2]
    assert any(one.points_for and one.points_against for part in doubted for one in part.candidates)


def test_a_brand_claims_what_nobody_saw(records: tuple[Record, ...]) -> None:
    assert any(part.identified_by == "brand-claim" for record in records for part in record.components)
    evidence = [one for record in records if record.conversion for one in record.conversion.evidence]
    assert any(one.by == "circuit" for one in evidence)


def test_a_record_is_partial_and_one_is_a_draft(demo: tuple[Loaded, ...], records: tuple[Record, ...]) -> None:
    partial = [one for one in records if one.coverage and one.coverage.parts == "visible" and not one.magnetics]
    assert partial
    assert [loaded.status for loaded in demo].count("draft") >= 1


def test_all_demo_data_says_that_it_is_invented(records: tuple[Record, ...]) -> None:
    assert len(records) >= 36 and all(record.demo and record.source is None for record in records)
