"""A trend table as a page: the numbers with their totals, where they lead, which products stand behind them."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, takewhile
from types import MappingProxyType

from markupsafe import Markup

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.pages.table import Cell, Column, Grid, Link
from lidoff.pages.vocabulary import definitions, label
from lidoff.pages.wording import capital, counted, listed
from lidoff.rows.positions import PRIMARY_SWITCH
from lidoff.rows.product_facts import CONTROLLERS
from lidoff.rows.tiers import tier_text
from lidoff.trends.canvas import Drawing
from lidoff.trends.dimensions import DIMENSIONS
from lidoff.trends.formats import shown
from lidoff.trends.table import NOT_THE_MARKET, Row, Share, Table
from lidoff.trends.table import Cell as TrendCell

FEW = 8
# a page stays below 300 kB of HTML: a cell takes up to 100 bytes, a link to a product some 80
MOST_ROWS, LEAST_ROWS = 200, 20
MOST_CELLS = 1800
MOST_LINKS = 500
COUNTED_WORDS = (
    "primary", "secondary", "per_port", "protocol", "connector", "product_kind", "plug_system", "thermal_material",
    "enclosure_joint", "enclosure_material", "sample_source", "pfc",
)  # fmt: skip
SAID_BY_TABLES = frozenset({"none", "undetermined"})
# what an exchanged part does, which is the name of its column in words
FUNCTIONS: Mapping[object, str] = MappingProxyType(
    {name.replace("_", " "): DIMENSIONS[name].title for name in (*CONTROLLERS, "bulk_capacitor_maker")}
    | {"primary switch part": PRIMARY_SWITCH.title}
)
SHARE_NOTE = (
    "Percentages are shares of distinct designs (platforms), with the range in which the true share lies with 95 % "
    "confidence (Wilson) if the designs were a random draw."
)


@dataclass(frozen=True, slots=True)
class Members:
    """The products behind one cell or row."""

    where: str
    products: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class TrendView:
    """The page of a trend table."""

    title: str
    description: str
    reach: str
    chart: Markup
    chart_caption: str
    table: Grid
    rows_left_out: str
    empty: str
    notes: tuple[str, ...]
    members: tuple[Members, ...]
    members_left_out: str
    csv: str
    json: str
    data: str


def trend_view(table: Table, drawing: Drawing | None, by_slug: Mapping[str, Entry], root: str) -> TrendView:
    """The page of a table; its chart was drawn by ourselves and is the one thing here that is markup already."""
    cut = most_used(table)
    members = tuple(_members(cut, by_slug, root))
    listed = _first(members)
    return TrendView(
        title=table.title,
        description=table.description,
        reach=reach_text(table),
        chart=Markup(drawing.svg if drawing else ""),
        chart_caption=drawing.caption if drawing else "",
        table=trend_grid(cut, by_slug, root, only_used=True),
        rows_left_out=_rows_left_out(len(cut.rows), table),
        empty=_empty(cut),
        notes=(NOT_THE_MARKET, *table.notes, *((SHARE_NOTE,) if _has_shares(table) else ())),
        members=listed,
        members_left_out=f"The first {len(listed)} of {len(members)} such cells." if len(listed) < len(members) else "",
        csv=f"{root}data/trends/{table.name}.csv",
        json=f"{root}data/trends/{table.name}.json",
        data=f"{root}data/",
    )


def most_used(table: Table) -> Table:
    """The table with no more rows than a page should hold: those with the most products, in their order."""
    most = max(LEAST_ROWS, min(MOST_ROWS, MOST_CELLS // max(1, len(table.columns))))
    if len(table.rows) <= most:
        return table
    used = [max((len(cell.products) for cell in row.cells), default=0) for row in table.rows]
    if table.kind == "counts":
        used = [int(total or 0) for total in table.row_totals]
    kept = sorted(sorted(range(len(used)), key=lambda place: -used[place])[:most])
    totals = tuple(table.row_totals[place] for place in kept) if table.row_totals else ()
    return replace(table, rows=tuple(table.rows[place] for place in kept), row_totals=totals)


def reach_text(table: Table) -> str:
    """How much stands behind a table."""
    pieces = (counted(table.n, "product"), counted(table.brands, "brand"), counted(table.platforms, "distinct design"))
    return f"{capital(pieces[0])} of {pieces[1]}, {pieces[2]}."


def trend_grid(table: Table, by_slug: Mapping[str, Entry], root: str, only_used: bool = False) -> Grid:
    """The table with its totals; ``only_used`` leaves out columns and rows that hold nothing."""
    places = [place for place in range(len(table.columns)) if not only_used or _is_used(table, place)]
    is_counted = table.kind == "counts"
    columns = (
        Column(capital(table.row_header)),
        *(Column(capital(readable(table.columns[place])), is_number=table.kind != "list") for place in places),
        *((Column("Products", is_number=True),) if is_counted else ()),
    )
    rows = tuple(
        _row(row, total, places, is_counted, by_slug, root)
        for row, total in zip(table.rows, table.row_totals if is_counted else [None] * len(table.rows), strict=True)
        if not only_used or any(cell.value for cell in row.cells)
    )
    return Grid(table.title, columns, rows, table.name, foot=_foot(table, places))


def readable(word: str) -> str:
    """A word of a vocabulary or a tier as people read it; any other text as it is."""
    if word in SAID_BY_TABLES:
        return word
    return next((label(name, word) for name in COUNTED_WORDS if word in definitions()[name]), tier_text(word))


def about_link(about: Sequence[str], root: str) -> str:
    """Where what a label names has its page; empty where it has none."""
    match tuple(about):
        case ("tier", tier):
            return f"{root}tiers/{tier}/"
        case ("part", maker, number):
            return root + addresses.part(maker or None, number)
        case ("maker", name):
            return root + addresses.maker(name)
        case ("topology", word) if word in definitions()["primary"]:
            return root + addresses.topology(word)
        case ("brand", name):
            return f"{root}brands/{addresses.slug(name)}/"
    return ""


def _row(
    row: Row, total: object, places: Sequence[int], is_counted: bool, by_slug: Mapping[str, Entry], root: str
) -> tuple[Cell, ...]:
    cells = (_cell(row.cells[place], by_slug, root) for place in places)
    totals = (Cell(shown(total), order=_order(total)),) if is_counted else ()
    label = _product(row.label, by_slug, root) or Cell(readable(row.label), href=about_link(row.about, root))
    return (label, *cells, *totals)


def _product(text: object, by_slug: Mapping[str, Entry], root: str) -> Cell | None:
    """A cell that names a product by its path, as the product with its link."""
    entry = by_slug.get(text) if isinstance(text, str) else None
    return Cell(entry.title, href=root + addresses.product(entry.slug)) if entry else None


def _cell(cell: TrendCell, by_slug: Mapping[str, Entry], root: str) -> Cell:
    share = _share_text(cell.share) if cell.share else ""
    text = FUNCTIONS.get(cell.value) or shown(cell.value)
    return _product(cell.value, by_slug, root) or Cell(text, note=share, order=_order(cell.value))


def _foot(table: Table, places: Sequence[int]) -> tuple[Cell, ...]:
    if table.kind == "list":
        return ()
    is_counted = table.kind == "counts"
    totals = tuple(Cell(shown(table.column_totals[place])) for place in places)
    return (Cell("Products" if is_counted else "All"), *totals, *((Cell(str(table.n)),) if is_counted else ()))


def _share_text(share: Share) -> str:
    return f"{100 * share.fraction:.0f}\u00a0% ({100 * share.low:.0f} to {100 * share.high:.0f})"


def _has_shares(table: Table) -> bool:
    return any(cell.share for row in table.rows for cell in row.cells)


def _rows_left_out(shown: int, table: Table) -> str:
    if shown == len(table.rows):
        return ""
    totals = "" if table.kind == "list" else ", and the totals are over all of them"
    return f"The {shown} rows with the most products, of {len(table.rows):,}. The CSV and JSON hold every row{totals}."


def _empty(table: Table) -> str:
    """What the table asks for and no product has: a row of zeros would tell the same at length."""
    rows = [row.label for row in table.rows if not any(cell.value for cell in row.cells)]
    columns = [column for place, column in enumerate(table.columns) if not _is_used(table, place)]
    if not rows and not columns:
        return ""
    named = (("row", rows), ("column", columns))
    said = [
        f"{len(words)} {what}{'s' * (len(words) > 1)} ({listed(map(readable, words))})"
        for what, words in named
        if words
    ]
    return f"Without a product, and left out here: {listed(said)}. The CSV and JSON hold them."


def _first(members: Iterable[Members]) -> tuple[Members, ...]:
    """As many as a page should link to."""
    listed = tuple(members)
    so_far = accumulate(len(one.products) for one in listed)
    return tuple(one for one, _ in takewhile(lambda pair: pair[1] <= MOST_LINKS, zip(listed, so_far, strict=True)))


def _is_used(table: Table, place: int) -> bool:
    return table.kind != "counts" or any(row.cells[place].value for row in table.rows)


def _order(value: object) -> float | None:
    return float(value) if isinstance(value, int | float) else None


def _members(table: Table, by_slug: Mapping[str, Entry], root: str) -> Iterator[Members]:
    """The products of every cell that holds only a few; a longer list would hide more than it tells.

    A table of values says the same products in every column, so that its first column stands for the row.
    """
    columns = table.columns if table.kind == "counts" else table.columns[:1]
    for row in table.rows:
        for column, cell in zip(columns, row.cells, strict=False):
            if 0 < len(cell.products) <= FEW:
                known = [by_slug[slug] for slug in cell.products if slug in by_slug]
                links = (Link(entry.title, root + addresses.product(entry.slug)) for entry in known)
                where = f", {readable(column)}" if table.kind == "counts" else ""
                yield Members(f"{readable(row.label)}{where}", tuple(links))
