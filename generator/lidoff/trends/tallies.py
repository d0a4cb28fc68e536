"""The tallies of the tables that have a module of their own."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from lidoff.rows.positions import PRIMARY_SWITCH
from lidoff.trends import makers
from lidoff.trends.adjustable import NO_SUCH, WORDS, adjustable_words
from lidoff.trends.adoption import ROWS, offers
from lidoff.trends.controller_years import COLUMNS as YEAR_COLUMNS
from lidoff.trends.controllers import FUNCTIONS, WITHOUT_PART, identified
from lidoff.trends.prices import PRICE_COLUMNS
from lidoff.trends.product_values import price_values
from lidoff.trends.revisions import COLUMNS as EXCHANGE_COLUMNS
from lidoff.trends.tally import (
    BREAK,
    Counted,
    Counts,
    Line,
    Product,
    Spread,
    dimension_words,
    fixed_words,
    most_used_first,
)


@dataclass(frozen=True, slots=True)
class Years:
    """The tally of the years in which controllers were seen: of each its products, its functions and their years."""

    def items(self, product: Product) -> Iterator[str]:
        """Each controller that was identified, if the product has a year."""
        year = product.row["year"]
        if year is None:
            return
        functions: dict[str, list[str]] = defaultdict(list)
        for function, dimension in FUNCTIONS.items():
            for part in identified(product.words(dimension)):
                functions[part].append(function)
        for part, found in functions.items():
            yield part
            yield f"{part}{BREAK}{year}"
            yield from (f"{part}{BREAK}{BREAK}{function}" for function in found)

    def lines(self, counts: Counts, tiers: Sequence[str]) -> list[Line]:
        """A line a controller: functions, first and last year, products; the earliest first."""
        products: dict[str, int] = {}
        functions: dict[str, set[str]] = defaultdict(set)
        years: dict[str, list[int]] = defaultdict(list)
        for item, count in counts.items():
            part, *more = item.split(BREAK)
            if not more:
                products[part] = count
            elif len(more) == 1:
                years[part].append(int(more[0]))
            else:
                functions[part].add(more[1])
        lines = [
            (part, ", ".join(one for one in FUNCTIONS if one in functions[part]), min(years[part]), max(years[part]), n)
            for part, n in products.items()
        ]
        lines.sort(key=lambda line: (line[2], line[3], line[0].casefold(), line[0]))
        return [("controller", *YEAR_COLUMNS), *lines]


@dataclass(frozen=True, slots=True)
class Exchanges:
    """The lines of what was exchanged between revisions: here two products make an item together."""

    def items(self, product: Product) -> Iterable[str]:
        """Nothing by itself: see `impact.tables`."""
        return ()

    def lines(self, counts: Counts, tiers: Sequence[str]) -> list[Line]:
        """The lines in the order of the products and of what is compared."""
        found = sorted((slug, int(place), words) for slug, place, *words in (item.split(BREAK) for item in counts))
        return [("product", *EXCHANGE_COLUMNS), *((slug, *words) for slug, _, words in found)]


def _controllers(product: Product) -> Iterator[tuple[str, str]]:
    for function, dimension in FUNCTIONS.items():
        yield from ((word, function) for word in product.words(dimension) if word not in WITHOUT_PART)


def _pairs(product: Product) -> Iterator[tuple[str, str]]:
    primary, rectifier = (identified(product.words(FUNCTIONS[function])) for function in ("primary", "rectifier"))
    yield from ((f"{first} with {second}", "products") for first in primary for second in rectifier)


def _adoption(product: Product) -> Iterator[tuple[str, str]]:
    (year,) = product.words("year")
    protocols, family = product.row["protocol"], product.row[PRIMARY_SWITCH.field]
    yield from ((row, year) for row in offers(protocols, str(family)))


def _makers(product: Product) -> Iterator[tuple[str, str]]:
    for part in product.entry.record.components:
        yield from makers.makers_of(part.roles, part.maker, part.strength, part.identified_by)


def _adjustable(product: Product) -> Iterator[tuple[str, str]]:
    (tier,) = product.words("tier")
    yield from ((row, tier) for row in adjustable_words(product.words("protocol")))


CONTROLLERS = Counted("controller", _controllers, most_used_first, fixed_words(*FUNCTIONS))
CONTROLLER_PAIRS = Counted(
    "primary controller with rectifier controller", _pairs, most_used_first, fixed_words("products"), is_list=True
)
ADOPTION = Counted("offer", _adoption, fixed_words(*ROWS), dimension_words("year"))
MAKERS = Counted("maker", _makers, most_used_first, fixed_words(*makers.FUNCTIONS))
ADJUSTABLE = Counted("output", _adjustable, fixed_words(*WORDS, NO_SUCH), dimension_words("tier"))
PRICES = Spread("currency", PRICE_COLUMNS, lambda product: (), price_values, None)
YEARS = Years()
EXCHANGES = Exchanges()
