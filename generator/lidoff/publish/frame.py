"""What the theme's templates are given: the site's navigation as seen from one page, and the page's own slots."""

from dataclasses import dataclass

from markupsafe import Markup, escape
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page as BuilderPage

from lidoff.publish.shell import Addressing, Slots, edit_anchor, plain, section_of


@dataclass(frozen=True, slots=True)
class NavEntry:
    """A line of the navigation: a page, a link elsewhere, or a section with its pages."""

    label: str
    url: str
    pages: tuple["NavEntry", ...] = ()


@dataclass(frozen=True, slots=True)
class NavLink:
    """A line of the navigation as seen from one page; ``current`` is the value of aria-current, or empty."""

    label: str
    url: str
    current: str


def nav_entries(nav: Navigation) -> tuple[NavEntry, ...]:
    """The navigation without the home page, which the site's name links to."""
    return tuple(_entry(item) for item in nav.items if not (item.is_page and item.url == ""))


def _entry(item: object) -> NavEntry:
    pages = tuple(_entry(child) for child in item.children or ())
    return NavEntry(label_of(item.title), pages[0].url if pages else (item.url or ""), pages)


def label_of(title: str | None) -> str:
    """A title as escaped text: mkdocs escapes the titles it read from headings, but not those from mkdocs.yml."""
    return plain(Markup(title or "").striptags())


def nav_links(entries: tuple[NavEntry, ...], url: str, base: str) -> tuple[NavLink, ...]:
    """The entries with links relative to the page at ``url``, whose base is ``base``."""
    return tuple(NavLink(entry.label, _relative(entry.url, base), _current(entry, url)) for entry in entries)


def siblings(entries: tuple[NavEntry, ...], url: str) -> tuple[NavEntry, ...]:
    """The pages of the navigation's section in which this page lies."""
    return next((entry.pages for entry in entries if entry.pages and _current(entry, url)), ())


def _relative(url: str, base: str) -> str:
    return url if ":" in url or url.startswith("/") else base + url


def _current(entry: NavEntry, url: str) -> str:
    if entry.pages:
        return "true" if any(_current(page, url) for page in entry.pages) else ""
    if entry.url == url:
        return "page"
    is_section = entry.url.count("/") == 1 and section_of(entry.url) == section_of(url) != ""
    return "true" if is_section else ""


def base_of(url: str) -> str:
    """From a page back to the site's top folder."""
    return "../" * url.count("/") or "./"


def slots_of(page: BuilderPage, addressing: Addressing) -> Slots:
    """The slots of a page that was written in Markdown."""
    title = plain(Markup(page.meta.get("title") or page.title or "").striptags())
    return Slots(
        title=title if page.url == "" else f"{title} - {plain(addressing.site_name)}",
        description=plain(str(page.meta.get("description") or "")),
        canonical=str(escape(page.canonical_url or "")),
        edit=edit_anchor(page.edit_url) if page.edit_url else "",
        content=page.content or "",
    )
