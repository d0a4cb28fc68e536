"""Product pages with the files they show."""

from collections.abc import Iterator
from functools import partial
from pathlib import PurePosixPath

from lidoff.bench.log_copy import log_as_csv
from lidoff.bench.logs import log_rows
from lidoff.entry import Entry
from lidoff.figures.catalogue import QUESTIONS
from lidoff.pages import addresses
from lidoff.pages.context import Context
from lidoff.pages.plan import Planned, page
from lidoff.pages.views.head import one_line
from lidoff.pages.views.log_files import published_names
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
    """The pictures and the logs of every product, beside its page."""
    yield from _pictures(context)
    yield from _logs(context)


def _pictures(context: Context) -> Iterator[SiteFile]:
    """A missing picture is a finding of the checks, not a fault here."""
    for entry in context.entries:
        folder = context.settings.base / PurePosixPath(entry.path).parent
        names = [photo.file for photo in entry.record.photos]
        names += [row.photo for row in (entry.record.measured.waveforms if entry.record.measured else ()) if row.photo]
        for name in dict.fromkeys(names):
            if (folder / name).is_file():
                yield SiteFile(f"{addresses.product(entry.slug)}{name}", (folder / name).read_bytes())


def _logs(context: Context) -> Iterator[SiteFile]:
    """The numbers of each log that could be read; they are read once more, so that no build holds them all."""
    for entry in context.entries:
        names, rows = published_names(entry), dict(log_rows(entry.record))
        if names:
            folder = context.settings.base / PurePosixPath(entry.path).parent
            for at, name in names.items():
                content = log_as_csv(folder / rows[at].log, rows[at], entry.logs[at])
                yield SiteFile(f"{addresses.product(entry.slug)}{name}", content)
