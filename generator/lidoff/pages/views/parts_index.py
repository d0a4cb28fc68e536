"""The page that leads to parts: the makers, and the parts that are seen most."""

from dataclasses import dataclass

from lidoff.pages.context import Context, MakerUses
from lidoff.pages.table import Cell, Column, Grid
from lidoff.pages.views.notices import demo_notices
from lidoff.pages.views.part import all_roles
from lidoff.pages.wording import capital, counted
from lidoff.rows.positions import NOT_RECORDED

MOST_SHOWN = 200


@dataclass(frozen=True, slots=True)
class PartsIndexView:
    """Makers and parts."""

    title: str
    sentence: str
    parts: Grid | None
    makers: Grid | None
    notices: tuple[str, ...]


def parts_index_view(context: Context, root: str) -> PartsIndexView:
    """The index of parts."""
    parts, makers = len(context.parts), len(context.makers)
    return PartsIndexView(
        title="Parts and their makers",
        sentence=f"{capital(counted(parts, 'part'))} with a known number, by {counted(makers, 'maker')}.",
        parts=_parts(context, root),
        makers=_makers(context, root),
        notices=demo_notices(context.entries),
    )


def _parts(context: Context, root: str) -> Grid | None:
    ranked = sorted(context.parts.values(), key=lambda part: (-len(part.entries), part.name.casefold()))[:MOST_SHOWN]
    rows = tuple(
        (
            Cell(part.part_number, href=f"{root}parts/{part.slug}/"),
            Cell(part.maker or NOT_RECORDED),
            Cell(capital(all_roles(part))),
            Cell(str(len(part.entries)), order=len(part.entries)),
        )
        for part in ranked
    )
    rest = len(context.parts) - len(rows)
    columns = (
        Column("Part number", key="part"), Column("Maker", key="maker"), Column("What it does", key="role"),
        Column("Products", is_number=True, key="products"),
    )  # fmt: skip
    notes = (f"The {MOST_SHOWN} parts seen most; {rest} more stand on the pages of their makers.",) if rest else ()
    return Grid("Parts seen most", columns, rows, "parts", notes) if rows else None


def _makers(context: Context, root: str) -> Grid | None:
    rows = tuple(
        (
            Cell(maker.name, href=f"{root}makers/{maker.slug}/"),
            Cell(str(len(maker.parts)), order=len(maker.parts)),
            Cell(str(_products(maker)), order=_products(maker)),
        )
        for maker in context.makers.values()
    )
    columns = (
        Column("Maker", key="maker"), Column("Parts", is_number=True, key="parts"),
        Column("Products", is_number=True, key="products"),
    )  # fmt: skip
    return Grid("Makers", columns, rows, "makers") if rows else None


def _products(maker: MakerUses) -> int:
    """In how many products a maker's parts were seen."""
    uses = [use for part in maker.parts for use in part.uses] + list(maker.unnumbered)
    return len({use.entry.slug for use in uses})
