"""A page that can be made when it is asked for: its address is known before, so that one page costs one page."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from lidoff.pages import addresses
from lidoff.pages.environment import rendered
from lidoff.website import Page


@dataclass(frozen=True, slots=True)
class Planned:
    """The address of a page and how it is made."""

    address: str
    make: Callable[[], Page]


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
