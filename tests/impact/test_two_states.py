"""Table cells that move: what is made of both states' common rows is what comes out when both are made whole."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

import pandas as pd
import pytest

from lidoff.entry import Entry
from lidoff.figures.figure import Figures
from lidoff.impact.cells import moved_cells
from lidoff.pipeline import examine_all
from lidoff.settings import Settings, read_settings
from lidoff.trends.frames import make_frames
from lidoff.trends.two_states import KINDS, frames_before, is_whole, only_shared

CONFIG = Path(__file__).resolve().parents[2] / "mkdocs.yml"
Edit = Callable[[Entry, Sequence[Entry]], Entry | None]


def with_product(entry: Entry, **fields: object) -> Entry:
    return replace(entry, record=replace(entry.record, product=replace(entry.record.product, **fields)))


EDITS: dict[str, Edit] = {
    "taken out": lambda entry, others: None,
    "another year": lambda entry, others: with_product(entry, launched=2001),
    "joined to another design": lambda entry, others: with_product(entry, revision_of=others[0].slug),
    "a part less": lambda entry, others: replace(
        entry, record=replace(entry.record, components=entry.record.components[1:])
    ),
    "fewer figures": lambda entry, others: replace(entry, figures=Figures(entry.figures.items[5:])),
    "other words": lambda entry, others: replace(entry, record=replace(entry.record, summary="Other words.")),
}


@pytest.fixture(scope="module")
def settings() -> Settings:
    return read_settings(CONFIG)


@pytest.fixture(scope="module")
def published(settings: Settings) -> tuple[Entry, ...]:
    return tuple(entry for entry in examine_all(settings).entries if not entry.is_draft)


@pytest.mark.parametrize("name", EDITS)
@pytest.mark.parametrize("is_undone", [False, True])
def test_rows_taken_over_make_the_same_frames(
    name: str, is_undone: bool, published: tuple[Entry, ...], settings: Settings
) -> None:
    before, after = _states(name, is_undone, published)
    found = frames_before(before, after, make_frames(after, settings.tiers_w))
    wanted = make_frames(before, settings.tiers_w)
    for kind in KINDS:
        pd.testing.assert_frame_equal(getattr(found, kind), getattr(wanted, kind))


@pytest.mark.parametrize("name", ["another year", "a part less", "other words"])
def test_tables_that_are_left_out_do_not_move(
    name: str, published: tuple[Entry, ...], settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    before, after = _states(name, False, published)
    found = moved_cells(before, after, settings)
    monkeypatch.setattr("lidoff.impact.cells._stays", lambda definition, shared: False)
    monkeypatch.setattr("lidoff.impact.cells.is_whole", lambda shared, later: False)
    assert found == moved_cells(before, after, settings)
    assert bool(found) == (name == "another year")


def test_a_column_that_differs_is_not_among_the_shared_ones(published: tuple[Entry, ...], settings: Settings) -> None:
    before, after = _states("another year", False, published)
    later = make_frames(after, settings.tiers_w)
    shared = only_shared(frames_before(before, after, later), later)
    assert set(later.products) - set(shared.products) == {"year"} and not is_whole(shared, later)
    assert is_whole(only_shared(later, later), later)


def _states(name: str, is_undone: bool, published: tuple[Entry, ...]) -> tuple[tuple[Entry, ...], tuple[Entry, ...]]:
    entry, others = published[7], (*published[:7], *published[8:])
    edited = EDITS[name](entry, others)
    after = others if edited is None else (*others, edited)
    return (after, published) if is_undone else (published, after)
