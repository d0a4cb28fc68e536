"""One entry -> the one value that stands for it in a table of values; the same as the frames of all entries give."""

from collections.abc import Callable, Iterator
from statistics import median

from lidoff.entry import Entry
from lidoff.figures.figure import Corner, Figure
from lidoff.trends.prices import PRICE
from lidoff.trends.tally import Product

EVERYWHERE = Corner()


def column_value(column: str) -> Callable[[Product], float | None]:
    """A column of the row of facts."""
    return lambda product: product.row[column]


def figure_value(figure_id: str) -> Callable[[Product], float | None]:
    """A figure without a corner; where there are only corners, their median."""

    def value(product: Product) -> float | None:
        found = _present(product.entry, figure_id)
        whole = [figure.value for figure in found if figure.of == EVERYWHERE]
        values = whole or [figure.value for figure in found]
        return median(values) if values else None

    return value


def margin_value(product: Product) -> float | None:
    """The smallest of average efficiency less its published minimum [percentage points], at the same corner."""
    averages, limits = (
        _present(product.entry, figure_id) for figure_id in ("average_efficiency_pct", "efficiency_limit_pct")
    )
    judged = [average.value - limit.value for average in averages for limit in limits if average.of == limit.of]
    return min(judged, default=None)


def price_values(product: Product) -> Iterator[tuple[str, float]]:
    """What was paid for each watt, behind its currency."""
    yield from ((figure.unit, figure.value) for figure in _present(product.entry, PRICE))


def _present(entry: Entry, figure_id: str) -> list[Figure]:
    return [figure for figure in entry.figures.all(figure_id) if figure.value is not None]
