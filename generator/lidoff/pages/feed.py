"""What is new, as an Atom feed (RFC 4287): records by the day of their teardown, and corrections by their own."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from xml.etree import ElementTree

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.pages.views.head import one_line
from lidoff.settings import Settings
from lidoff.trends.citation import about

NAMESPACE = "http://www.w3.org/2005/Atom"
ADDRESS = "feed.xml"
MOST = 100
NO_DAY = "1970-01-01"
# characters that XML 1.0 (fifth edition, section 2.2) has no way to write
_UNWRITABLE = re.compile("[^\\t\\n\\r\\x20-\\ud7ff\\ue000-\\ufffd\\U00010000-\\U0010ffff]")


@dataclass(frozen=True, slots=True)
class News:
    """One item of the feed; ``id`` stays as long as the address of the page does."""

    id: str
    day: str
    title: str
    link: str
    summary: str


def feed(entries: Iterable[Entry], settings: Settings) -> bytes:
    """The newest items, newest first. Without a single day in the records the feed is as old as can be written."""
    published = [entry for entry in entries if not entry.is_draft]
    of = about(published, settings)
    items = sorted((item for entry in published for item in _items(entry, settings.site_url)), key=lambda one: one.id)
    items.sort(key=lambda one: one.day, reverse=True)
    root = ElementTree.Element("feed", xmlns=NAMESPACE)
    _text(root, "title", of.site_name)
    _text(root, "id", of.site_url)
    _text(root, "updated", _instant(of.newest or NO_DAY))
    _text(ElementTree.SubElement(root, "author"), "name", of.author)
    ElementTree.SubElement(root, "link", rel="self", type="application/atom+xml", href=f"{of.site_url}{ADDRESS}")
    ElementTree.SubElement(root, "link", rel="alternate", type="text/html", href=of.site_url)
    for item in items[:MOST]:
        _add(root, item)
    ElementTree.indent(root)
    return ElementTree.tostring(root, encoding="utf-8", xml_declaration=True) + b"\n"


def _items(entry: Entry, site_url: str) -> Iterator[News]:
    record = entry.sketch
    page = f"{site_url}{addresses.product(entry.slug)}"
    invented = "Invented demonstration data. " if record.demo else ""
    if record.teardown:
        yield News(page, record.teardown.date, f"Opened: {entry.title}", page, invented + one_line(entry))
    seen: dict[str, int] = {}
    for correction in record.corrections:
        seen[correction.date] = number = seen.get(correction.date, 0) + 1
        id = f"{page}#corrected-{correction.date}-{number}"
        title = f"Corrected: {entry.title}"
        yield News(id, correction.date, title, f"{page}#corrections", invented + correction.what)


def _add(root: ElementTree.Element, item: News) -> None:
    entry = ElementTree.SubElement(root, "entry")
    _text(entry, "title", item.title)
    _text(entry, "id", item.id)
    _text(entry, "updated", _instant(item.day))
    ElementTree.SubElement(entry, "link", rel="alternate", type="text/html", href=item.link)
    _text(entry, "summary", item.summary)


def _text(parent: ElementTree.Element, name: str, text: str) -> None:
    ElementTree.SubElement(parent, name).text = _UNWRITABLE.sub("\ufffd", text)


def _instant(day: str) -> str:
    return f"{day}T00:00:00Z"
