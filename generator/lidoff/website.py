"""What the page stage hands to the publishing stage: fragments of HTML and files, and nothing of any site builder."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Page:
    """A page without its frame.

    ``address`` starts and ends with a slash and is relative to the site's base (``/products/b/m/``). ``body`` is an HTML
    fragment that is already safe and holds its own ``<h1>``; links to other pages of the site are relative to this page.
    ``frame`` says who draws the frame: ``builder`` for the few pages that the site builder renders itself, ``stamped``
    for the thousands that are set into a frame rendered once. ``edit_path`` is the source file, relative to the folder of
    mkdocs.yml.
    """

    address: str
    title: str
    description: str
    body: str
    frame: Literal["builder", "stamped"] = "stamped"
    edit_path: str | None = None


@dataclass(frozen=True, slots=True)
class SiteFile:
    """A file of the site that is not a page; ``path`` is relative to the site's base and uses forward slashes."""

    path: str
    content: bytes


@dataclass(frozen=True, slots=True)
class Website:
    """All that one build publishes; ``pages`` may be a generator, so that thousands of pages are never held at once.

    The pages with the frame ``builder`` come first: the site builder needs them before it starts.
    """

    pages: Iterable[Page]
    files: Iterable[SiteFile]
