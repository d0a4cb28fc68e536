"""The page that looks up part numbers and prints, and the files that it searches."""

from collections.abc import Iterator
from functools import partial

from lidoff.examination.desk import digest
from lidoff.examination.packing import encoded
from lidoff.pages.context import Context
from lidoff.pages.marking_index import FOLDER, index_files
from lidoff.pages.plan import Planned, digest_of, page
from lidoff.pages.views.lookup import lookup_rows
from lidoff.pages.views.notices import demo_notices
from lidoff.website import Bundle, Page, SiteFile

ADDRESS = "/parts/lookup/"
TITLE = "What is this top mark?"
DESCRIPTION = "Looks up what is printed on a part, or a part number, in full or in part."


def index_plans(context: Context) -> Iterator[Planned]:
    """The page with the field."""
    yield Planned(ADDRESS, partial(_page, context))


def _page(context: Context) -> Page:
    values = {"title": TITLE, "notices": demo_notices(context.entries)}
    return page(ADDRESS, "lookup.html.j2", TITLE, DESCRIPTION, values, is_builder=True)


def files(context: Context) -> Iterator[SiteFile]:
    """The index, in small files."""
    yield from index_files(lookup_rows(context))


def bundle(context: Context) -> Bundle:
    """The same, to be kept while no part changes."""
    # a digest a product: all parts as one text would take as much memory as all else
    shown = [(entry.slug, entry.title, digest(encoded(entry.sketch.components))) for entry in context.entries]
    return Bundle(f"{FOLDER}/", partial(files, context), digest_of((), shown))
