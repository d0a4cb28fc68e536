"""Related products, the data as files, the feed, citations and data for machines, on an invented collection."""

import json
import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import feedparser
import jsonschema
import pytest
import yaml

from lidoff.entry import Entry
from lidoff.figures.figure import Figures
from lidoff.pages import feed
from lidoff.pages.context import make_context
from lidoff.pages.kin import changes_between
from lidoff.pages.linked_data import data_block
from lidoff.pages.sections.product_data import product_data
from lidoff.pages.sections.products import moved, plans
from lidoff.pages.views.open_data import example
from lidoff.pages.website import find_page
from lidoff.publish.policy import breaches
from lidoff.record.load import load_file
from lidoff.record.model.product import Correction
from lidoff.settings import Settings
from lidoff.trends.citation import about, citation_cff, product_citation
from lidoff.trends.frames import make_frames
from lidoff.trends.open_data import open_data

ROOT = Path(__file__).resolve().parents[2]
# the schema of the Citation File Format 1.2.0, by S. Druskat and others, CC-BY-4.0, as its authors publish it
CFF_SCHEMA = ROOT / "tests" / "trends" / "published" / "cff-1.2.0.schema.json"
SETTINGS = Settings(ROOT / "mkdocs.yml", "Opened chargers", "https://example.org/base/")
HOSTILE = "</script><script>alert(1)</script> & <!-- ]]> \u2028 \x08"
_BLOCK = re.compile(r'<script type="application/ld\+json">(.*?)</script>', re.DOTALL)


@pytest.fixture(scope="module")
def entries() -> tuple[Entry, ...]:
    found = []
    for file in sorted((ROOT / "entries").glob("*/*/record.yaml")):
        loaded = load_file(file, ROOT)
        if loaded.record is not None and loaded.status == "published":
            found.append(Entry(loaded.path, "/".join(file.parts[-3:-1]), loaded.record, Figures()))
    return tuple(found)


def by_slug(entries: tuple[Entry, ...], slug: str) -> Entry:
    return next(entry for entry in entries if entry.slug == slug)


def body(entries: tuple[Entry, ...], address: str) -> str:
    return find_page(address, entries, SETTINGS).body


def with_product(entry: Entry, **changes: object) -> Entry:
    return replace(entry, record=replace(entry.record, product=replace(entry.record.product, **changes)))


def test_a_sibling_of_another_brand_is_named_with_what_is_shared(entries: tuple[Entry, ...]) -> None:
    html = body(entries, "/products/tarnwick/tw-65/")
    section = html[html.index('id="alike"') :]
    assert '<a href="../../../products/ostermere/om-65/">Ostermere OM-65</a> (likely one design,' in section
    assert "Shared: print " in section or "Shared: certificate " in section


def test_a_stranger_has_no_such_section(entries: tuple[Entry, ...]) -> None:
    alone = by_slug(entries, "tarnwick/tw-65")
    assert 'id="alike"' not in body((alone,), "/products/tarnwick/tw-65/")


def test_the_page_of_designs_lists_the_planted_pairs_and_every_weight(entries: tuple[Entry, ...]) -> None:
    html = body(entries, "/designs/")
    for slug in ("ostermere/om-65", "tarnwick/tw-65", "ostermere/om-100", "tarnwick/tw-100"):
        assert f'href="../products/{slug}/"' in html
    assert "The part that is the PFC controller" in html and "The part that is the DC-DC converter" in html
    assert html.count("(likely one design, ") == 3


def test_what_a_revision_changed_stands_on_the_newer_page_alone(entries: tuple[Entry, ...]) -> None:
    newer, older = body(entries, "/products/tarnwick/tw-20b/"), body(entries, "/products/tarnwick/tw-20/")
    assert 'id="revision"' in newer and 'id="revision"' not in older
    assert 'Revised later: <a href="../../../products/tarnwick/tw-20b/">' in older
    changes = changes_between(by_slug(entries, "tarnwick/tw-20").record, by_slug(entries, "tarnwick/tw-20b").record)
    told = {change.words: (change.before, change.after) for change in changes}
    # as the two records state it
    assert told["board main, material"] == ("cem1", "fr4")
    assert told["protocol controller"] == ("Wexcombe Logic WEXC208", "Wexcombe Logic WEXC211")
    assert not any(change.field.startswith(("measured", "photos", "teardown", "samples")) for change in changes)


def test_a_record_compared_with_itself_has_not_changed(entries: tuple[Entry, ...]) -> None:
    for entry in entries:
        assert changes_between(entry.record, entry.record) == ()


def test_a_page_made_alone_is_that_of_the_whole_site(entries: tuple[Entry, ...]) -> None:
    context = make_context(entries, SETTINGS)
    planned = {one.address: one for one in plans(context)}
    assert planned["/products/tarnwick/tw-20b/"].make().body == body(entries, "/products/tarnwick/tw-20b/")


def test_former_paths_lead_to_the_product(entries: tuple[Entry, ...]) -> None:
    found = moved(make_context(entries, SETTINGS))
    assert found["/products/ostermere/om100/"] == "/products/ostermere/om-100/"
    assert len(found) == sum(len(entry.record.product.formerly) for entry in entries)


def test_comparisons_by_an_old_path_find_their_data(entries: tuple[Entry, ...]) -> None:
    files = {file.path: file.content for file in product_data(by_slug(entries, "ostermere/om-100"))}
    assert files["data/products/ostermere/om100.json"] == files["data/products/ostermere/om-100.json"]
    assert files["data/records/ostermere/om100.json"] == files["data/records/ostermere/om-100.json"]


@pytest.fixture(scope="module")
def parsed(entries: tuple[Entry, ...]) -> feedparser.FeedParserDict:
    return feedparser.parse(feed.feed(entries, SETTINGS))


def test_the_feed_is_atom_that_feedparser_reads(parsed: feedparser.FeedParserDict) -> None:
    assert (parsed.version, parsed.bozo) == ("atom10", False)
    assert parsed.feed.title == "Opened chargers"
    # RFC 4287, 4.1.1 and 4.1.2: what a feed and an entry must have
    assert parsed.feed.id and parsed.feed.updated and parsed.feed.author
    assert all(one.id and one.title and one.updated and one.link for one in parsed.entries)
    assert len({one.id for one in parsed.entries}) == len(parsed.entries) > 20


def test_the_feed_has_records_and_corrections_newest_first(
    entries: tuple[Entry, ...], parsed: feedparser.FeedParserDict
) -> None:
    days = [one.updated for one in parsed.entries]
    assert days == sorted(days, reverse=True) and parsed.feed.updated == days[0]
    corrected = [one for one in parsed.entries if one.title.startswith("Corrected: ")]
    assert len(corrected) == sum(len(entry.record.corrections) for entry in entries) > 1
    assert all(one.link.endswith("/#corrections") for one in corrected)


def test_the_feed_is_the_same_in_any_order_and_holds_the_newest_only(entries: tuple[Entry, ...]) -> None:
    assert feed.feed(tuple(reversed(entries)), SETTINGS) == feed.feed(entries, SETTINGS)
    corrections = tuple(Correction("2026-05-01", f"number {number}") for number in range(150))
    many = replace(entries[0], record=replace(entries[0].record, corrections=corrections))
    assert len(feedparser.parse(feed.feed([many], SETTINGS)).entries) == feed.MOST


def test_hostile_text_stays_text_in_the_feed(entries: tuple[Entry, ...]) -> None:
    hostile = with_product(entries[0], model=HOSTILE)
    found = feedparser.parse(feed.feed([hostile], replace(SETTINGS, site_name=HOSTILE)), sanitize_html=False)
    assert found.bozo is False
    assert "</script><script>alert(1)</script> &" in found.entries[0].title
    assert "\x08" not in found.entries[0].title


def test_an_empty_collection_has_a_feed(entries: tuple[Entry, ...]) -> None:
    found = feedparser.parse(feed.feed((), SETTINGS))
    assert (found.bozo, found.entries) == (False, [])


def test_a_product_page_says_to_machines_what_it_is(entries: tuple[Entry, ...]) -> None:
    entry = next(one for one in entries if one.record.corrections)
    (block,) = _BLOCK.findall(body(entries, f"/products/{entry.slug}/"))
    data = json.loads(block)
    assert (data["@context"], data["@type"]) == ("https://schema.org", "TechArticle")
    assert data["url"] == f"https://example.org/base/products/{entry.slug}/"
    assert data["datePublished"] == entry.record.teardown.date
    assert data["dateModified"] == max(one.date for one in entry.record.corrections)
    assert [one["name"] for one in data["author"]] == list(entry.record.teardown.by)
    assert "Invented" in data["abstract"]


def test_the_data_page_is_a_dataset_with_its_files(entries: tuple[Entry, ...]) -> None:
    html = body(entries, "/data/")
    (block,) = _BLOCK.findall(html)
    data = json.loads(block)
    assert data["@type"] == "Dataset" and data["license"] == ["https://spdx.org/licenses/CC-BY-4.0.html"]
    for one in data["distribution"]:
        name = one["contentUrl"].rpartition("/")[2]
        assert f'href="../data/{name}"' in html
    assert "W/cm³" in html and breaches(html) == ()


def test_hostile_text_cannot_leave_the_data_block(entries: tuple[Entry, ...], parse: Callable) -> None:
    block = str(data_block({"name": HOSTILE}))
    (inner,) = _BLOCK.findall(block)
    assert "<" not in inner and ">" not in inner and "\u2028" not in inner
    assert json.loads(inner)["name"] == HOSTILE
    hostile = with_product(entries[0], model=HOSTILE, name=HOSTILE)
    html = body((hostile,), f"/products/{hostile.slug}/")
    assert len(_BLOCK.findall(html)) == html.count("<script") == 1
    assert breaches(html) == ()


def test_citation_file_is_valid_by_the_schema_of_its_authors(entries: tuple[Entry, ...]) -> None:
    schema = json.loads(CFF_SCHEMA.read_text(encoding="utf-8"))
    validator = jsonschema.Draft7Validator(schema)
    for settings in (SETTINGS, replace(SETTINGS, site_name='A: "b" # c', site_author="Quill & Co")):
        # as a reader of YAML 1.2 has it: a date is text there
        content = yaml.load(citation_cff(about(entries, settings)), yaml.BaseLoader)
        assert list(validator.iter_errors(content)) == []
        assert (content["title"], content["cff-version"]) == (settings.site_name, "1.2.0")
    assert content["authors"] == [{"name": "Quill & Co"}]
    del content["authors"]
    assert list(validator.iter_errors(content)) != []


def test_each_product_page_says_how_to_cite_it(entries: tuple[Entry, ...]) -> None:
    entry = by_slug(entries, "ostermere/om-100")
    line = product_citation(entry, SETTINGS)
    assert line.startswith(", ".join(entry.record.teardown.by))
    assert "In: Opened chargers, opened " in line and line.endswith("/base/products/ostermere/om-100/")
    assert "To cite this page:" in body(entries, "/products/ostermere/om-100/")


def test_the_three_lines_of_the_example_count_every_product(
    entries: tuple[Entry, ...], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "data").mkdir()
    for name, content in open_data(make_frames(entries, SETTINGS.tiers_w), entries, about(entries, SETTINGS)):
        (tmp_path / "data" / name).write_bytes(content)
    lines = example(f"{tmp_path.as_uri()}/")
    assert lines.count("\n") == 2
    exec(lines, {})
    counts = [int(line.split()[-1]) for line in capsys.readouterr().out.splitlines() if line.split()[-1].isdigit()]
    assert sum(counts) == len(entries)
