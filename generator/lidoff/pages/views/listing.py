"""Lists of products: the index, a tier, a brand."""

from collections.abc import Iterable
from dataclasses import dataclass
from urllib.parse import urlencode

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.pages.absences import NOT_STATED
from lidoff.pages.context import Context, Group
from lidoff.pages.numbers import edges, optional, rounded
from lidoff.pages.table import Cell, Column, Grid, Link
from lidoff.pages.views.head import ports_text
from lidoff.pages.views.notices import demo_notices
from lidoff.pages.vocabulary import label
from lidoff.pages.wording import capital, counted
from lidoff.record.model.record import Record
from lidoff.record.sketch import Sketch
from lidoff.rows.positions import NOT_RECORDED, PRIMARY_SWITCH, technology
from lidoff.rows.tiers import tier_word

COLUMNS = (
    Column("Product", key="product"),
    Column("Power", is_number=True, key="power"),
    Column("Tier", key="tier"),
    Column("Year", is_number=True, key="year"),
    Column("Ports", key="ports"),
    Column("Conversion", key="topology"),
    Column("Primary switch", key="technology"),
    Column("Size", is_number=True, key="size"),
    Column("Density", is_number=True, key="density"),
)
SPELLED = {"gan": "GaN", "sic": "SiC"}
MOST_LISTED = 300


@dataclass(frozen=True, slots=True)
class GroupView:
    """The page of a tier or a brand; ``all`` leads to all its products where the page holds only the newest."""

    title: str
    sentence: str
    products: Grid | None
    all: Link | None
    comparison: str
    others: tuple[Link, ...]
    notices: tuple[str, ...]


def product_row(entry: Entry, context: Context, root: str) -> tuple[Cell, ...]:
    """A product in a list."""
    record = entry.sketch
    power, density = record.product.rated_power_w, entry.brief.value("power_density_w_per_cm3")
    measured = record.measured
    body = measured.body_mm if measured else None
    return (
        Cell(entry.title, href=root + addresses.product(entry.slug), note=record.product.name or ""),
        Cell(optional(power, "W"), order=power),
        Cell(context.tier_of(entry).name),
        Cell(str(entry.year or ""), order=entry.year),
        Cell(ports_text(record.ports)),
        Cell(capital(topology_text(record)), note=pfc_text(record)),
        Cell(technology_text(record)),
        Cell(edges(body.size) if body else "", order=body.size[0] * body.size[1] * body.size[2] if body else None),
        Cell(f"{rounded(density)}\u00a0W/cm³" if density is not None else "", order=density),
    )


def technology_text(record: Record | Sketch) -> str:
    """Technology of the primary switch, as the trend tables count it."""
    word = technology(record, PRIMARY_SWITCH)
    return SPELLED.get(word, word)


def topology_text(record: Record | Sketch) -> str:
    """The isolated converter, as the trend tables count it."""
    word = record.conversion.primary if record.conversion else None
    return label("primary", word) if word else NOT_RECORDED


def pfc_text(record: Record | Sketch) -> str:
    """Power factor correction, where there is any."""
    word = record.conversion.pfc if record.conversion else None
    return label("pfc", word) if word not in (None, "none", "undetermined") else ""


def product_table(
    caption: str, entries: Iterable[Entry], context: Context, root: str, file_name: str = ""
) -> Grid | None:
    """Products as a table; None without products."""
    rows = tuple(product_row(entry, context, root) for entry in entries)
    return Grid(caption, COLUMNS, rows, file_name) if rows else None


def newest_products(
    caption: str, group: Group, context: Context, root: str, file_name: str, text: str, **chosen: str
) -> tuple[Grid | None, Link | None]:
    """The newest products of a group and, where a page cannot hold all, the index that shows those ``chosen``.

    ``text`` says where that leads.
    """
    grid = product_table(caption, group.entries[:MOST_LISTED], context, root, file_name)
    if len(group.entries) <= MOST_LISTED:
        return grid, None
    return grid, Link(text, f"{root}products/?{urlencode(chosen)}")


def all_of(group: Group) -> str:
    """Words of a link to all products of a group."""
    return f"All {len(group.entries)} in the list of products"


def tier_view(tier: Group, context: Context, root: str) -> GroupView:
    """The page of a power tier."""
    others = (other for other in context.tiers.values() if other.slug != tier.slug)
    products, everything = newest_products(
        "Products of this tier", tier, context, root, f"tier-{tier.slug}", all_of(tier), tier=tier_word(tier.name)
    )
    limit = f"with a rated power of {tier.name}. The upper limit of a tier is included"
    meaning = "whose rated power is not stated" if tier.name == NOT_STATED else limit
    return GroupView(
        title="Power not stated" if tier.name == NOT_STATED else f"Chargers of {tier.name}",
        sentence=f"{capital(counted(len(tier.entries), 'product'))} {meaning}.",
        products=products,
        all=everything,
        comparison=f"{root}compare/tier/{tier.slug}/" if len(tier.entries) > 1 else "",
        others=tuple(Link(f"{other.name} ({len(other.entries)})", f"{root}tiers/{other.slug}/") for other in others),
        notices=demo_notices(tier.entries),
    )


def brand_view(brand: Group, context: Context, root: str) -> GroupView:
    """The page of a brand."""
    products, everything = newest_products(
        f"Products by {brand.name}", brand, context, root, f"brand-{brand.slug}",
        f"Search the list of products for {brand.name}", q=brand.name,
    )  # fmt: skip
    return GroupView(
        title=brand.name,
        sentence=f"{capital(counted(len(brand.entries), 'product'))} by {brand.name} opened for this knowledge base.",
        products=products,
        all=everything,
        comparison=f"{root}compare/brand/{brand.slug}/" if len(brand.entries) > 1 else "",
        others=(),
        notices=demo_notices(brand.entries),
    )
