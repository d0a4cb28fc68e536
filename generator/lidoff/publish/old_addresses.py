"""Addresses once published stay: what has moved leads on, and what is gone says so."""

import json
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import quote, urljoin

from markupsafe import escape

from lidoff.publish.policy import content_policy
from lidoff.publish.shell import ShellError, page_file
from lidoff.publish.sitemap import ADDRESSES_FILE
from lidoff.website import SiteFile

_HEAD = """<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
"""


class UnreadableSite(Exception):
    """The site named as the last one has no list of addresses; the text says how to mend it."""


@dataclass(frozen=True, slots=True)
class Published:
    """The page addresses of a site: those with a page, those that lead on with where to, and those that are gone."""

    addresses: frozenset[str] = frozenset()
    moved: Mapping[str, str] = field(default_factory=dict)
    gone: frozenset[str] = frozenset()

    @property
    def listed(self) -> tuple[object, ...]:
        """All of it in an order that does not depend on chance."""
        return sorted(self.addresses), sorted(self.moved.items()), sorted(self.gone)

    def follow(self, addresses: Collection[str], moved: Mapping[str, str]) -> "Published":
        """What the next site owes to its readers, which has these pages and these moves: nothing that was here is lost.

        A move is kept as long as it leads to a page, over further moves if need be; all else that has no page is gone.
        """
        now = frozenset(addresses)
        wanted = {**self.moved, **moved}
        found = {old: _end(old, wanted, now) for old in sorted(wanted) if old not in now}
        kept = {old: new for old, new in found.items() if new in now}
        return Published(now, kept, (self.addresses | self.gone | found.keys()) - now - kept.keys())


def _end(old: str, moves: Mapping[str, str], pages: Collection[str]) -> str:
    """Where moves lead from an address: to the first that is a page, else to where they end or come round again."""
    seen = set()
    while old in moves and old not in seen and old not in pages:
        seen.add(old)
        old = moves[old]
    return old


def read_published(site: Path) -> Published:
    """The addresses of a site in a folder; raises UnreadableSite where it has no list of them."""
    file = site / ADDRESSES_FILE
    try:
        content = json.loads(file.read_bytes())
        found = Published(frozenset(content["addresses"]), content.get("moved", {}), frozenset(content.get("gone", ())))
        for address in (*found.addresses, *found.moved, *found.moved.values(), *found.gone):
            page_file(address)
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError, ShellError) as fault:
        raise UnreadableSite(_unreadable(file, fault)) from fault
    return found


def _unreadable(file: Path, fault: Exception) -> str:
    return (
        f"found     {file}, which can't be read as a list of addresses ({type(fault).__name__})\n"
        f"expected  {ADDRESSES_FILE} in the folder of the last published site\n"
        f"fix       name that folder with --previous, or leave --previous away for a first site"
    )


def old_pages(published: Published, site_url: str) -> Iterator[SiteFile]:
    """A small page at every address that has moved or is gone."""
    for old, new in published.moved.items():
        yield SiteFile(page_file(old), _moved(old, new, site_url).encode("utf-8"))
    for address in sorted(published.gone):
        yield SiteFile(page_file(address), _gone(address).encode("utf-8"))


def _moved(old: str, new: str, site_url: str) -> str:
    target = escape(_root(old) + quote(new[1:]))
    canonical = escape(urljoin(site_url, quote(new[1:])))
    return (
        f"{_head()}<title>This page has moved</title>\n"
        f'<link rel="canonical" href="{canonical}">\n'
        f'<meta http-equiv="refresh" content="0; url={target}">\n'
        f'</head>\n<body>\n<h1>This page has moved</h1>\n<p>It is now at <a href="{target}">{escape(new)}</a>.</p>\n'
        f"</body>\n</html>\n"
    )


def _gone(address: str) -> str:
    return (
        f'{_head()}<title>This page is gone</title>\n<meta name="robots" content="noindex">\n'
        f"</head>\n<body>\n<h1>This page is gone</h1>\n"
        f"<p>There was a page here. What it was made from is no longer in this collection, or has another name.</p>\n"
        f'<p><a href="{_root(address)}">To the start page</a></p>\n</body>\n</html>\n'
    )


def _head() -> str:
    return _HEAD.format(policy=escape(content_policy(in_header=False)))


def _root(address: str) -> str:
    return "../" * (address.count("/") - 1) or "./"
