"""Revisions of nothing, which concern the folders of other products too: impact says what both states as wholes say."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.impact.conftest import git
from tests.impact.test_stock import CONFIG, DEMO, _compared, _product_line, _put

from lidoff.impact.change import Impact
from lidoff.settings import read_settings

RULE = "unknown-revision"


@pytest.fixture
def entries(tmp_path: Path) -> Path:
    """The records of two brands."""
    for brand in ("tarnwick", "pinderby"):
        shutil.copytree(
            DEMO / "entries" / brand, tmp_path / "base/entries" / brand, ignore=shutil.ignore_patterns("photos")
        )
    base = tmp_path / "base"
    (base / "prose").mkdir()
    (base / "prose" / "index.md").write_text("# Records\n", encoding="utf-8")
    (base / "mkdocs.yml").write_text(CONFIG, encoding="utf-8")
    (base / ".gitignore").write_text(".lidoff/\n", encoding="utf-8")
    git(base, "init", "--quiet", "--initial-branch=main")
    return base / "entries"


@pytest.fixture
def change(entries: Path, tmp_path: Path) -> Callable[[Callable[[], object]], Impact]:
    """Commits what is there, changes it, and gives what that means; with a stock it must be what it is without."""

    def change(does: Callable[[], object]) -> Impact:
        git(entries.parent, "add", ".")
        git(entries.parent, "commit", "--quiet", "-m", "first")
        does()
        settings = read_settings(entries.parent / "mkdocs.yml")
        first = _compared(settings, tmp_path / "first")
        assert _compared(settings, tmp_path / "second") == first
        return first

    return change


def test_two_records_that_exchange_a_slip(entries: Path, change: Callable[..., Impact]) -> None:
    one, other = (entries / slug / "record.yaml" for slug in ("pinderby/pb-12", "tarnwick/tw-65"))
    sound = one.read_text(encoding="utf-8")
    _product_line(one, "revision_of: nobody/nothing")

    def exchange() -> None:
        one.write_text(sound, encoding="utf-8")
        _product_line(other, "revision_of: nobody/nothing")

    found = change(exchange)
    assert [finding.path for finding in found.new_findings if finding.rule == RULE] == [
        "entries/tarnwick/tw-65/record.yaml"
    ]
    assert [finding.path for finding in found.resolved_findings if finding.rule == RULE] == [
        "entries/pinderby/pb-12/record.yaml"
    ]


def test_a_suggestion_that_comes_of_two_folders(entries: Path, change: Callable[..., Impact]) -> None:
    shutil.copytree(entries / "tarnwick/tw-100", entries / "tarnwyck/tw-20x")
    twin = entries / "tarnwyck/tw-20x/record.yaml"
    _put(twin, r"^  brand: .*$", "  brand: Tarnwyck")
    _put(twin, r"^  model: .*$", "  model: TW-20X")
    _product_line(entries / "tarnwick/tw-65/record.yaml", "revision_of: tarnwyck/tw-20")
    found = change(lambda: shutil.rmtree(entries / "tarnwick/tw-20"))
    assert [one.kind for one in found.changes] == ["removed"]
