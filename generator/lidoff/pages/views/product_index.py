"""The index of products: a table that reads without script, what it can be filtered by, and where further rows lie."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from lidoff.entry import Entry
from lidoff.pages.context import Context
from lidoff.pages.table import Cell, Grid, Link
from lidoff.pages.views.listing import COLUMNS, product_row, product_table
from lidoff.pages.views.notices import demo_notices
from lidoff.pages.views.product_sets import KINDS, places
from lidoff.pages.wording import capital, counted
from lidoff.rows.tiers import tier_word

ROWS_IN_PAGE = 300
ROWS_IN_FILE = 1000
FILTERED = (("tier", "Power tier"), ("year", "Year"), ("technology", "Primary switch"), ("topology", "Conversion"))
CELL = tuple[str, str, str, float | None]


@dataclass(frozen=True, slots=True)
class Choice:
    """One thing to filter by: its key, its label, the words that occur.

    Where no column has the words, ``file`` says which rows go with each.
    """

    key: str
    label: str
    options: tuple[str, ...]
    file: str = ""


@dataclass(frozen=True, slots=True)
class ProductIndexView:
    """The index page. ``more`` are the files that hold the rows which the page does not."""

    title: str
    sentence: str
    products: Grid | None
    choices: tuple[Choice, ...]
    more: tuple[str, ...]
    tiers: tuple[Link, ...]
    brands: tuple[Link, ...]
    notices: tuple[str, ...]


def product_index_view(context: Context, root: str) -> ProductIndexView:
    """The index of all products, newest first."""
    tiers = (tier for tier in context.tiers.values() if tier.entries)
    shown, rest = context.entries[:ROWS_IN_PAGE], context.entries[ROWS_IN_PAGE:]
    said = (
        f"The table holds the newest {len(shown)}; the script of this page loads the others, and the files of the "
        "open data hold all."
    )
    return ProductIndexView(
        title="Products",
        sentence=f"{capital(counted(len(context.entries), 'product'))}, the newest first.{f' {said}' if rest else ''}",
        products=product_table("Products that were opened", shown, context, root, "products"),
        choices=(*_choices(context, root), *_further_choices(context, root)),
        more=tuple(f"{root}{name}" for name, _ in further_rows(context)),
        tiers=tuple(Link(f"{tier.name} ({len(tier.entries)})", f"{root}tiers/{tier.slug}/") for tier in tiers),
        brands=tuple(Link(brand.name, f"{root}brands/{brand.slug}/") for brand in context.brands.values()),
        notices=demo_notices(context.entries),
    )


def further_rows(context: Context) -> Iterator[tuple[str, Sequence[Entry]]]:
    """The files of rows beyond those in the page, each with its entries."""
    rest = context.entries[ROWS_IN_PAGE:]
    for number, start in enumerate(range(0, len(rest), ROWS_IN_FILE), 1):
        yield f"data/index/{number}.json", rest[start : start + ROWS_IN_FILE]


def place_files(context: Context) -> Iterator[tuple[str, Mapping[str, list[int]]]]:
    """The files that a filter without a column loads: the places of the products by word."""
    for kind in KINDS:
        yield _place_file(kind.key), places(kind, context)


def row_data(entries: Iterable[Entry], context: Context, root: str) -> list[list[CELL]]:
    """Rows as the script takes them: text, link, quieter line, number to sort by."""
    return [[_cell(cell) for cell in _row(entry, context, root)] for entry in entries]


def _row(entry: Entry, context: Context, root: str) -> tuple[Cell, ...]:
    return context.known.of(entry, f"row below {root}", lambda one: product_row(one, context, root))


def _cell(cell: Cell) -> CELL:
    return cell.text, cell.href, cell.note, cell.order


def _choices(context: Context, root: str) -> Iterator[Choice]:
    rows = [_row(entry, context, root) for entry in context.entries]
    tier_names = [tier_word(tier.name) for tier in context.tiers.values()]
    places = {column.key: place for place, column in enumerate(COLUMNS)}
    for key, label in FILTERED:
        words = {tier_word(row[places[key]].text) for row in rows} - {""}
        by_power = [name for name in tier_names if name in words]
        order = by_power if key == "tier" else sorted(words, reverse=key == "year")
        if len(order) > 1:
            yield Choice(key, label, tuple(order))


def _further_choices(context: Context, root: str) -> Iterator[Choice]:
    for kind in KINDS:
        words = tuple(places(kind, context))
        if len(words) > 1:
            yield Choice(kind.key, kind.label, words, root + _place_file(kind.key))


def _place_file(key: str) -> str:
    return f"data/index/with-{key}.json"
