"""The page of the text search, and the texts that it searches."""

from collections.abc import Iterator
from functools import partial

from lidoff.pages.context import Context
from lidoff.pages.plan import Planned, page
from lidoff.pages.views.notices import demo_notices
from lidoff.pages.views.search import search_choices, search_text
from lidoff.website import Page, SearchText

ADDRESS = "/search/"
TITLE = "Search"
DESCRIPTION = "Searches the products by words, with filters."


def index_plans(context: Context) -> Iterator[Planned]:
    """The page with the field."""
    yield Planned(ADDRESS, partial(_page, context))


def _page(context: Context) -> Page:
    values = {"title": TITLE, "notices": demo_notices(context.entries), "choices": tuple(search_choices(context))}
    return page(ADDRESS, "search.html.j2", TITLE, DESCRIPTION, values, is_builder=True)


def texts(context: Context) -> Iterator[SearchText]:
    """A short text for each product."""
    return (search_text(entry, context) for entry in context.entries)
