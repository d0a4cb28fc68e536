"""Product pages with the files they show."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import partial
from pathlib import Path, PurePosixPath

from lidoff.bench.log_copy import log_as_csv
from lidoff.bench.logs import log_rows
from lidoff.entry import Entry
from lidoff.figures.catalogue import QUESTIONS
from lidoff.pages import addresses
from lidoff.pages.context import Context
from lidoff.pages.kin import Kin
from lidoff.pages.linked_data import product_data_block
from lidoff.pages.neighbours import Crowd, Neighbours, crowd_of, neighbours
from lidoff.pages.picture_plan import wanted
from lidoff.pages.plan import Planned, digest_of, page
from lidoff.pages.sections.product_data import product_data
from lidoff.pages.views.head import one_line
from lidoff.pages.views.kin import kin_view
from lidoff.pages.views.log_files import published_names
from lidoff.pages.views.product import product_view
from lidoff.settings import Settings
from lidoff.trends.citation import product_citation
from lidoff.website import Page, PictureFile, Piece, SiteFile


def pieces(context: Context) -> Iterator[Piece]:
    """One page a product, with its data."""
    crowd = crowd_of(((entry.slug, entry.sketch.product) for entry in context.entries), context.settings.tiers_w)
    for entry in context.entries:
        around, kin = neighbours(entry, crowd), context.kinship.kin(entry)
        make = partial(_made, entry, around, kin, context)
        # of the settings pages show the site's name and address
        shown = (entry.findings, around, kin, context.settings.site_name, context.settings.site_url)
        yield Piece(f"/{addresses.product(entry.slug)}", make, digest_of([entry], *shown))


def plans(context: Context) -> Iterator[Planned]:
    """The same pages, for whoever wants one of them: nothing is done for the others."""
    crowd = crowd_of(((entry.slug, entry.sketch.product) for entry in context.entries), context.settings.tiers_w)
    for entry in context.entries:
        yield Planned(f"/{addresses.product(entry.slug)}", partial(_page, entry, crowd, context))


def _page(entry: Entry, crowd: Crowd, context: Context) -> Page:
    return product_page(entry, neighbours(entry, crowd), context.kinship.kin(entry), context.settings)


def product_page(entry: Entry, around: Neighbours, kin: Kin, settings: Settings) -> Page:
    """The page of one product; where there is a picture of the whole unit, it stands for the page."""
    address = f"/{addresses.product(entry.slug)}"
    view = product_view(entry, around, settings.base)
    made = page(
        address,
        "product/page.html.j2",
        title=entry.title,
        description=f"{entry.title}: {one_line(entry)}",
        values={
            "view": view,
            "kin": kin_view(entry, kin),
            "citation": product_citation(entry, settings),
            "data": product_data_block(entry, settings),
            "questions": QUESTIONS,
        },
        edit_path=entry.path,
    )
    lead = view.pictures.lead
    if lead is None or lead.variants is None:
        return made
    return replace(made, image=lead.variants.jpeg.removeprefix(addresses.root(address)), image_alt=lead.alt)


def _made(entry: Entry, around: Neighbours, kin: Kin, context: Context) -> tuple[Page, tuple[SiteFile, ...]]:
    return product_page(entry, around, kin, context.settings), product_data(entry, context.lines_of)


def moved(context: Context) -> Mapping[str, str]:
    """The addresses that products had before, each with the one of today."""
    return {
        f"/{addresses.product(path)}": f"/{addresses.product(entry.slug)}"
        for entry in context.entries
        for path in entry.sketch.product.formerly
    }


def pictures(context: Context) -> Iterator[PictureFile]:
    """What is to be made of the pictures of every product."""
    for entry in context.entries:
        yield from wanted(entry, context.settings.base)


def files(context: Context) -> Iterator[SiteFile]:
    """The traces and the logs of every product, beside its page."""
    for entry in context.entries:
        yield from _beside(entry, context.settings.base)


def files_of(entry: Entry, base: Path) -> Iterator[SiteFile]:
    """All files of one product: its data, and the traces and logs beside its page."""
    yield from product_data(entry)
    yield from _beside(entry, base)


def _beside(entry: Entry, base: Path) -> Iterator[SiteFile]:
    folder = base / PurePosixPath(entry.path).parent
    yield from _traces(entry, folder)
    yield from _logs(entry, folder)


def _traces(entry: Entry, folder: Path) -> Iterator[SiteFile]:
    """Pictures that rows of measurements lead to. A missing one is a finding of the checks, not a fault here."""
    measured = entry.sketch.measured
    names = [row.photo for row in (measured.waveforms if measured else ()) if row.photo]
    for name in dict.fromkeys(names):
        if (folder / name).is_file():
            yield SiteFile(f"{addresses.product(entry.slug)}{name}", (folder / name).read_bytes())


def _logs(entry: Entry, folder: Path) -> Iterator[SiteFile]:
    """The numbers of each log that could be read; they are read once more, so that no build holds them all."""
    names = published_names(entry)
    rows = dict(log_rows(entry.record)) if names else {}
    for at, name in names.items():
        content = log_as_csv(folder / rows[at].log, rows[at], entry.logs[at])
        yield SiteFile(f"{addresses.product(entry.slug)}{name}", content)
