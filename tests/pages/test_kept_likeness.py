"""What an earlier build found alike is taken again only where every design is as it was."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from lidoff.entry import Entry
from lidoff.pages import kinship
from lidoff.pages.kinship import Kinship
from lidoff.pages.of_entries import OfEntries

SIBLING = """
schema: 1
demo: true
status: published
product: {brand: Wexmoor, model: %s, kind: wall-charger}
teardown: {date: 2026-03-09}
ports: [{id: C1, connector: usb-c}]
label: {manufacturer: Pell Lane}
boards: [{id: main, role: main, silkscreen: PL-65 V2}]
components:
  - {ref: Q1, roles: [primary-switch], maker: Quillstone, part_number: QS1, identified_by: printed-code, strength: likely}
  - {ref: U1, roles: [primary-controller], maker: Quillstone, part_number: QC2, identified_by: printed-code, strength: likely}
"""


@pytest.fixture
def by_slug(make_entry: Callable[..., Entry]) -> dict[str, Entry]:
    return {f"wexmoor/{name}": make_entry(SIBLING % name, f"wexmoor/{name}") for name in ("a", "b", "c")}


@pytest.fixture
def counted(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """How many products were compared at each time that any were."""
    calls, compare = [], kinship.nearest_of_all

    def compared(entries: object) -> object:
        found = list(entries)
        calls.append(len(found))
        return compare(found)

    monkeypatch.setattr(kinship, "nearest_of_all", compared)
    return calls


def test_designs_that_are_as_they_were_are_not_compared_again(
    tmp_path: Path, by_slug: dict[str, Entry], counted: list[int]
) -> None:
    first = Kinship(by_slug, tmp_path, OfEntries()).nearest
    assert counted == [3] and [one.slug for one in first["wexmoor/a"]] == ["wexmoor/b", "wexmoor/c"]
    one = by_slug["wexmoor/a"]
    retold = by_slug | {"wexmoor/a": replace(one, record=replace(one.record, summary="Told anew."))}
    assert Kinship(retold, tmp_path, OfEntries()).nearest == first and counted == [3]


def test_another_design_or_one_less_is_noticed(tmp_path: Path, by_slug: dict[str, Entry], counted: list[int]) -> None:
    Kinship(by_slug, tmp_path, OfEntries()).nearest  # noqa: B018 - it is kept now
    one = by_slug["wexmoor/a"]
    other = by_slug | {"wexmoor/a": replace(one, record=replace(one.record, boards=(), label=None))}
    assert [two.slug for two in Kinship(other, tmp_path, OfEntries()).nearest["wexmoor/b"]] == ["wexmoor/c"]
    fewer = {slug: entry for slug, entry in by_slug.items() if slug != "wexmoor/c"}
    assert [two.slug for two in Kinship(fewer, tmp_path, OfEntries()).nearest["wexmoor/a"]] == ["wexmoor/b"]
    assert counted == [3, 3, 2]


def test_what_is_damaged_is_found_again(tmp_path: Path, by_slug: dict[str, Entry], counted: list[int]) -> None:
    first = Kinship(by_slug, tmp_path, OfEntries()).nearest
    (kept,) = (tmp_path / kinship.FOLDER).iterdir()
    kept.write_bytes(kept.read_bytes()[:-1])
    assert Kinship(by_slug, tmp_path, OfEntries()).nearest == first and counted == [3, 3]
