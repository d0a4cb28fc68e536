"""Bodies and boards in life size: the page for any products by address, and the ready-made sets of tiers and brands."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import partial

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.pages.context import Context, Group
from lidoff.pages.plan import Planned, digest_of, page
from lidoff.pages.table import Link
from lidoff.pages.views.life_size import MOST, RULER_MM, life_size_view, measures, newest
from lidoff.pages.views.notices import demo_notices
from lidoff.website import Page

ADDRESS = "/scale/"


def plans(context: Context) -> Iterator[Planned]:
    """The page whose address names products, and one page for each tier and brand."""
    values = _by_address(context)
    yield Planned(ADDRESS, partial(_by_address_page, values), digest_of((), values))
    for title, address, entries in _sets(context):
        shown, count = newest(entries), len(entries)
        yield Planned(address, partial(_set, title, address, shown, count), digest_of(shown, title, count))


def _sets(context: Context) -> Iterator[tuple[str, str, Sequence[Entry]]]:
    for tier in _filled(context.tiers.values()):
        yield f"Chargers of {tier.name} at one scale", f"{ADDRESS}tier/{tier.slug}/", tier.entries
    for brand in _filled(context.brands.values()):
        yield f"Chargers by {brand.name} at one scale", f"{ADDRESS}brand/{brand.slug}/", brand.entries


def _filled(groups: Iterable[Group]) -> list[Group]:
    return [group for group in groups if group.entries]


def _by_address(context: Context) -> Mapping[str, object]:
    """What the page of any products shows."""
    return {
        "tiers": [Link(tier.name, f"tier/{tier.slug}/") for tier in _filled(context.tiers.values())],
        "brands": [Link(brand.name, f"brand/{brand.slug}/") for brand in _filled(context.brands.values())],
        "measures": measures(),
        "notices": demo_notices(context.entries),
        "length": RULER_MM,
        "most": MOST,
        "data": f"{addresses.root(ADDRESS)}data/products/",
    }


def _by_address_page(values: Mapping[str, object]) -> Page:
    description = "Bodies and boards of any chargers at one scale, printed in life size."
    return page(ADDRESS, "life_size/by_address.html.j2", "Chargers at one scale", description, values)


def _set(title: str, address: str, shown: Sequence[Entry], count: int) -> Page:
    view = life_size_view(title, shown, count, addresses.root(address))
    return page(address, "life_size/set.html.j2", title, view.sentence, {"view": view, "length": RULER_MM})
