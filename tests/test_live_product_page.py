"""The preview makes the page of an edited product without the other records: it must be the page of a whole build."""

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from lidoff.finding import Finding, has_error
from lidoff.live import LiveCollection
from lidoff.pipeline import Prepared, prepare
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


def edit_summary(settings: Settings, slug: str, words: str) -> None:
    record = settings.entries_folder / slug / "record.yaml"
    text = record.read_text(encoding="utf-8")
    record.write_text(text.replace("summary: >-\n  ", f"summary: >-\n  {words} ", 1), encoding="utf-8")


def test_page_of_an_edited_product_is_that_of_a_whole_build(settings: Settings) -> None:
    live = LiveCollection(prepare(settings, with_drafts=True))
    slugs = [entry.slug for entry in live.prepared.shown]
    edited = next(entry.slug for entry in live.prepared.shown if entry.record.summary)
    edit_summary(settings, edited, "Edited by this test.")
    live.refresh()
    whole = prepare(settings, with_drafts=True)
    assert "Edited by this test." in live.page(f"/products/{edited}/").body
    for slug in slugs:
        assert live.page(f"/products/{slug}/") == whole.page(f"/products/{slug}/")
    assert live.page("/products/no/body/") is None


def test_tables_and_lists_after_an_edit_take_over_what_was_read_and_are_those_of_a_whole_build(
    settings: Settings,
) -> None:
    live = LiveCollection(prepare(settings, with_drafts=True))
    edited = next(entry.slug for entry in live.prepared.shown if entry.record.summary)
    addresses = ("/trends/technology-by-tier/", "/products/", "/trends/controllers/")
    for words in ("Edited once.", "Edited twice."):
        edit_summary(settings, edited, words)
        before = {entry.slug: entry for entry in live.prepared.collection.entries}
        live.refresh()
        whole = prepare(settings, with_drafts=True)
        for address in addresses:
            assert live.page(address) == whole.page(address)
        assert [replace(one, inputs="") for one in live.prepared.shown] == [
            replace(one, inputs="") for one in whole.shown
        ]
        after = {entry.slug: entry for entry in live.prepared.collection.entries}
        assert {slug for slug in after if after[slug].record is not before[slug].record} == {edited}


def test_edited_product_is_looked_at_alone_and_the_rest_follows(settings: Settings) -> None:
    live = LiveCollection(prepare(settings, with_drafts=True))
    edited, other = [entry.slug for entry in live.prepared.shown if entry.record.summary][:2]
    address = f"/products/{edited}/"
    assert not live.look(address) and not live.is_ahead(address)
    edit_summary(settings, edited, "Edited by this test.")
    assert not live.look(f"/products/{other}/") and live.look(address) and live.is_ahead(address)
    assert "Edited by this test." in live.page(address).body
    assert not live.look(address), "it was read already"
    assert live.refresh() == {address} and not live.is_ahead(address)
    whole = prepare(settings, with_drafts=True)
    assert live.page(address) == whole.page(address) and live.findings(address) == live_findings(whole, edited)
    for no_product in ("/", "/products/", "/products/no/body/", "/trends/controllers/", "/products/../../etc/"):
        assert not live.look(no_product)


def live_findings(whole: Prepared, slug: str) -> tuple[Finding, ...]:
    return tuple(one for one in whole.collection.findings if one.path.endswith(f"{slug}/record.yaml"))


def test_fault_of_the_record_alone_is_told_at_once(settings: Settings) -> None:
    live = LiveCollection(prepare(settings, with_drafts=True))
    slug = live.prepared.shown[0].slug
    address, record = f"/products/{slug}/", settings.entries_folder / slug / "record.yaml"
    record.write_text(record.read_text(encoding="utf-8") + "\nno_such_field: 1\n", encoding="utf-8")
    assert live.look(address) and has_error(live.findings(address)) and live.page(address) is None
