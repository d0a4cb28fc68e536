"""A page's frame, rendered once by the site builder and cut at its slots; thousands of pages are then only joined."""

import hashlib
import posixpath
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from functools import lru_cache
from itertools import chain
from urllib.parse import quote, urljoin

from markupsafe import escape

from lidoff.website import Page


class ShellError(Exception):
    """The builder's page doesn't hold each slot exactly once."""


@dataclass(frozen=True, slots=True)
class Slots:
    """What differs between two pages of one frame, as HTML that is ready to be set in."""

    title: str
    description: str
    canonical: str
    edit: str
    content: str
    social: str = ""


SLOT_NAMES = tuple(one.name for one in fields(Slots))
SENTINELS = Slots(*(f"LidoffSlot{name.capitalize()}Zq7" for name in SLOT_NAMES))


@dataclass(frozen=True, slots=True)
class Shell:
    """The text around the slots, and the names of the slots in the order in which they stand."""

    pieces: tuple[str, ...]
    order: tuple[str, ...]

    def stamp(self, slots: Slots) -> str:
        """The whole page."""
        filled = (getattr(slots, name) for name in self.order)
        return self.pieces[0] + "".join(chain.from_iterable(zip(filled, self.pieces[1:], strict=True)))


def cut(html: str) -> Shell:
    """Cut a rendered page at its sentinels; raises ShellError unless each stands there exactly once."""
    places = []
    for name in SLOT_NAMES:
        sentinel = getattr(SENTINELS, name)
        if html.count(sentinel) != 1:
            raise ShellError(
                f"found     the slot for {name} {html.count(sentinel)} times in the rendered frame\n"
                f"expected  once\n"
                f"fix       print {{{{ frame.{name} }}}} once in frame.html"
            )
        places.append((html.index(sentinel), name, sentinel))
    pieces, end = [], 0
    for start, _, sentinel in sorted(places):
        pieces.append(html[end:start])
        end = start + len(sentinel)
    return Shell((*pieces, html[end:]), tuple(name for _, name, _ in sorted(places)))


@dataclass(frozen=True, slots=True)
class Addressing:
    """How a page's address and source file become links; below ``edit_base`` the files beside mkdocs.yml are edited."""

    site_name: str
    site_url: str
    edit_base: str | None = None

    def slots(self, page: Page) -> Slots:
        """What the frame of this page is filled with."""
        title = plain(page.title)
        return Slots(
            title=title if page.address == "/" else f"{title} - {plain(self.site_name)}",
            description=plain(page.description),
            canonical=str(escape(urljoin(self.site_url, quote(page.address[1:])))),
            edit=self.edit_link(page.edit_path),
            content=page.body,
            social=self._social(page, title) if page.image else "",
        )

    def _social(self, page: Page, title: str) -> str:
        """What other sites show where they link to the page: the Open Graph protocol (ogp.me), from memory."""
        said = {
            "og:type": "article",
            "og:site_name": plain(self.site_name),
            "og:title": title,
            "og:description": plain(page.description),
            "og:url": str(escape(urljoin(self.site_url, quote(page.address[1:])))),
            "og:image": str(escape(urljoin(self.site_url, quote(page.image or "")))),
            "og:image:alt": plain(page.image_alt),
        }
        return "".join(f'<meta property="{name}" content="{text}">\n' for name, text in said.items())

    def edit_link(self, edit_path: str | None) -> str:
        """A link to the place where the file can be edited; empty where there is none."""
        if edit_path is None or self.edit_base is None:
            return ""
        return edit_anchor(urljoin(self.edit_base, quote(edit_path)))


def edit_anchor(url: str) -> str:
    """The link to a page's source, as HTML."""
    return f'<a href="{escape(url)}" rel="edit">Propose a change to this page</a>'


def plain(text: str) -> str:
    """Plain text on one line, escaped for HTML text and for attributes."""
    return str(escape(" ".join(text.split())))


@dataclass(frozen=True, slots=True)
class Frames:
    """Every frame of one build, by section and depth. The section '' stands for all that have no frame of their own.

    ``own`` are those of pages of the navigation, by address, where the site builder has drawn no more of these.
    """

    shells: Mapping[tuple[str, int], Shell]
    addressing: Addressing
    own: Mapping[str, Shell] = field(default_factory=dict)

    def stamp(self, page: Page) -> str:
        """The page set into the frame of its section and depth; raises ShellError where no frame is that deep."""
        return self._shell(page.address).stamp(self.addressing.slots(page))

    def digest(self, address: str) -> str:
        """A digest of all that a frame adds to a page at an address; raises ShellError where no frame is that deep."""
        return _digest(self._shell(address), self.addressing)

    def _shell(self, address: str) -> Shell:
        section, depth = section_of(address), address.count("/") - 1
        shell = self.own.get(address) or self.shells.get((section, depth)) or self.shells.get(("", depth))
        if shell is None:
            deepest = max((depth for _, depth in self.shells), default=0)
            raise ShellError(
                f"found     a page at {address}, {depth} folders deep\n"
                f"expected  at most {deepest} folders\n"
                f"fix       give the page a shorter address, or raise DEEPEST in publish/mkdocs_files.py"
            )
        return shell


@lru_cache(maxsize=64)
def _digest(shell: Shell, addressing: Addressing) -> str:
    return hashlib.sha256(repr((shell, addressing)).encode("utf-8")).hexdigest()


def section_of(address: str) -> str:
    """The first folder of an address, with or without its leading slash; '' for the home page."""
    return address.lstrip("/").partition("/")[0]


def page_file(address: str) -> str:
    """The file of a page relative to the site's folder; raises ShellError for an address that can't be published."""
    inner = address[1:-1]
    parts = inner.split("/") if inner else []
    sound = address == "/" or (address.startswith("/") and address.endswith("/") and posixpath.normpath(inner) == inner)
    if not sound or any(part.startswith(".") or set(part) & set('\\?#%:*"<>|\0') for part in parts):
        raise ShellError(
            f"found     the page address {address!r}\n"
            f'expected  folders between slashes, none empty or starting with a dot, without \\ ? # % : * " < > |'
        )
    return "/".join((*parts, "index.html"))
