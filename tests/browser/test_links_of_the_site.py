"""Every link of every page leads somewhere: files are read as html5lib reads them, no browser is needed."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, unquote, urljoin, urlsplit
from xml.etree import ElementTree

import pytest

HOST = "https://lidoff.example/"
LEADS_ON = '<meta http-equiv="refresh"'
LEADING = ("href", "src", "action", "poster", "data-data", "data-products", "data-names", "data-more")


@dataclass(frozen=True)
class Read:
    """What one page leads to, and what can be led to in it."""

    links: tuple[tuple[str, str], ...]
    ids: frozenset[str]


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.links: list[tuple[str, str]] = []
        self.ids: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self.links += [(f"{name} of {tag}", given[name]) for name in LEADING if given.get(name) is not None]
        self.links += [("srcset", part.split()[0]) for part in (given.get("srcset") or "").split(",") if part]
        self.ids += [given["id"]] if given.get("id") else []


def read(html: str) -> Read:
    reader = _Reader()
    reader.feed(html)
    reader.close()
    assert len(reader.ids) == len(set(reader.ids)), "an id stands twice"
    return Read(tuple(reader.links), frozenset(reader.ids))


@pytest.fixture(scope="module")
def pages(site: Any) -> Mapping[str, Read]:
    """Every page of the site by its path, as it lies on the disk."""
    found = {}
    for file in sorted(site.folder.resolve().rglob("*.html")):
        path = file.relative_to(site.folder.resolve()).as_posix()
        html = file.read_text(encoding="utf-8")
        if LEADS_ON not in html:
            found["/" + path.removesuffix("index.html")] = read(html)
    return found


def test_old_addresses_lead_to_pages_that_are_there(site: Any, pages: Mapping[str, Read]) -> None:
    moved = [file for file in site.folder.rglob("*.html") if LEADS_ON in file.read_text(encoding="utf-8")]
    assert moved, "the demo has products with an earlier name"
    for file in moved:
        (canonical,) = re.findall(r'<link rel="canonical" href="([^"]+)"', file.read_text(encoding="utf-8"))
        assert canonical.removeprefix(HOST[:-1]) in pages


def dead(page: str, link: str, pages: Mapping[str, Read], folder: Path, products: Any) -> str:
    """Why a link leads nowhere; empty if it leads somewhere."""
    target = urlsplit(urljoin(HOST + page[1:], link))
    if f"{target.scheme}://{target.netloc}/" != HOST:
        return "" if target.scheme in ("https", "mailto", "data") else f"no address for readers: {link}"
    path = unquote(target.path)
    if path in pages:
        if target.fragment and unquote(target.fragment) not in pages[path].ids:
            return f"no place {target.fragment} on {path}"
        unknown = set(parse_qs(target.query).get("p", [])) - set(products)
        return f"compares {unknown}" if unknown else ""
    inside = (folder / path[1:]).resolve().is_relative_to(folder.resolve())
    # a folder of data files is named by an attribute and completed by the script
    is_there = (folder / path[1:]).is_file() or (
        path.endswith("/") and path.startswith("/data/") and (folder / path[1:]).is_dir()
    )
    return "" if inside and is_there else f"nothing at {path}"


def test_the_reader_finds_links_places_and_dead_ends(tmp_path: Path) -> None:
    html = (
        '<a href="b/#x">b</a><img src=c.png srcset="d.png 2x"><p id=y>&amp;</p><a href="#z"></a><a href="javascript:x">'
    )
    one = read(html)
    assert [link for _, link in one.links] == ["b/#x", "c.png", "d.png", "#z", "javascript:x"]
    pages = {"/": one, "/b/": read('<h1 id="x">b</h1>')}
    found = [dead("/", link, pages, tmp_path, ()) for _, link in one.links]
    assert found == [
        "",
        "nothing at /c.png",
        "nothing at /d.png",
        "no place z on /",
        "no address for readers: javascript:x",
    ]
    assert dead("/", "../b/?p=a/b", pages, tmp_path, ("c/d",)) == "compares {'a/b'}"


def test_every_link_and_place_is_there(site: Any, pages: Mapping[str, Read]) -> None:
    wrong, count = [], 0
    for page, content in pages.items():
        for where, link in content.links:
            for one in link.split() if where.startswith("data-more") else [link]:
                count += 1
                reason = dead(page, one, pages, site.folder, site.records)
                wrong += [f"{page}: {where} {link}: {reason}"] if reason else []
    assert count > 5000
    assert wrong == []


def test_every_page_can_be_reached_from_the_first(pages: Mapping[str, Read]) -> None:
    reached, waiting = {"/"}, ["/"]
    while waiting:
        page = waiting.pop()
        for where, link in pages[page].links:
            path = unquote(urlsplit(urljoin(HOST + page[1:], link)).path)
            if where in ("href of a", "action of form") and path in pages and path not in reached:
                reached.add(path)
                waiting.append(path)
    assert set(pages) - reached == {"/404.html"}


def test_pages_name_their_own_address(site: Any, pages: Mapping[str, Read]) -> None:
    for page in pages:
        if page != "/404.html":
            html = (site.folder / page[1:] / "index.html").read_text(encoding="utf-8")
            assert re.findall(r'<link rel="canonical" href="([^"]+)"', html) == [HOST + page[1:]]


def test_sitemap_and_list_of_addresses_name_every_page(site: Any, pages: Mapping[str, Read]) -> None:
    written = sorted(page for page in pages if page != "/404.html")
    assert sorted(site.addresses) == written
    tree = ElementTree.parse(site.folder / "sitemap.xml")
    assert sorted(element.text for element in tree.findall("*/{*}loc")) == sorted(HOST + page[1:] for page in written)
