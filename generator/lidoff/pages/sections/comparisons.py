"""Comparisons: the page for any products by address, the ready-made ones, and the data that the page loads."""

from collections.abc import Iterable, Iterator, Sequence
from functools import partial

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.pages.absences import MEANINGS
from lidoff.pages.context import Context, Group
from lidoff.pages.plan import Planned, digest_of, page
from lidoff.pages.sections.product_data import Column
from lidoff.pages.table import Link
from lidoff.pages.views.comparison import comparison_view, newest_six
from lidoff.pages.wording import sentence
from lidoff.website import Page

FEWEST = 2


def index_plans(context: Context) -> Iterator[Planned]:
    """The page that compares what its address names."""
    yield Planned("/compare/", partial(_index_page, context))


def plans(context: Context) -> Iterator[Planned]:
    """A ready-made comparison for each tier, shared part and brand with products enough to compare."""
    for title, address, entries in _ready_made(context):
        shown, count = newest_six(entries), len(entries)
        make = partial(_page, title, address, shown, count, context.lines_of)
        yield Planned(address, make, digest_of(shown, title, count))


def _ready_made(context: Context) -> Iterator[tuple[str, str, Sequence[Entry]]]:
    for tier in context.tiers.values():
        if len(tier.entries) >= FEWEST:
            yield f"Chargers of {tier.name} compared", f"/compare/tier/{tier.slug}/", tier.entries
    for part in context.parts.values():
        if len(part.entries) >= FEWEST:
            yield f"Chargers with the {part.name} compared", f"/compare/part/{part.slug}/", part.entries
    for brand in context.brands.values():
        if len(brand.entries) >= FEWEST:
            yield f"Chargers by {brand.name} compared", f"/compare/brand/{brand.slug}/", brand.entries


def _page(title: str, address: str, shown: Sequence[Entry], count: int, lines_of: Column) -> Page:
    name = address.strip("/").replace("/", "-")
    view = comparison_view(title, shown, count, addresses.root(address), name, lines_of)
    return page(address, "compare/ready.html.j2", title, view.sentence, {"view": view})


def _index_page(context: Context) -> Page:
    root = addresses.root("/compare/")
    description = "Two to six chargers side by side, figure by figure and part by part."
    values = {
        "tiers": _links(context.tiers.values(), f"{root}compare/tier/"),
        "brands": _links(context.brands.values(), f"{root}compare/brand/"),
        "gaps": {word: sentence(meaning) for word, meaning in MEANINGS.items()},
    }
    return page("/compare/", "compare/index.html.j2", "Compare products", description, values, is_builder=True)


def _links(groups: Iterable[Group], start: str) -> list[Link]:
    """The ready-made comparisons of those groups that have one."""
    return [Link(group.name, f"{start}{group.slug}/") for group in groups if len(group.entries) >= FEWEST]
