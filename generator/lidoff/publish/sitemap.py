"""The lists of published addresses: sitemap.xml for search engines, data/addresses.json for tools and later builds."""

import json
from collections.abc import Iterable, Mapping
from functools import cache
from urllib.parse import quote, urljoin

from markupsafe import escape

from lidoff.website import SiteFile

ADDRESSES_FILE = "data/addresses.json"
LARGEST_SITEMAP = 50_000  # addresses in one file, sitemaps.org protocol 0.9 (from memory)
_HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n'
_NAMESPACE = 'xmlns="http://www.sitemaps.org/schemas/sitemap/0.9"'


def sitemap_files(addresses: Iterable[str], site_url: str, largest: int = LARGEST_SITEMAP) -> tuple[SiteFile, ...]:
    """sitemap.xml, or an index with numbered parts where one file can't hold all; sorted, without dates."""
    links = [escaped_link(site_url, address) for address in sorted(set(addresses))]
    parts = [links[start : start + largest] for start in range(0, len(links), largest)] or [[]]
    if len(parts) == 1:
        return (_file("sitemap.xml", "urlset", "url", parts[0]),)
    names = [f"sitemap-{number}.xml" for number in range(1, len(parts) + 1)]
    index = _file("sitemap.xml", "sitemapindex", "sitemap", [escaped_link(site_url, f"/{name}") for name in names])
    return (index, *(_file(name, "urlset", "url", part) for name, part in zip(names, parts, strict=True)))


def addresses_file(
    addresses: Iterable[str], moved: Mapping[str, str] | None = None, gone: Iterable[str] = ()
) -> SiteFile:
    """data/addresses.json: every page address of this build, one a line, relative to the site's base.

    Old addresses stand apart: those that lead on with where to, and those that are gone.
    """
    content: dict[str, object] = {"addresses": sorted(set(addresses))}
    if moved:
        content["moved"] = dict(sorted(moved.items()))
    if gone:
        content["gone"] = sorted(gone)
    return SiteFile(ADDRESSES_FILE, (json.dumps(content, indent=1, ensure_ascii=False) + "\n").encode("utf-8"))


def escaped_link(site_url: str, address: str) -> str:
    """The whole link to an address of the site, escaped for HTML and XML."""
    return f"{_start(site_url)}{quote(address[1:])}" if address != "/" else str(escape(site_url))


@cache
def _start(site_url: str) -> str:
    # an address is quoted and has no dots for folders, so that joining it by the rules for links would change nothing
    return str(escape(urljoin(site_url, ".")))


def _file(name: str, outer: str, inner: str, links: list[str]) -> SiteFile:
    rows = "".join(f"<{inner}><loc>{link}</loc></{inner}>\n" for link in links)
    return SiteFile(name, f"{_HEAD}<{outer} {_NAMESPACE}>\n{rows}</{outer}>\n".encode())
