"""Links that lead nowhere, found in a page's HTML once the whole site is written."""

import os
import posixpath
import re
from pathlib import Path
from urllib.parse import unquote, urlsplit

_LINK = re.compile(r'<[a-z][^>]*?\s(?:href|src)="([^"]*)"', re.IGNORECASE)
_ID = re.compile(r'\sid="([^"]*)"')


def dead_links(address: str, html: str, site: Path) -> tuple[str, ...]:
    """Every link of the page to something that the site's folder doesn't hold, or to no place on the page itself."""
    dead: list[str] = []
    places = set(_ID.findall(html))
    for link in dict.fromkeys(_LINK.findall(html)):
        target = urlsplit(link.replace("&amp;", "&"))
        if target.scheme or target.netloc:
            continue
        if not target.path:
            is_there = not target.fragment or unquote(target.fragment) in places
        else:
            is_there = _holds(site, posixpath.join(address[1:], unquote(target.path)))
        if not is_there:
            dead.append(link)
    return tuple(dead)


def _holds(site: Path, path: str) -> bool:
    inner = posixpath.normpath(path)
    if inner.startswith(("..", "/")):
        return False
    is_page = path.endswith(("/", "..", "."))
    return os.path.isfile(os.path.join(site, inner, "index.html") if is_page else os.path.join(site, inner))
