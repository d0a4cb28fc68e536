"""The top of a product page: what it is, in a few facts."""

from collections.abc import Iterable
from dataclasses import dataclass

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.pages.context import Context
from lidoff.pages.numbers import quantity
from lidoff.pages.table import Fact, Link
from lidoff.pages.views.conversion import short_name
from lidoff.pages.vocabulary import label
from lidoff.pages.wording import capital, counted, listed
from lidoff.record.model.label import Port
from lidoff.record.model.record import Record

DOUBTED = ("doubtful", "imitation")


@dataclass(frozen=True, slots=True)
class HeadView:
    """Title, one line, facts, notices, and where one can go from here."""

    title: str
    line: str
    summary: str
    facts: tuple[Fact, ...]
    notices: tuple[str, ...]
    revision_of: Link | None
    comparisons: tuple[Link, ...]


def head_view(entry: Entry, context: Context, root: str) -> HeadView:
    """The top of the page of an entry."""
    record = entry.record
    return HeadView(
        title=entry.title,
        line=one_line(entry),
        summary=record.summary or "",
        facts=tuple(_facts(entry, context, root)),
        notices=tuple(notices(record)),
        revision_of=_revision_of(record, context, root),
        comparisons=tuple(_comparisons(entry, context, root)),
    )


def notices(record: Record) -> Iterable[str]:
    """What a reader must know before all else."""
    if record.demo:
        yield "Invented demonstration data: this product, its makers, its parts and its measurements do not exist."
    if record.status == "draft":
        yield "Draft: work in progress, counted nowhere."
    if record.source is not None:
        yield f"From a public document, not from an opened unit: {record.source}"
    if record.teardown is not None and record.teardown.authenticity in DOUBTED:
        yield f"The unit may not be what it says it is: {label('authenticity', record.teardown.authenticity)}."
    for sample in record.samples:
        if sample.authenticity in DOUBTED:
            yield f"Sample {sample.id} may not be what it says it is: {label('authenticity', sample.authenticity)}."


def one_line(entry: Entry) -> str:
    """Kind, power, ports and year in one line."""
    product = entry.record.product
    pieces = [label("product_kind", product.kind)]
    if product.rated_power_w is not None:
        pieces.append(quantity(product.rated_power_w, "W"))
    pieces.append(ports_text(entry.record.ports))
    if product.launched is not None:
        pieces.append(f"launched {product.launched}")
    line = capital(", ".join(pieces))
    return f"{product.name}. {line}." if product.name else f"{line}."


def ports_text(ports: Iterable[Port]) -> str:
    """How many ports of which sort."""
    counts: dict[str, int] = {}
    for port in ports:
        name = label("connector", port.connector)
        counts[name] = counts.get(name, 0) + 1
    return listed(f"{number} {name}" for name, number in counts.items())


def switch_text(record: Record) -> str:
    """Technology of the primary switch as far as it is known, and how sure that is."""
    switches = [part for part in record.components if "primary-switch" in part.roles]
    said = dict.fromkeys(
        f"{label('technology', part.technology)}{_doubt(part.identified_by, part.strength)}"
        for part in switches
        if part.technology
    )
    return listed(said) if said else ""


def _doubt(identified_by: str | None, strength: str | None) -> str:
    if identified_by == "brand-claim":
        return " (by the brand's claim)"
    return f" ({strength})" if strength and strength != "certain" else ""


def _facts(entry: Entry, context: Context, root: str) -> Iterable[Fact]:
    record, tier = entry.record, context.tier_of(entry)
    power = record.product.rated_power_w
    yield Fact("Power tier", tier.name if power is not None else "not known", href=f"{root}tiers/{tier.slug}/")
    yield Fact("Brand", record.product.brand, href=root + addresses.brand(entry.slug))
    conversion = short_name(record.conversion)
    if conversion:
        yield Fact("Conversion", capital(conversion))
    switch = switch_text(record)
    if switch:
        yield Fact("Primary switch", switch)
    if record.teardown is not None:
        units = counted(len(record.samples), "unit") if record.samples else "units not recorded"
        yield Fact("Opened", record.teardown.date, units)


def _comparisons(entry: Entry, context: Context, root: str) -> Iterable[Link]:
    """The ready-made comparisons that this product belongs to."""
    tier, brand = context.tier_of(entry), context.brands[entry.slug.partition("/")[0]]
    if len(tier.entries) > 1:
        yield Link(f"others of {tier.name}", f"{root}compare/tier/{tier.slug}/")
    if len(brand.entries) > 1:
        yield Link(f"others by {brand.name}", f"{root}compare/brand/{brand.slug}/")


def _revision_of(record: Record, context: Context, root: str) -> Link | None:
    """The earlier product, linked where it has a page."""
    earlier = record.product.revision_of
    if earlier is None:
        return None
    known = context.by_slug.get(earlier)
    return Link(known.title, root + addresses.product(earlier)) if known else Link(earlier)
