"""Addresses once published stay: over three successive builds, each given the site before it."""

import html
import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from urllib.parse import unquote, urljoin

import pytest
from tests.publish.conftest import BUILDER_PAGES, PAGE_FILES, InventedSource, Project

from lidoff.publish.build import build_site
from lidoff.publish.links import dead_links
from lidoff.publish.old_addresses import Published, UnreadableSite, old_pages, read_published
from lidoff.publish.policy import breaches
from lidoff.publish.shell import page_file
from lidoff.website import Page, Website

FIRST, RENAMED, SECOND, THIRD = "/products/b/one/", "/products/b/uno/", "/products/b/two/", "/products/b/three/"
REFRESH = re.compile(r'<meta http-equiv="refresh" content="0; url=([^"]+)">')


@dataclass
class MovingSource(InventedSource):
    """Invented pages, some of which had other addresses."""

    moved: Mapping[str, str] | None = None

    def website(self) -> Website:
        return Website(iter(self.pages), iter(self.files), moved=self.moved or {})


def pages(*addresses: str) -> tuple[Page, ...]:
    return (*BUILDER_PAGES, *(Page(address, address, "", f"<h1>{address}</h1>") for address in addresses))


@pytest.fixture
def sites(project: Project, tmp_path: Path) -> tuple[Path, ...]:
    """Three successive sites: two products; one of them renamed and a new one; the other taken away."""
    states = [
        (pages(FIRST, SECOND), {}),
        (pages(RENAMED, SECOND, THIRD), {FIRST: RENAMED}),
        (pages(RENAMED, THIRD), {FIRST: RENAMED}),
    ]
    built: list[Path] = []
    for number, (found, moved) in enumerate(states):
        previous = read_published(built[-1]) if built else Published()
        out = tmp_path / f"site-{number}"
        source = MovingSource(found, PAGE_FILES, moved=moved)
        result = build_site(project.settings, source, out, previous=previous)
        assert result.is_good, result.messages
        built.append(out)
    return tuple(built)


def every_address(site: Path) -> Iterator[str]:
    content = json.loads((site / "data" / "addresses.json").read_text(encoding="utf-8"))
    yield from (*content["addresses"], *content.get("moved", {}), *content.get("gone", ()))


def text_at(site: Path, address: str) -> str:
    return (site / page_file(address)).read_text(encoding="utf-8")


def test_no_address_of_an_earlier_site_is_lost(sites: tuple[Path, ...]) -> None:
    for number, site in enumerate(sites):
        for earlier in sites[: number + 1]:
            lost = [address for address in every_address(earlier) if not (site / page_file(address)).is_file()]
            assert lost == []


def test_a_renamed_page_leads_to_its_new_address(sites: tuple[Path, ...]) -> None:
    for site in sites[1:]:
        text = text_at(site, FIRST)
        target = html.unescape(REFRESH.search(text)[1])
        assert unquote(urljoin(FIRST, target)) == RENAMED
        assert (
            f'<a href="{target}">' in text
            and f'rel="canonical" href="https://base.example{RENAMED}"' in text.replace("/x/", "/")
        )
        assert f"<h1>{RENAMED}</h1>" in text_at(site, RENAMED)


def test_a_removed_page_says_that_it_is_gone_and_a_new_one_is_there(sites: tuple[Path, ...]) -> None:
    first, second, third = sites
    assert not (first / page_file(THIRD)).exists()
    assert f"<h1>{THIRD}</h1>" in text_at(second, THIRD)
    assert f"<h1>{SECOND}</h1>" in text_at(second, SECOND)
    assert "This page is gone" in text_at(third, SECOND)
    assert read_published(third).gone == {SECOND}


def test_old_pages_hold_nothing_that_the_policy_blocks_and_no_dead_link(sites: tuple[Path, ...]) -> None:
    for address in (FIRST, SECOND):
        text = text_at(sites[2], address)
        assert breaches(text) == () and "<script" not in text
        assert dead_links(address, text, sites[2]) == ()


def test_search_engines_are_not_sent_to_old_addresses(sites: tuple[Path, ...]) -> None:
    sitemap = (sites[2] / "sitemap.xml").read_text(encoding="utf-8")
    assert RENAMED in sitemap
    assert FIRST not in sitemap and SECOND not in sitemap


def test_the_addresses_that_lost_their_page_are_told_once(project: Project, tmp_path: Path) -> None:
    source = InventedSource(pages(FIRST), PAGE_FILES)
    before = Published(frozenset(("/", FIRST, SECOND)), {}, frozenset((THIRD,)))
    result = build_site(project.settings, source, tmp_path / "out", previous=before)
    assert result.gone == (SECOND,)


@pytest.mark.parametrize(
    ("published", "now", "moved", "expected_moves", "expected_gone"),
    [
        # renamed twice, and the record names its last path only
        (Published(frozenset({"/b/"}), {"/a/": "/b/"}), {"/c/"}, {"/b/": "/c/"}, {"/a/": "/c/", "/b/": "/c/"}, set()),
        # what a page moved to is gone too
        (Published(frozenset({"/b/"}), {"/a/": "/b/"}), set(), {}, {}, {"/a/", "/b/"}),
        # the record no longer names its old path: the move was published, so it stays
        (Published(frozenset({"/b/"}), {"/a/": "/b/"}), {"/b/"}, {}, {"/a/": "/b/"}, set()),
        # what was gone has come back
        (Published(frozenset(), {}, frozenset({"/a/"})), {"/a/"}, {}, {}, set()),
        # back and forth
        (Published(frozenset({"/b/"}), {"/a/": "/b/"}), {"/a/"}, {"/b/": "/a/"}, {"/b/": "/a/"}, set()),
        (Published(), {"/c/"}, {"/a/": "/b/", "/b/": "/a/"}, {}, {"/a/", "/b/"}),
    ],
)  # fmt: skip
def test_what_the_next_site_owes(
    published: Published, now: set[str], moved: dict[str, str], expected_moves: dict[str, str], expected_gone: set[str]
) -> None:
    found = published.follow(now, moved)
    assert (found.moved, found.gone) == (expected_moves, expected_gone)
    assert {*published.addresses, *published.moved, *published.gone} <= {*found.addresses, *found.moved, *found.gone}


@pytest.mark.parametrize("content", ["", "[]", '{"addresses": 3}', '{"addresses": ["/../etc/"]}', '{"addresses": [7]}'])
def test_a_folder_without_a_list_is_refused_with_what_to_do(tmp_path: Path, content: str) -> None:
    (tmp_path / "data").mkdir()
    (tmp_path / "data" / "addresses.json").write_text(content, encoding="utf-8")
    with pytest.raises(UnreadableSite, match="fix .*--previous"):
        read_published(tmp_path)


def test_hostile_addresses_are_escaped() -> None:
    (file,) = old_pages(replace(Published(), moved={"/a/": "/x/'><b>/"}), "https://base.example/")
    assert b"<b>" not in file.content
