"""What the parts of a bill may cost: a range from a price book of the user's own, by Monte Carlo, never one figure."""

import csv
import datetime
import io
from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite
from random import Random

from lidoff.engineering.rounding import round_significant
from lidoff.engineering.statistics_robust import quantile
from lidoff.narration.bill import BillLine
from lidoff.record.model.component import Component

COLUMNS = ("maker", "part_number", "role", "low", "high", "currency", "date")
TRIALS = 20_000
PERCENTILES = (5, 25, 75, 95)


class PriceFault(Exception):
    """The price book can't be used; the text has every fault with its line and column."""


@dataclass(frozen=True, slots=True)
class Price:
    """One row of the book: a part by number, or any part with a role; between low and high every price is as likely."""

    maker: str
    part_number: str
    role: str
    low: float
    high: float
    currency: str
    date: str

    def fits(self, part: Component) -> bool:
        """Whether the row is about a part."""
        if self.part_number:
            return self.part_number == part.part_number and self.maker in ("", part.maker)
        return self.role in part.roles and self.maker in ("", part.maker)


@dataclass(frozen=True, slots=True)
class CostRange:
    """Percentiles of the sum; ``unpriced`` are the parts that the book has no price for, which cost nothing here."""

    percentiles: tuple[tuple[int, float], ...]
    currency: str
    seed: int
    trials: int
    priced: int
    unpriced: tuple[str, ...]
    dates: tuple[str, str]


def read_prices(text: str, path: str) -> tuple[Price, ...]:
    """All rows of a price book."""
    rows = list(csv.reader(io.StringIO(text.removeprefix("\ufeff"))))
    head = tuple(cell.strip() for cell in rows[0]) if rows else ()
    if head != COLUMNS:
        raise PriceFault(
            _said(path, 1, 1, ",".join(head) or "nothing", ",".join(COLUMNS), "write these names on the first line")
        )
    faults: list[str] = []
    filled = [(line, cells) for line, cells in enumerate(rows[1:], 2) if any(map(str.strip, cells))]
    prices = [(line, price) for line, cells in filled if (price := _row(path, line, cells, faults)) is not None]
    for line, price in prices:
        if price.currency != prices[0][1].currency:
            faults.append(
                _said(path, line, 6, price.currency, prices[0][1].currency, "give all prices in one currency")
            )
    if not filled:
        faults.append(_said(path, 2, 1, "no price", "at least one", "add a row"))
    if faults:
        raise PriceFault("\n\n".join(faults))
    return tuple(price for _, price in prices)


def _row(path: str, line: int, cells: Sequence[str], faults: list[str]) -> Price | None:
    before = len(faults)
    if len(cells) != len(COLUMNS):
        faults.append(
            _said(path, line, 1, f"{len(cells)} cells", f"{len(COLUMNS)}", "give every column, empty where unknown")
        )
        return None
    maker, number, role, low_text, high_text, currency, date = (cell.strip() for cell in cells)
    low, high = _amount(low_text), _amount(high_text)
    for column, text, amount in ((4, low_text, low), (5, high_text, high)):
        if amount is None:
            faults.append(
                _said(path, line, column, text or "nothing", "a price of 0 or more", "write digits and a point")
            )
    if low is not None and high is not None and high < low:
        faults.append(_said(path, line, 5, high_text, f"at least the low price, {low_text}", "turn them round"))
    if bool(number) == bool(role):
        faults.append(_said(path, line, 2, f"{number} and {role}", "a part number or a role", "fill in one of the two"))
    if len(currency) != 3 or not currency.isalpha() or not currency.isupper():
        faults.append(_said(path, line, 6, currency or "nothing", "three capital letters of ISO 4217", "such as EUR"))
    if not _is_date(date):
        faults.append(
            _said(path, line, 7, date or "nothing", "a date such as 2026-05-31", "say when the price was seen")
        )
    return Price(maker, number, role, low or 0.0, high or 0.0, currency, date) if len(faults) == before else None


def cost_range(lines: Sequence[BillLine], prices: Sequence[Price], seed: int, trials: int = TRIALS) -> CostRange:
    """Percentiles of the cost of all priced parts.

    One draw serves all parts of a row of the book, as a dear market is dear for all of them; rows are independent. A
    part by number goes before a part by role. With no part priced there is no percentile.
    """
    chosen = [(line, _best(line.part, prices)) for line in lines]
    counts: dict[Price, int] = {}
    for line, price in chosen:
        if price is not None:
            counts[price] = counts.get(price, 0) + line.quantity
    draw = Random(seed)
    sums = sorted(sum(count * draw.uniform(one.low, one.high) for one, count in counts.items()) for _ in range(trials))
    dates = sorted(price.date for price in counts)
    return CostRange(
        percentiles=tuple((percent, quantile(sums, percent / 100)) for percent in PERCENTILES) if counts else (),
        currency=prices[0].currency if prices else "",
        seed=seed,
        trials=trials,
        priced=sum(price is not None for _, price in chosen),
        unpriced=tuple(line.part.ref for line, price in chosen if price is None),
        dates=(dates[0], dates[-1]) if dates else ("", ""),
    )


def cost_text(cost: CostRange) -> str:
    """The range in words, with all that it rests on."""
    total = cost.priced + len(cost.unpriced)
    if not cost.percentiles:
        return f"No price of the book fits any of the {total} lines: no range.\n"
    shares = "\n".join(
        f"  {percent} % of the trials cost less than {round_significant(value, 3)} {cost.currency}"
        for percent, value in cost.percentiles
    )
    left = f"Not in the sum, since the book has no price: {', '.join(cost.unpriced)}.\n" if cost.unpriced else ""
    return (
        f"Cost of {cost.priced} of {total} lines of parts, {cost.trials} trials, seed {cost.seed}:\n{shares}\n{left}"
        f"Prices seen {cost.dates[0]} to {cost.dates[1]}. Between low and high all prices are equally likely, one "
        "draw for a row of the book, rows independent.\n"
        "Boards, case, assembly, test and parts that the record does not list are not in it.\n"
    )


def _best(part: Component, prices: Sequence[Price]) -> Price | None:
    fitting = [price for price in prices if price.fits(part)]
    return min(fitting, key=lambda price: (not price.part_number, not price.maker), default=None)


def _amount(text: str) -> float | None:
    try:
        value = float(text)
    except ValueError:
        return None
    return value if isfinite(value) and value >= 0 else None


def _is_date(text: str) -> bool:
    try:
        return len(text) == 10 and bool(datetime.date.fromisoformat(text))
    except ValueError:
        return False


def _said(path: str, line: int, column: int, found: str, expected: str, fix: str) -> str:
    return f"{path}:{line}:{column}: error[prices]\n  found     {found}\n  expected  {expected}\n  fix       {fix}"
