"""The page of designs that several products share."""

from collections.abc import Iterator
from functools import partial

from lidoff.pages import addresses
from lidoff.pages.context import Context
from lidoff.pages.plan import Planned, page
from lidoff.pages.views.designs import designs_view
from lidoff.pages.views.notices import demo_notices
from lidoff.website import Page

ADDRESS = "/designs/"


def index_plans(context: Context) -> Iterator[Planned]:
    """The one page."""
    yield Planned(ADDRESS, partial(_page, context))


def _page(context: Context) -> Page:
    view = designs_view(context.kinship, context.by_slug, addresses.root(ADDRESS))
    members = [context.by_slug[slug] for group in context.kinship.designs for slug in group]
    values = {"view": view, "notices": demo_notices(members)}
    description = "Products of different names that are the same design inside, with what points at it."
    return page(ADDRESS, "designs.html.j2", "One design, several names", description, values, is_builder=True)
