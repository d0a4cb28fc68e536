"""Pages of parts and of their makers."""

from collections.abc import Iterator, Mapping
from functools import partial

from lidoff.pages import addresses
from lidoff.pages.context import Context, MakerUses, PartUses
from lidoff.pages.plan import Planned, page
from lidoff.pages.views.part import maker_view, part_view
from lidoff.pages.views.parts_index import parts_index_view
from lidoff.website import Page


def index_plans(context: Context) -> Iterator[Planned]:
    """The page that leads to all parts and makers."""
    yield Planned("/parts/", partial(_index_page, context))


def plans(context: Context) -> Iterator[Planned]:
    """One page a part that has a number, one a maker."""
    by_number: dict[str, list[PartUses]] = {}
    for part in context.parts.values():
        by_number.setdefault(part.slug.partition("/")[2], []).append(part)
    for part in context.parts.values():
        yield Planned(f"/parts/{part.slug}/", partial(_part_page, part, by_number))
    for maker in context.makers.values():
        yield Planned(f"/makers/{maker.slug}/", partial(_maker_page, maker))


def _part_page(part: PartUses, by_number: Mapping[str, list[PartUses]]) -> Page:
    address = f"/parts/{part.slug}/"
    namesakes = [other for other in by_number[part.slug.partition("/")[2]] if other.slug != part.slug]
    view = part_view(part, namesakes, addresses.root(address))
    return page(address, "part.html.j2", view.title, f"{view.title}: {view.sentence}", {"view": view})


def _maker_page(maker: MakerUses) -> Page:
    address = f"/makers/{maker.slug}/"
    view = maker_view(maker, addresses.root(address))
    return page(address, "maker.html.j2", view.title, f"{view.title}: {view.sentence}", {"view": view})


def _index_page(context: Context) -> Page:
    view = parts_index_view(context, addresses.root("/parts/"))
    return page("/parts/", "parts_index.html.j2", view.title, view.sentence, {"view": view}, is_builder=True)
