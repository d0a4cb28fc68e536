"""Pages of power tiers, of brands and of isolated converters."""

from collections.abc import Iterator
from functools import partial

from lidoff.pages import addresses
from lidoff.pages.context import Context, Group
from lidoff.pages.plan import Planned, digest_of, page
from lidoff.pages.views.listing import brand_view, tier_view
from lidoff.pages.views.topology import topology_view
from lidoff.website import Page


def plans(context: Context) -> Iterator[Planned]:
    """One page a tier and a topology, empty ones too, and one a brand."""
    tiers = [(one.name, len(one.entries)) for one in context.tiers.values()]
    for tier in context.tiers.values():
        yield Planned(f"/tiers/{tier.slug}/", partial(_page, "tiers", tier, context), digest_of(tier.entries, tiers))
    for brand in context.brands.values():
        inputs = digest_of(brand.entries, brand.name, tuple(context.tiers))
        yield Planned(f"/brands/{brand.slug}/", partial(_page, "brands", brand, context), inputs)
    counts = [(one.name, len(one.entries)) for one in context.topologies.values()]
    for topology in context.topologies.values():
        inputs = digest_of(topology.entries, len(context.entries), counts, tiers)
        yield Planned(f"/{addresses.topology(topology.slug)}", partial(_topology_page, topology, context), inputs)


def _page(folder: str, group: Group, context: Context) -> Page:
    address = f"/{folder}/{group.slug}/"
    make = tier_view if folder == "tiers" else brand_view
    view = make(group, context, addresses.root(address))
    return page(address, "group.html.j2", view.title, view.sentence, {"view": view})


def _topology_page(topology: Group, context: Context) -> Page:
    address = f"/{addresses.topology(topology.slug)}"
    view = topology_view(topology, context, addresses.root(address))
    return page(address, "topology.html.j2", view.title, f"{view.title}: {view.meaning}", {"view": view})
