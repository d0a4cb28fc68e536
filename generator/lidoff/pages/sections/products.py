"""Product pages with the files they show."""

from collections.abc import Iterator
from functools import partial
from pathlib import PurePosixPath

from lidoff.entry import Entry
from lidoff.figures.catalogue import QUESTIONS
from lidoff.pages import addresses
from lidoff.pages.context import Context
from lidoff.pages.plan import Planned, page
from lidoff.pages.views.head import one_line
from lidoff.pages.views.product import product_view
from lidoff.website import Page, SiteFile


def plans(context: Context) -> Iterator[Planned]:
    """One page a product."""
    for entry in context.entries:
        yield Planned(f"/{addresses.product(entry.slug)}", partial(product_page, entry, context))


def product_page(entry: Entry, context: Context) -> Page:
    """The page of one product."""
    return page(
        f"/{addresses.product(entry.slug)}",
        "product/page.html.j2",
        title=entry.title,
        description=f"{entry.title}: {one_line(entry)}",
        values={"view": product_view(entry, context), "questions": QUESTIONS},
        edit_path=entry.path,
    )


def files(context: Context) -> Iterator[SiteFile]:
    """The pictures of every product, beside its page; a missing one is a finding of the checks, not a fault here."""
    for entry in context.entries:
        folder = context.settings.base / PurePosixPath(entry.path).parent
        for name in dict.fromkeys(photo.file for photo in entry.record.photos):
            if (folder / name).is_file():
                yield SiteFile(f"{addresses.product(entry.slug)}{name}", (folder / name).read_bytes())
