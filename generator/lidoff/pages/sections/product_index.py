"""The index of products, and the files with the rows that its page does not hold."""

import json
from collections.abc import Iterator
from functools import partial

from lidoff.pages import addresses
from lidoff.pages.context import Context
from lidoff.pages.plan import Planned, page
from lidoff.pages.views.product_index import further_rows, place_files, product_index_view, row_data
from lidoff.website import Page, SiteFile

ADDRESS = "/products/"
NAMES = "data/index/names.json"


def index_plans(context: Context) -> Iterator[Planned]:
    """The index page."""
    yield Planned(ADDRESS, partial(_page, context))


def _page(context: Context) -> Page:
    view = product_index_view(context, addresses.root(ADDRESS))
    return page(ADDRESS, "product_index.html.j2", view.title, view.sentence, {"view": view}, is_builder=True)


def files(context: Context) -> Iterator[SiteFile]:
    """The names of all products, the further rows, and what goes with the filters."""
    yield names_file(context)
    root = addresses.root(ADDRESS)
    for name, entries in further_rows(context):
        yield _json(name, row_data(entries, context, root))
    for name, found in place_files(context):
        yield _json(name, found)


def names_file(context: Context) -> SiteFile:
    """The names of all products, for the field that adds one to a comparison."""
    return _json(NAMES, [[entry.slug, entry.title] for entry in context.entries])


def _json(path: str, content: object) -> SiteFile:
    return SiteFile(path, json.dumps(content, ensure_ascii=False, separators=(",", ":")).encode("utf-8"))
