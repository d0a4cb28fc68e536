"""Texts held once for many products: which object holds them changes, what they say does not."""

from pathlib import Path

from lidoff.record.load import load_file
from lidoff.record.sketch import sketch_of
from lidoff.trends.shared_texts import SharedTexts

RECORD = next((Path(__file__).parents[2] / "entries").glob("*/*/record.yaml"))


def test_two_readings_of_the_parts_share_their_texts_and_stay_as_they_were() -> None:
    data = load_file(RECORD, RECORD.parents[3]).data
    first, second, third = (sketch_of(data).components for _ in range(3))
    shared = SharedTexts()
    for part in (*first, *second):
        shared.part(part)
    assert first == second == third
    for one, other in zip(first, second, strict=True):
        for name in ("ref", "roles", "maker", "part_number", "technology", "package"):
            assert getattr(one, name) is getattr(other, name)


def test_numbers_stay_what_they_are() -> None:
    row = SharedTexts().row
    (one, two, three), again = row((1, 1.0, True)), row(("a", ("b", "c"), None))
    assert (type(one), type(two), type(three)) == (int, float, bool)
    assert again == ("a", ("b", "c"), None)


def test_rows_share_their_texts() -> None:
    row = SharedTexts().row
    first, second = row(("".join(["vo", "lt"]), 2.0)), row(("".join(["v", "olt"]), 2.0))
    assert first == second and first[0] is second[0]
