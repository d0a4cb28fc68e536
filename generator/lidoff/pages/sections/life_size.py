"""Bodies and boards in life size: the page for any products by address, and the ready-made sets of tiers and brands."""

from collections.abc import Iterable, Iterator, Sequence
from functools import partial

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.pages.context import Context, Group
from lidoff.pages.plan import Planned, page
from lidoff.pages.table import Link
from lidoff.pages.views.life_size import MOST, RULER_MM, life_size_view, measures, newest
from lidoff.pages.views.notices import demo_notices
from lidoff.website import Page

ADDRESS = "/scale/"


def plans(context: Context) -> Iterator[Planned]:
    """The page whose address names products, and one page for each tier and brand."""
    yield Planned(ADDRESS, partial(_by_address, context))
    for title, address, entries in _sets(context):
        yield Planned(address, partial(_set, title, address, entries))


def _sets(context: Context) -> Iterator[tuple[str, str, Sequence[Entry]]]:
    for tier in _filled(context.tiers.values()):
        yield f"Chargers of {tier.name} at one scale", f"{ADDRESS}tier/{tier.slug}/", tier.entries
    for brand in _filled(context.brands.values()):
        yield f"Chargers by {brand.name} at one scale", f"{ADDRESS}brand/{brand.slug}/", brand.entries


def _filled(groups: Iterable[Group]) -> list[Group]:
    return [group for group in groups if group.entries]


def _by_address(context: Context) -> Page:
    root = addresses.root(ADDRESS)
    description = "Bodies and boards of any chargers at one scale, printed in life size."
    values = {
        "tiers": [Link(tier.name, f"tier/{tier.slug}/") for tier in _filled(context.tiers.values())],
        "brands": [Link(brand.name, f"brand/{brand.slug}/") for brand in _filled(context.brands.values())],
        "measures": measures(),
        "notices": demo_notices(context.entries),
        "length": RULER_MM,
        "most": MOST,
        "data": f"{root}data/products/",
    }
    return page(ADDRESS, "life_size/by_address.html.j2", "Chargers at one scale", description, values)


def _set(title: str, address: str, entries: Sequence[Entry]) -> Page:
    view = life_size_view(title, newest(entries), len(entries), addresses.root(address))
    return page(address, "life_size/set.html.j2", title, view.sentence, {"view": view, "length": RULER_MM})
