"""Which identified parts stand in the same products: counted over products, each once a part and function."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.pages.table import Cell, Column
from lidoff.pages.wording import capital
from lidoff.record.model.component import Component
from lidoff.record.sketch import PartSketch
from lidoff.rows.positions import NOT_IDENTIFIED, PRIMARY_SWITCH, SYNC_RECTIFIER
from lidoff.rows.product_facts import CONTROLLERS, part_label
from lidoff.trends.dimensions import DIMENSIONS

# what a part does for the power's way -> the roles that say so
FUNCTIONS = {
    **{DIMENSIONS[function].title: frozenset(roles) for function, roles in CONTROLLERS.items()},
    PRIMARY_SWITCH.title: frozenset(PRIMARY_SWITCH.roles),
    SYNC_RECTIFIER.title: frozenset(SYNC_RECTIFIER.roles),
}
PARTNER_COLUMNS = (Column("Part"), Column("What it does"), Column("In products", is_number=True))


def is_identified(component: Component | PartSketch) -> bool:
    """Whether a part has a number that is more than a guess or a claim of the brand."""
    return part_label(component) != NOT_IDENTIFIED


def functions_of(component: Component | PartSketch) -> tuple[str, ...]:
    """What a part does for the power's way."""
    return tuple([function for function, roles in FUNCTIONS.items() if not roles.isdisjoint(component.roles)])


@dataclass(frozen=True, slots=True)
class Working:
    """An identified part at one of its functions in one product."""

    function: str
    slug: str
    name: str


class IdentifiedParts:
    """The identified parts of each product by what they do; a product is read once, however many pages ask."""

    def __init__(self) -> None:
        self._known: dict[str, tuple[Working, ...]] = {}

    def of(self, entry: Entry) -> tuple[Working, ...]:
        """Those of one product."""
        if entry.slug not in self._known:
            self._known[entry.slug] = tuple(_working(entry))
        return self._known[entry.slug]


def _working(entry: Entry) -> Iterator[Working]:
    for component in entry.sketch.components:
        functions = functions_of(component)
        if functions and is_identified(component):
            slug = addresses.part_slug(component.maker, component.part_number)
            yield from (Working(function, slug, part_label(component)) for function in functions)


def partner_rows(
    entries: Sequence[Entry], identified: IdentifiedParts, root: str, without: str = ""
) -> tuple[tuple[Cell, ...], ...]:
    """The identified parts of these products by function, the most used first; ``without`` the part of that slug."""
    found: dict[tuple[str, str], set[str]] = {}
    names: dict[str, str] = {}
    for entry in entries:
        for part in identified.of(entry):
            if part.slug != without:
                names[part.slug] = min(names.get(part.slug, part.name), part.name)
                found.setdefault((part.function, part.slug), set()).add(entry.slug)
    order = tuple(FUNCTIONS)
    ranked = sorted(found.items(), key=lambda one: (-len(one[1]), order.index(one[0][0]), one[0][1]))
    return tuple(
        (
            Cell(names[slug], href=f"{root}parts/{slug}/"),
            Cell(capital(function)),
            Cell(f"{len(products)} of {len(entries)}", order=len(products)),
        )
        for (function, slug), products in ranked
    )
