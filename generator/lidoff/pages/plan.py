"""A page that can be made when it is asked for: its address is known before, so that one page costs one page."""

import hashlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.pages.environment import rendered
from lidoff.website import Page


@dataclass(frozen=True, slots=True)
class Planned:
    """The address of a page and how it is made; ``inputs`` is a digest of all that it is made from, where known."""

    address: str
    make: Callable[[], Page]
    inputs: str = ""


def digest_of(entries: Iterable[Entry], *others: object) -> str:
    """A digest of all that was read for these entries, and of plain data; empty where it is not known for each."""
    read = [entry.inputs for entry in entries]
    return hashlib.sha256(repr((read, others)).encode("utf-8", errors="surrogatepass")).hexdigest() if all(read) else ""


def page(
    address: str,
    template: str,
    title: str,
    description: str,
    values: Mapping[str, object],
    is_builder: bool = False,
    edit_path: str | None = None,
) -> Page:
    """A page from its template; every template knows the way to the site's base as ``root``."""
    body = rendered(template, root=addresses.root(address), **values)
    return Page(address, title, description, body, "builder" if is_builder else "stamped", edit_path)
