"""Parts that are looked through once for all checks give what each check finds on its own."""

from collections.abc import Sequence
from pathlib import Path

import msgspec
import pytest

from lidoff.checks import COLLECTION_CHECKS
from lidoff.checks.check import CollectionCheck, Gist, HeldFigures
from lidoff.checks.parts_in_use import Subjects, part_lines, shared_parts
from lidoff.record.gist import record_gist
from lidoff.record.load import load_file

ROOT = Path(__file__).parents[2]
NO_FIGURES = HeldFigures(())


def gist(slug: str, *parts: dict) -> Gist:
    product = {"brand": slug.partition("/")[0], "model": slug, "kind": "wall"}
    data = {
        "status": "published",
        "product": product,
        "components": [{"ref": "A", "roles": ["ic"], **part} for part in parts],
    }
    return Gist(f"entries/{slug}/record.yaml", slug, record_gist(msgspec.msgpack.encode(data)), NO_FIGURES)


def demo() -> list[Gist]:
    loaded = [load_file(path, ROOT) for path in sorted(ROOT.glob("entries/*/*/record.yaml"))]
    return [Gist(one.path, one.path, record_gist(one.data), NO_FIGURES) for one in loaded if one.data]


def odd_ones() -> list[Gist]:
    """One part in several spellings, sorts and ratings."""
    return [
        gist("a/1", {"maker": "Marrow Bay", "part_number": "QS-650", "roles": ["fuse"]}),
        gist("b/1", {"maker": "Marrow-Bay", "part_number": "QS 650", "ratings": {"voltage_v": 650}}),
        gist("c/1", {"maker": "Marrow Bay", "part_number": "QS 650", "ratings": {"voltage_v": 600.0}}),
        gist("d/1", {"maker": "Marrow Bay", "part_number": "QS-650", "roles": ["varistor"]}),
        gist("e/1", {"maker": "Marrow-Bay", "part_number": "QS-650"}, {"maker": "Marrow Bay", "part_number": "QS-650"}),
    ]


@pytest.mark.parametrize("check", COLLECTION_CHECKS, ids=lambda check: check.rule.id)
@pytest.mark.parametrize("gists", [demo, odd_ones])
def test_together_or_alone_is_the_same(check: CollectionCheck, gists: object) -> None:
    subjects: Sequence[Gist] = gists()
    assert list(check.run(Subjects(subjects))) == list(check.run(subjects))


def test_the_odd_ones_are_found_in_the_order_of_the_records() -> None:
    by_rule = {check.rule.id: check for check in COLLECTION_CHECKS}
    found = [
        (path, notice.field, notice.expected)
        for path, notice in by_rule["near-identical-names"].run(Subjects(odd_ones()))
        if notice.found.startswith("part number")
    ]
    expected = "QS-650, used 4 times, as in a/1"
    assert found == [(f"entries/{slug}/1/record.yaml", "components[0].part_number", expected) for slug in ("b", "c")]
    assert [path for path, _ in by_rule["part-role-conflict"].run(odd_ones())] == ["entries/d/1/record.yaml"]


def test_a_part_is_shared_only_where_its_lines_differ_and_are_no_guess() -> None:
    line = {"maker": "M", "part_number": "1"}
    same = [gist("a/1", line), gist("b/1", line)]
    assert len(part_lines(same)[("M", "1")]) == 2
    assert list(shared_parts(same, lambda part: part.package)) == []
    differing = [*same, gist("c/1", line | {"package": "DIP-8"})]
    ((key, uses),) = shared_parts(differing, lambda part: part.package)
    assert key == ("M", "1") and [use.subject.slug for use in uses] == ["a/1", "b/1", "c/1"]
    guessed = [*same, gist("c/1", line | {"package": "DIP-8", "strength": "guess"})]
    assert list(shared_parts(guessed, lambda part: part.package)) == []


def test_equal_ratings_written_in_another_way_are_no_contradiction() -> None:
    by_rule = {check.rule.id: check for check in COLLECTION_CHECKS}
    line = {"maker": "M", "part_number": "1"}
    one = gist("a/1", line | {"ratings": {"voltage_v": 650, "current_a": 2}})
    other = gist("b/1", line | {"ratings": {"current_a": 2.0, "voltage_v": 650.0}})
    assert one.record.components[0].ratings == other.record.components[0].ratings is not None
    assert list(by_rule["rating-contradiction"].run([one, other])) == []
    assert gist("a/1", line).record.components[0].ratings is None
