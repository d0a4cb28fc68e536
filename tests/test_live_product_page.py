"""The preview makes the page of an edited product without the other records: it must be the page of a whole build."""

import shutil
from pathlib import Path

import pytest

from lidoff.live import LiveCollection
from lidoff.pipeline import prepare
from lidoff.settings import Settings, read_settings

ENTRIES = Path(__file__).parents[1] / "entries"


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    folders = sorted(path.parent for path in ENTRIES.glob("*/*/record.yaml"))[:4]
    for folder in folders:
        shutil.copytree(folder, tmp_path / "entries" / folder.relative_to(ENTRIES))
    config = "site_name: T\nsite_url: https://example.org/\nplugins: [lidoff]\n"
    (tmp_path / "mkdocs.yml").write_text(config, encoding="utf-8")
    return read_settings(tmp_path / "mkdocs.yml")


def test_page_of_an_edited_product_is_that_of_a_whole_build(settings: Settings) -> None:
    live = LiveCollection(prepare(settings, with_drafts=True))
    slugs = [entry.slug for entry in live.prepared.shown]
    edited = next(entry.slug for entry in live.prepared.shown if entry.record.summary)
    record = settings.entries_folder / edited / "record.yaml"
    text = record.read_text(encoding="utf-8")
    record.write_text(text.replace("summary: >-\n  ", "summary: >-\n  Edited by this test. ", 1), encoding="utf-8")
    live.refresh()
    whole = prepare(settings, with_drafts=True)
    assert "Edited by this test." in live.page(f"/products/{edited}/").body
    for slug in slugs:
        assert live.page(f"/products/{slug}/") == whole.page(f"/products/{slug}/")
    assert live.page("/products/no/body/") is None
