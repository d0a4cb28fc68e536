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
    """The views that were really drawn."""
    views: list[str] = []
    real = kept_charts.drawn

    def drawing(view: str) -> str:
        views.append(view)
        return real(view)

    monkeypatch.setattr(kept_charts, "drawn", drawing)
    return views


def test_the_same_chart_is_drawn_once(tmp_path: Path, entries: tuple[Entry, ...], drawn: list[str]) -> None:
    settings = Settings(tmp_path / "mkdocs.yml")
    first, again = (kept_chart(Trends(entries, settings), NAME, "../../", tmp_path) for _ in range(2))
    assert first is not None and first == again and "<svg" in first.svg
    assert len(drawn) == 1


def test_another_number_is_drawn_anew(tmp_path: Path, entries: tuple[Entry, ...], drawn: list[str]) -> None:
    settings = Settings(tmp_path / "mkdocs.yml")
    first = kept_chart(Trends(entries, settings), NAME, "../../", tmp_path)
    fewer = kept_chart(Trends(entries[1:], settings), NAME, "../../", tmp_path)
    others = kept_chart(Trends(entries, replace(settings, tiers_w=(50, 240))), NAME, "../../", tmp_path)
    assert len(drawn) == len({first.svg, fewer.svg, others.svg}) == 3


def test_at_another_place_the_same_drawing_has_its_own_links(
    tmp_path: Path, entries: tuple[Entry, ...], drawn: list[str]
) -> None:
    settings = Settings(tmp_path / "mkdocs.yml")
    near, deeper = (kept_chart(Trends(entries, settings), NAME, root, tmp_path) for root in ("../", "../../../"))
    assert len(drawn) == 1 and 'href="../tiers/' in near.svg
    assert deeper.svg == near.svg.replace('href="../tiers/', 'href="../../../tiers/')


def test_a_damaged_one_is_drawn_anew(tmp_path: Path, entries: tuple[Entry, ...], drawn: list[str]) -> None:
    settings = Settings(tmp_path / "mkdocs.yml")
    first = kept_chart(Trends(entries, settings), NAME, "../../", tmp_path)
    (file,) = (tmp_path / FOLDER).iterdir()
    file.write_bytes(file.read_bytes()[:-9] + b"<script>x")
    assert kept_chart(Trends(entries, settings), NAME, "../../", tmp_path) == first
    assert len(drawn) == 2


def test_a_table_without_a_chart_has_none(tmp_path: Path, entries: tuple[Entry, ...], drawn: list[str]) -> None:
    assert kept_chart(Trends(entries, Settings(tmp_path / "mkdocs.yml")), "controllers", "../../", tmp_path) is None
    assert drawn == []
