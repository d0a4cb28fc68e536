"""Every page of a whole site: sound HTML, sound links, one heading above another, and what each must say."""

import json
import posixpath
import re
from collections.abc import Callable, Mapping
from typing import Any
from urllib.parse import urldefrag

import pytest

from lidoff.pages import asset_files
from lidoff.publish.policy import breaches

PROSE = {"/safety/", "/about/"}
DEMO_WORDS = "nvented demonstration data"
KINDS = ("/", "/products/", "/trends/", "/parts/", "/compare/", "/methods/", "/checks/", "/fields/", "/vocabulary/")


def test_the_site_has_every_kind_of_page(site: Any) -> None:
    for address in (
        *KINDS, "/products/fernhollow/fh-65/", "/parts/quillstone/qs650-r150/", "/makers/marrow-bay/",
        "/brands/wexmoor/", "/tiers/46-67-w/", "/tiers/unknown/", "/trends/technology-by-tier/",
        "/methods/stored_energy_j/", "/checks/missing-file/",
        "/compare/tier/46-67-w/", "/compare/part/quillstone/qs650-r150/",
    ):  # fmt: skip
        assert address in site.pages


def test_pages_of_the_navigation_come_first(site: Any) -> None:
    frames = [page.frame for page in site.order]
    assert frames == sorted(frames), "the publishing stage takes the builder's pages from the front"
    assert {page.address for page in site.order if page.frame == "builder"} >= set(KINDS)


def test_no_address_or_file_comes_twice(site: Any) -> None:
    assert len(site.pages) == len(site.order)
    for address in site.pages:
        assert address == "/" or re.fullmatch(r"(/[a-z0-9_-]+)+/", address), address


def test_each_page_is_sound_html(site: Any, parse: Callable[[str], Any]) -> None:
    for page in site.order:
        try:
            parse(page.body)
        except Exception as fault:
            pytest.fail(f"{page.address}: {fault!r}")


def test_the_policy_would_block_nothing(site: Any) -> None:
    assert {page.address: breaches(page.body) for page in site.order if breaches(page.body)} == {}


def test_ids_are_unique_and_headings_follow_one_another(trees: Mapping[str, Any]) -> None:
    for address, body in trees.items():
        ids = [element.get("id") for element in body.iter() if element.get("id")]
        assert len(ids) == len(set(ids)), address
        tags = [element.tag for element in body.iter() if isinstance(element.tag, str)]
        levels = [int(tag[1]) for tag in tags if re.fullmatch(r"h[1-6]", tag)]
        assert levels[0] == 1 and levels.count(1) == 1, address
        assert all(deeper - level <= 1 for level, deeper in zip(levels, levels[1:], strict=False)), (address, levels)


def test_each_link_leads_to_a_page_or_file_of_the_site(site: Any, trees: Mapping[str, Any]) -> None:
    anchors = {page.address: set(re.findall(r'\bid="([^"]+)"', page.body)) for page in site.order}
    links = [(address, element.get("href")) for address, body in trees.items() for element in body.iter("a")]
    assert len(links) > 500
    for page, target in links:
        assert target and not target.startswith(("/", "http")), f"{page} has a link that is not relative: {target}"
        path, anchor = urldefrag(target)
        path = path.partition("?")[0]
        joined = posixpath.normpath(posixpath.join(page, path))
        address = f"{joined.rstrip('/')}/" if path.endswith("/") or not path else joined
        assert address in site.pages or address in PROSE or address[1:] in site.files, f"{page}: {target}"
        assert not anchor or anchor in anchors[address], f"{page}: no {anchor} on {address}"


def test_links_and_controls_have_names(trees: Mapping[str, Any]) -> None:
    for address, body in trees.items():
        for element in body.iter():
            if element.tag in ("a", "button", "summary", "caption", "th", "option"):
                assert "".join(element.itertext()).strip(), f"{address}: an empty {element.tag}"
            if element.tag in ("input", "select"):
                assert element.get("name"), address


def test_each_page_made_from_invented_records_says_so(site: Any, full_entry: Any) -> None:
    for page in site.order:
        names_invented = re.search(r"Fernhollow|Wexmoor|Quillstone|Marrow Bay", page.body)
        is_reference = page.address.split("/")[1] in ("fields", "vocabulary")
        if names_invented and not is_reference:
            assert DEMO_WORDS in page.body, page.address
    assert DEMO_WORDS in site.pages["/products/fernhollow/fh-65/"].body
    assert DEMO_WORDS not in site.pages["/products/osk/bare/"].body


def test_titles_and_descriptions_are_plain_text(site: Any) -> None:
    for page in site.order:
        assert page.title and page.description, page.address
        assert "<" not in page.title + page.description, page.address


def test_each_product_has_its_two_data_files(site: Any) -> None:
    small = json.loads(site.files["data/products/fernhollow/fh-65.json"].content)
    whole = json.loads(site.files["data/records/fernhollow/fh-65.json"].content)
    assert small["slug"] == whole["slug"] == "fernhollow/fh-65"
    assert small["size_mm"] == [58.0, 41.5, 29.0]
    assert len(site.files["data/products/fernhollow/fh-65.json"].content) < 12_000


def test_scripts_and_styles_are_there(site: Any) -> None:
    folder = asset_files.folder()
    script = site.files[f"{folder}/lidoff.js"].content.decode()
    for module in re.findall(r'"\./(lidoff/[a-z_]+\.js)"', script):
        assert f"{folder}/{module}" in site.files
    assert b".lf-page" in site.files[f"{folder}/lidoff.css"].content
