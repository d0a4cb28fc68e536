"""The preview makes the page of an edited product without the other records: it must be the page of a whole build."""

import re
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from lidoff.finding import Finding, has_error
from lidoff.live import LiveCollection, stamps_of
from lidoff.pages.website import index_plans, plans
from lidoff.pipeline import Prepared, examine_file, prepare
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


def test_page_as_it_was_before_its_record_broke_is_kept_until_it_is_mended(settings: Settings) -> None:
    live = LiveCollection(prepare(settings, with_drafts=True))
    slug = live.prepared.shown[0].slug
    address, record = f"/products/{slug}/", settings.entries_folder / slug / "record.yaml"
    page, text = live.page(address), record.read_text(encoding="utf-8")
    for see in (lambda: live.look(address), live.refresh):
        record.write_text(text + "\nno_such_field: 1\n", encoding="utf-8")
        assert see() and live.page(address) is None and live.earlier_page(address) == page
        record.write_text(text + "# mended\n", encoding="utf-8")
        assert see() and live.earlier_page(address) is None and live.page(address) is not None
        live.refresh()


def test_every_page_and_file_of_a_build_is_there_without_one(settings: Settings) -> None:
    record = next(settings.entries_folder.glob("*/*/record.yaml"))
    text = record.read_text(encoding="utf-8")
    record.write_text(text.replace("\nproduct:\n", "\nproduct:\n  formerly: [old/one]\n", 1), encoding="utf-8")
    whole = prepare(settings, with_drafts=True)
    live, site = LiveCollection(prepare(settings, with_drafts=True)), whole.website()
    addresses = [planned.address for planned in plans(*whole.seen)]
    assert len(addresses) > 300 and all(live.page(address) for address in addresses)
    of_products = [piece.make()[1] for piece in site.pieces if piece.address.startswith("/products/")]
    of_bundles = [one.make() for one in site.bundles]
    files = {one.path: one.content for some in (site.files, *of_products, *of_bundles) for one in some}
    served = {path: live.file(path) for path in files if not path.startswith("assets/")}
    assert len(served) > 100 and served == {path: files[path] for path in served}
    assert live.file("data/trends/none.csv") is None and live.file("data/records/no/body.json") is None
    assert {old: live.moved(old) for old in site.moved} == site.moved != {}


def test_outline_has_the_navigation_of_the_site(settings: Settings) -> None:
    live = LiveCollection(prepare(settings, with_drafts=True))
    pages = [planned.make() for planned in index_plans(*live.prepared.seen)]
    outline = live.outline.website()
    drawn = [(page.address, page.title, page.frame) for page in outline.pages]
    assert drawn == [(page.address, page.title, page.frame) for page in pages] and len(drawn) > 50


def edited_mass(settings: Settings, slug: str, grams: int) -> Path:
    record = settings.entries_folder / slug / "record.yaml"
    text = record.read_text(encoding="utf-8")
    record.write_text(re.sub(r"(?m)^  mass_g: .*$", f"  mass_g: {grams}", text, count=1), encoding="utf-8")
    return record


def seen_mass(live: LiveCollection, slug: str, grams: int) -> bool:
    return f"{grams}\u00a0g" in live.page(f"/products/{slug}/").body


def test_record_saved_again_after_a_look_is_read_again_with_all(settings: Settings) -> None:
    live = LiveCollection(prepare(settings, with_drafts=True))
    slug = live.prepared.shown[0].slug
    edited_mass(settings, slug, 1111)
    assert live.look(f"/products/{slug}/") and seen_mass(live, slug, 1111)
    edited_mass(settings, slug, 22221)
    assert live.refresh() == {f"/products/{slug}/"}
    assert not live.is_ahead(f"/products/{slug}/")
    assert live.page(f"/products/{slug}/") == prepare(settings, with_drafts=True).page(f"/products/{slug}/")
    assert live.refresh() == frozenset()


def test_record_taken_away_after_a_look_has_no_page(settings: Settings) -> None:
    live = LiveCollection(prepare(settings, with_drafts=True))
    slug = live.prepared.shown[0].slug
    record = edited_mass(settings, slug, 1111)
    assert live.look(f"/products/{slug}/")
    shutil.rmtree(record.parent)
    assert live.refresh() == {f"/products/{slug}/"} and live.refresh() == frozenset()
    assert live.page(f"/products/{slug}/") is None and not live.is_ahead(f"/products/{slug}/")


def test_record_taken_away_while_it_is_looked_at_has_no_page(
    settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    live = LiveCollection(prepare(settings, with_drafts=True))
    slug = live.prepared.shown[0].slug
    record = edited_mass(settings, slug, 1111)

    def taken_away(*given: object) -> object:
        one = examine_file(*given)
        shutil.rmtree(record.parent)
        live.refresh()
        return one

    monkeypatch.setattr("lidoff.live.collection.examine_file", taken_away)
    assert not live.look(f"/products/{slug}/")
    monkeypatch.undo()
    assert live.refresh() == frozenset() and live.page(f"/products/{slug}/") is None


def test_record_that_the_edit_of_another_breaks_keeps_its_page_and_files(settings: Settings) -> None:
    live = LiveCollection(prepare(settings, with_drafts=True))
    other, one = (entry.slug for entry in live.prepared.shown[:2])
    for slug in (one, other):
        record = settings.entries_folder / slug / "record.yaml"
        text = record.read_text(encoding="utf-8")
        record.write_text(text.replace("product:\n", "product:\n  formerly: [old/one]\n", 1), encoding="utf-8")
        page, data = live.page(f"/products/{one}/"), live.file(f"data/records/{one}.json")
        live.refresh()
    assert has_error(live.findings(f"/products/{one}/")) and live.page(f"/products/{one}/") is None
    assert page is not None and live.earlier_page(f"/products/{one}/") == page
    assert b"old/one" in live.file(f"data/records/{one}.json") and data is not None


def test_edit_made_while_the_records_were_read_is_seen(settings: Settings) -> None:
    stamps = stamps_of(settings)
    prepared = prepare(settings, with_drafts=True)
    slug = prepared.shown[0].slug
    edited_mass(settings, slug, 1111)
    live = LiveCollection(prepared, stamps)
    assert live.refresh() == {f"/products/{slug}/"} and seen_mass(live, slug, 1111)


@pytest.mark.parametrize("below", ["anything/", "missing.csv/", "../"])
def test_no_address_but_its_own_is_that_of_a_product(below: str, settings: Settings) -> None:
    live = LiveCollection(prepare(settings, with_drafts=True))
    slug = live.prepared.shown[0].slug
    assert live.page(f"/products/{slug}/") is not None
    for address in (f"/products/{slug}/{below}", f"/products/{slug}.json/", f"//products/{slug}/"):
        assert live.page(address) is None and live.moved(address) is None
    assert live.file(f"products/{slug}/missing.csv") is None
