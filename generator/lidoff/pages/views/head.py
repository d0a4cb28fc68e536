"""The top of a product page: what it is, in a few facts."""

from collections.abc import Iterable
from dataclasses import dataclass

from lidoff.entry import Entry
from lidoff.figures.figure import Figures
from lidoff.figures.show import corner_text, shown
from lidoff.pages import addresses
from lidoff.pages.neighbours import Neighbours
from lidoff.pages.numbers import SPACE, decimals, quantity
from lidoff.pages.table import Fact, Link
from lidoff.pages.views.conversion import short_name
from lidoff.pages.vocabulary import label
from lidoff.pages.wording import capital, counted, listed
from lidoff.record.model.label import Port
from lidoff.record.model.record import Record

DOUBTED = ("doubtful", "imitation")
# of several measurements the one that says least for the product
MEASURED = (("Sustained power", "sustained_power_w", min), ("Hottest surface above the air", "surface_rise_k", max))


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


def head_view(entry: Entry, neighbours: Neighbours, root: str) -> HeadView:
    """The top of the page of an entry."""
    record = entry.record
    return HeadView(
        title=entry.title,
        line=one_line(entry),
        summary=record.summary or "",
        facts=tuple(_facts(entry, neighbours, root)),
        notices=tuple(notices(record)),
        revision_of=_from(root, neighbours.revision_of) if neighbours.revision_of else None,
        comparisons=tuple(_from(root, link) for link in neighbours.comparisons),
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
    product = entry.sketch.product
    pieces = [label("product_kind", product.kind)]
    if product.rated_power_w is not None:
        pieces.append(quantity(product.rated_power_w, "W"))
    pieces.append(ports_text(entry.sketch.ports))
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


def _from(root: str, link: Link) -> Link:
    """A link as seen from the page."""
    return Link(link.text, root + link.href if link.href else "")


def _facts(entry: Entry, neighbours: Neighbours, root: str) -> Iterable[Fact]:
    record = entry.record
    yield Fact("Power tier", neighbours.tier.text, href=root + neighbours.tier.href)
    yield Fact("Brand", record.product.brand, href=root + addresses.brand(entry.slug))
    conversion = short_name(record.conversion)
    if conversion:
        yield Fact("Conversion", capital(conversion))
    switch = switch_text(record)
    if switch:
        yield Fact("Primary switch", switch)
    yield from _measured(entry.figures)
    if record.teardown is not None:
        units = counted(len(record.samples), "unit") if record.samples else "units not recorded"
        corrected = f", last corrected {record.corrections[-1].date}" if record.corrections else ""
        yield Fact("Opened", record.teardown.date, f"{units}{corrected}")


def _measured(figures: Figures) -> Iterable[Fact]:
    """What most readers come for, where it was measured; the page says more of each below."""
    averages = figures.present("average_efficiency_pct")
    if averages:
        least, most = (decimals(pick(one.value for one in averages), 1) for pick in (min, max))
        span = f"{least}{SPACE}%" if least == most else f"{least} to {most}{SPACE}%"
        yield Fact("Average efficiency", span, "over its outputs and mains voltages" if len(averages) > 1 else "")
    for title, name, worst in MEASURED:
        known = figures.present(name)
        if known:
            figure = worst(known, key=lambda one: one.value)
            yield Fact(title, shown(figure, SPACE).text, corner_text(figure.of, SPACE))
