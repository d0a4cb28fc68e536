"""One build as mkdocs' events see it: which pages are ours, what goes into their frames, what is written at the end."""

import re
import shutil
from collections.abc import Callable, Iterator
from contextlib import nullcontext
from dataclasses import asdict, dataclass, field, replace
from functools import partial
from pathlib import Path
from urllib.parse import unquote, urlsplit

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import Files
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page as BuilderPage
from mkdocs.structure.toc import AnchorLink

from lidoff.publish import frame, mkdocs_files, policy
from lidoff.publish.links import dead_links
from lidoff.publish.old_addresses import Published, old_pages
from lidoff.publish.pictures import PictureMaker
from lidoff.publish.pieces import LastSite, PieceWriter, Written
from lidoff.publish.search import search_index
from lidoff.publish.shell import (
    SENTINELS,
    Addressing,
    Frames,
    Shell,
    ShellError,
    Slots,
    cut,
    page_file,
    plain,
    section_of,
)
from lidoff.publish.sitemap import addresses_file, sitemap_files
from lidoff.publish.workers import apart, shared_out
from lidoff.publish.writer import Writer
from lidoff.website import Page, Piece, SiteFile, Website

NOT_FOUND = "404.html"
SEARCH_PAGE = "/search/"
MANY = 500  # products: for fewer, further processes would cost more than they spare
_TABLE = re.compile(r"<table\b.*?</table>", re.DOTALL)
_HEADING = re.compile(r"<h1\b")
_ANCHOR = re.compile(r'\bid="([^"]+)"')


@dataclass
class Session:
    """The state of one build. ``notice`` is HTML set above the content of every page of a preview.

    With ``frames_only`` none of our pages is written: those of the navigation are drawn as frames too.
    """

    website: Website
    addressing: Addressing
    styles: str
    notice: str = ""
    with_policy: bool = True
    with_search: bool = True
    pictures: PictureMaker | None = None
    progress: Callable[[int], None] = lambda written: None
    last: LastSite | None = None
    previous: Published = Published()
    published: Published = Published()
    frames_only: bool = False
    written: list[Written] = field(default_factory=list)
    shells: dict[tuple[str, int], Shell] = field(default_factory=dict)
    own_shells: dict[str, Shell] = field(default_factory=dict)
    _ours: dict[str, Page] = field(default_factory=dict)
    _frame_keys: dict[str, tuple[str, int]] = field(default_factory=dict)
    _addresses: list[str] = field(default_factory=list)
    _hashes: set[str] = field(default_factory=set)
    _read: list[tuple[str, str]] = field(default_factory=list)
    _stamped: Iterator[Page] = iter(())
    _nav: tuple[frame.NavEntry, ...] | None = None

    def add_files(self, files: Files, config: MkDocsConfig) -> None:
        """Give mkdocs our pages of the navigation and one page for each frame."""
        builder, self._stamped = mkdocs_files.split(self.website.pages)
        for page in builder:
            self._ours[mkdocs_files.add_page(page, files, config)] = page
        for key in mkdocs_files.frame_keys(builder):
            file = mkdocs_files.frame_file(key, config)
            self._frame_keys[file.src_uri] = key
            files.append(file)
        mkdocs_files.drop_unused(files, config.theme.dirs)

    def content_of(self, html: str, page: BuilderPage) -> str:
        """The content of a page: ours, a frame's slot, or the rendered Markdown with its wide tables made reachable."""
        uri = page.file.src_uri
        if uri in self._ours and "title" not in vars(page):
            page.title = plain(self._ours[uri].title)
        if self._is_frame(uri):
            return SENTINELS.content
        self._read.append(("/" + unquote(page.url), self._ours[uri].body if uri in self._ours else html))
        if uri in self._ours:
            body = self._ours[uri].body
            page.present_anchor_ids = set(_ANCHOR.findall(body))
            return self.notice + body
        heading = "" if _HEADING.search(html) else f"<h1>{frame.label_of(page.title)}</h1>\n"
        scroller = '<div class="scroller" tabindex="0" role="group" aria-label="Table, may scroll sideways">'
        return self.notice + heading + _TABLE.sub(lambda table: f"{scroller}{table[0]}</div>", html)

    def _is_frame(self, uri: str) -> bool:
        return uri in self._frame_keys or (self.frames_only and uri in self._ours)

    def context_of(self, page: BuilderPage, nav: Navigation) -> dict[str, object]:
        """What the templates are given for a page."""
        uri = page.file.src_uri
        if self._is_frame(uri):
            slots = SENTINELS
        elif uri in self._ours:
            slots = self.addressing.slots(self._ours[uri])
        else:
            slots = frame.slots_of(page, self.addressing)
        context = self._context(slots, page.url, frame.base_of(page.url), nav)
        return context | {"content": page.content, "contents": _contents(page)}

    def context_of_not_found(self, nav: Navigation) -> dict[str, object]:
        """What the template of the page for unknown addresses is given; it may be shown at any depth."""
        slots = Slots(f"Page not found - {plain(self.addressing.site_name)}", "", "", "", "")
        return self._context(slots, NOT_FOUND, urlsplit(self.addressing.site_url).path, nav)

    def _context(self, slots: Slots, url: str, base: str, nav: Navigation) -> dict[str, object]:
        if self._nav is None:
            self._nav = frame.nav_entries(nav)
        return asdict(slots) | {
            "nav": frame.nav_links(self._nav, url, base),
            "siblings": frame.nav_links(frame.siblings(self._nav, url), url, base),
            "home": base,
            "search": base + SEARCH_PAGE[1:] if mkdocs_files.source_uri(SEARCH_PAGE) in self._ours else "",
            "styles": self.styles,
            "assets": mkdocs_files.frame_assets(),
            "policy": policy.PLACEHOLDER if self.with_policy else "",
            "referrer": policy.REFERRER,
        }

    def finish_page(self, html: str, content: str, page: BuilderPage | None) -> str:
        """Put the policy into a rendered page, and keep the page if it is a frame.

        Raises ShellError where the theme has no place for the policy or for a slot.
        """
        if self.with_policy and html.count(policy.PLACEHOLDER) != 1:
            raise ShellError(
                f"found     the policy {html.count(policy.PLACEHOLDER)} times in a rendered page\n"
                f"expected  once\n"
                f"fix       print {{{{ frame.policy }}}} once in a meta tag of the theme"
            )
        sealed, hashes = policy.seal(html, content)
        self._hashes.update(hashes)
        uri = page.file.src_uri if page else ""
        if uri in self._frame_keys:
            self.shells[self._frame_keys[uri]] = cut(sealed)
        elif self._is_frame(uri):
            self.own_shells[self._ours[uri].address] = cut(sealed)
        elif page is not None:
            self._addresses.append("/" + unquote(page.url))
        return sealed

    def write_rest(self, site: Path) -> tuple[str, ...]:
        """Stamp and write all that mkdocs did not; returns what would not work in a reader's browser."""
        for section in {"", *(section for section, _ in self.shells)}:
            shutil.rmtree(site / section / mkdocs_files.FRAME_FOLDER, ignore_errors=True)
        writer = Writer(site)
        if self.frames_only:
            return self._write_no_pages(site, writer)
        one = PieceWriter(writer, Frames(self.shells, self.addressing), self.notice, self.last)
        self._write_bundles(one)
        self._write_pieces(one)
        unusable = self.pictures.write(self.website.pictures, writer.file) if self.pictures else ()
        self._write_addresses(writer)
        writer.file(SiteFile("_headers", policy.headers_file(self._hashes)))
        if self.with_search:
            self.written.append(search_index(tuple(self.website.texts), site, writer, self.last))
        broken = (fault for address, html in self._read for fault in _faults(address, html, site))
        return (*unusable, *broken)

    def _write_no_pages(self, site: Path, writer: Writer) -> tuple[str, ...]:
        for address in self.own_shells:
            (site / page_file(address)).unlink()
        self._write_files(writer)
        return ()

    def _write_addresses(self, writer: Writer) -> None:
        site_url = self.addressing.site_url
        self.published = self.previous.follow(self._addresses, self.website.moved)
        old = old_pages(self.published, site_url)
        listed = addresses_file(self._addresses, self.published.moved, self.published.gone)
        for file in (*sitemap_files(self._addresses, site_url), *old, listed):
            writer.file(file)

    def _write_bundles(self, one: PieceWriter) -> None:
        """Write what rests on all records: of many it takes much memory for a short while, so not in this process."""
        works: list[Callable[[], Written | None]] = [partial(self._write_files, one.writer)]
        for bundle in self.website.bundles:
            kept = one.kept(bundle)
            if kept is None:
                works.append(partial(one.make, bundle))
            else:
                self._note(kept)
        is_much = self.website.products >= MANY
        with apart(works) if is_much else nullcontext(work() for work in works) as results:
            pieces = list(self.website.pieces)
            for made in filter(None, results):
                self._note(made)
        # the tables, which only these rest on, are held no more
        self.website = replace(self.website, pages=(), files=(), bundles=(), pieces=pieces)

    def _write_files(self, writer: Writer) -> None:
        for file in self.website.files:
            writer.file(file)

    def _write_pieces(self, one: PieceWriter) -> None:
        first: dict[str, Piece] = {}
        missing: list[Piece] = []
        for given in map(_piece, self._stamped):
            first.setdefault(section_of(given.address), given)
            self._note(one.make(given))
        for piece in self.website.pieces:
            first.setdefault(section_of(piece.address), piece)
            kept = one.kept(piece)
            if kept is None:
                missing.append(piece)
            else:
                self._note(kept)
        for made in shared_out(missing, one.make):
            self._note(made)
        # one page of a kind is read for all of them: they come from one template
        self._read.extend((piece.address, piece.make()[0].body) for piece in first.values())

    def _note(self, written: Written) -> None:
        self.written.append(written)
        if written.address:
            self._addresses.append(written.address)
        self.progress(len(self.written))

    @property
    def page_count(self) -> int:
        """How many pages were written."""
        return len(self._addresses)

    @property
    def frames(self) -> Frames | None:
        """The frames of this build, once mkdocs has rendered all of them."""
        is_drawn = self._frame_keys and len(self.shells) == len(self._frame_keys)
        return Frames(self.shells, self.addressing, self.own_shells) if is_drawn else None


def _piece(page: Page) -> Piece:
    if page.frame == "builder":
        raise ShellError(
            f"found     the builder's page {page.address} after stamped ones\n"
            f"expected  the builder's pages first: mkdocs needs them before it starts"
        )
    return Piece(page.address, lambda: (page, ()))


def _faults(address: str, html: str, site: Path) -> Iterator[str]:
    for breach in policy.breaches(html):
        yield f"{address}: {breach}: the content security policy will block this"
    for link in dead_links(address, html, site):
        yield f"{address}: the link {link} leads nowhere"


def _contents(page: BuilderPage) -> list[AnchorLink]:
    """The headings below the title, where there are enough of them to be worth a list."""
    headings = list(page.toc)
    if len(headings) == 1 and headings[0].level == 1:
        headings = headings[0].children
    return headings if len(headings) > 2 else []
