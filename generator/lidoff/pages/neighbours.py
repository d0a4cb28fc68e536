"""What a product's page says of other products: all that it knows of them, so that it can be kept while this stays."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.pages.table import Link
from lidoff.record.model.product import Product
from lidoff.rows.tiers import tier_label, tier_slug, tier_text


@dataclass(frozen=True, slots=True)
class Crowd:
    """How many products there are in each tier and of each brand, and what brands and products are called, by slug."""

    tiers_w: Sequence[float]
    tiers: Mapping[str, int]
    brands: Mapping[str, int]
    brand_names: Mapping[str, str]
    titles: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Neighbours:
    """The tier of a product, the ready-made comparisons that it belongs to, and the product that it revises.

    Links are relative to the site's base; ``revision_of`` leads nowhere where the earlier product has no page.
    """

    tier: Link
    comparisons: tuple[Link, ...]
    revision_of: Link | None


def crowd_of(products: Iterable[tuple[str, Product]], tiers_w: Sequence[float]) -> Crowd:
    """All products that have pages, by their slugs."""
    found, names = dict(products), {}
    for slug, product in found.items():
        # of several spellings the first in the alphabet, as on the brand's page
        names[_brand(slug)] = min(names.get(_brand(slug), product.brand), product.brand)
    return Crowd(
        tiers_w=tiers_w,
        tiers=Counter(tier_label(product.rated_power_w, tiers_w) for product in found.values()),
        brands=Counter(map(_brand, found)),
        brand_names=names,
        titles={slug: f"{product.brand} {product.model}" for slug, product in found.items()},
    )


def neighbours(entry: Entry, crowd: Crowd) -> Neighbours:
    """What the page of an entry says of the others."""
    power = entry.sketch.product.rated_power_w
    tier = tier_label(power, crowd.tiers_w)
    return Neighbours(
        tier=Link(tier_text(tier), f"tiers/{tier_slug(tier)}/"),
        comparisons=tuple(_comparisons(entry, tier, crowd)),
        revision_of=_revision_of(entry.sketch.product.revision_of, crowd),
    )


def _comparisons(entry: Entry, tier: str, crowd: Crowd) -> Iterable[Link]:
    brand = _brand(entry.slug)
    if crowd.tiers[tier] > 1:
        yield Link(f"others of {tier_text(tier)}", f"compare/tier/{tier_slug(tier)}/")
    if crowd.brands[brand] > 1:
        yield Link(f"others by {crowd.brand_names[brand]}", f"compare/brand/{brand}/")


def _revision_of(earlier: str | None, crowd: Crowd) -> Link | None:
    if earlier is None:
        return None
    title = crowd.titles.get(earlier)
    return Link(title, addresses.product(earlier)) if title else Link(earlier)


def _brand(slug: str) -> str:
    return slug.partition("/")[0]
