"""Charts are taken from earlier builds where nothing that they draw has changed, and only there."""

from dataclasses import replace
from pathlib import Path

import pytest

from lidoff.entry import Entry
from lidoff.pages import kept_charts
from lidoff.pages.kept_charts import FOLDER, kept_chart
from lidoff.pages.trend_tables import Trends
from lidoff.settings import Settings

NAME = "technology-by-tier"


@pytest.fixture
def drawn(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the charts that were really drawn."""
    names: list[str] = []
    real = kept_charts.draw_chart

    def drawing(frames: object, table: object, link: object) -> object:
        names.append(table.name)
        return real(frames, table, link)

    monkeypatch.setattr(kept_charts, "draw_chart", drawing)
    return names


def test_the_same_chart_is_drawn_once(tmp_path: Path, entries: tuple[Entry, ...], drawn: list[str]) -> None:
    settings = Settings(tmp_path / "mkdocs.yml")
    first, again = (kept_chart(Trends(entries, settings), NAME, "../../", tmp_path) for _ in range(2))
    assert first is not None and first == again and "<svg" in first.svg
    assert drawn == [NAME]


def test_another_number_or_place_is_drawn_anew(tmp_path: Path, entries: tuple[Entry, ...], drawn: list[str]) -> None:
    settings = Settings(tmp_path / "mkdocs.yml")
    kept_chart(Trends(entries, settings), NAME, "../../", tmp_path)
    kept_chart(Trends(entries, settings), NAME, "../../../", tmp_path)
    kept_chart(Trends(entries[1:], settings), NAME, "../../", tmp_path)
    kept_chart(Trends(entries, replace(settings, tiers_w=(50, 240))), NAME, "../../", tmp_path)
    assert drawn == [NAME] * 4


def test_a_damaged_one_is_drawn_anew(tmp_path: Path, entries: tuple[Entry, ...], drawn: list[str]) -> None:
    settings = Settings(tmp_path / "mkdocs.yml")
    first = kept_chart(Trends(entries, settings), NAME, "../../", tmp_path)
    (file,) = (tmp_path / FOLDER).iterdir()
    file.write_bytes(file.read_bytes()[:-9] + b"<script>x")
    assert kept_chart(Trends(entries, settings), NAME, "../../", tmp_path) == first
    assert drawn == [NAME] * 2


def test_a_table_without_a_chart_has_none(tmp_path: Path, entries: tuple[Entry, ...], drawn: list[str]) -> None:
    assert kept_chart(Trends(entries, Settings(tmp_path / "mkdocs.yml")), "controllers", "../../", tmp_path) is None
    assert drawn == []
