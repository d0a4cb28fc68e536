"""The sitemap and the list of addresses."""

import json
import xml.etree.ElementTree as ElementTree
from urllib.parse import quote, urljoin

import pytest
from markupsafe import escape

from lidoff.publish.build import build_site
from lidoff.publish.sitemap import addresses_file, escaped_link, sitemap_files
from lidoff.website import Page

# sitemaps.org protocol 0.9, from memory: name space, names of the elements, at most 50,000 addresses a file
SPACE = "{http://www.sitemaps.org/schemas/sitemap/0.9}"


def locations(content: bytes) -> list[str]:
    return [element.text for element in ElementTree.fromstring(content).iter(f"{SPACE}loc")]


@pytest.mark.parametrize("site_url", ["https://base.example/", "https://base.example/chargers/"])
def test_addresses_are_absolute_sorted_and_escaped(site_url):
    (file,) = sitemap_files(["/z/", "/", "/a&b/ü/", "/z/"], site_url)
    assert file.path == "sitemap.xml"
    assert ElementTree.fromstring(file.content).tag == f"{SPACE}urlset"
    assert locations(file.content) == [site_url, f"{site_url}a%26b/%C3%BC/", f"{site_url}z/"]


@pytest.mark.parametrize(
    "site_url", ["https://a.example/", "https://a.example/b/", "https://a.example", "https://a.example/b"]
)
@pytest.mark.parametrize("address", ["/", "/x/", "/a&b/ü/", "/a b/(1)~!*'/"])
def test_links_are_those_that_the_standard_library_joins(site_url: str, address: str) -> None:
    assert escaped_link(site_url, address) == str(escape(urljoin(site_url, quote(address[1:]))))


def test_too_many_for_one_file_become_an_index():
    addresses = [f"/x/{number:03d}/" for number in range(7)]
    index, *parts = sitemap_files(addresses, "https://base.example/", largest=3)
    assert ElementTree.fromstring(index.content).tag == f"{SPACE}sitemapindex"
    assert locations(index.content) == [f"https://base.example/{part.path}" for part in parts]
    assert [len(locations(part.content)) for part in parts] == [3, 3, 1]
    listed = [location for part in parts for location in locations(part.content)]
    assert listed == [f"https://base.example{address}" for address in addresses]


def test_file_limit_is_that_of_the_protocol():
    addresses = [f"/{number}/" for number in range(50_001)]
    assert [file.path for file in sitemap_files(addresses[:-1], "https://base.example/")] == ["sitemap.xml"]
    assert len(sitemap_files(addresses, "https://base.example/")) == 3


def test_empty_site_still_has_a_sitemap():
    (file,) = sitemap_files([], "https://base.example/")
    assert locations(file.content) == []


def test_order_of_pages_does_not_matter():
    assert addresses_file(["/b/", "/a/", "/b/"]) == addresses_file(["/a/", "/b/"])


def test_both_lists_hold_every_page_and_no_other(project):
    project = project.with_pages(Page("/parts/-/ölig/", "X", "", "<h1>X</h1>"))
    assert build_site(project.settings, project.source).is_good
    site = project.site.resolve()
    pages = sorted(path.parent.relative_to(site).as_posix() for path in site.rglob("index.html"))
    expected = sorted("/" if page == "." else f"/{page}/" for page in pages)
    assert json.loads((site / "data" / "addresses.json").read_text(encoding="utf-8")) == {"addresses": expected}
    assert len(locations((site / "sitemap.xml").read_bytes())) == len(expected) == 5
    assert not (site / "sitemap.xml.gz").exists()
