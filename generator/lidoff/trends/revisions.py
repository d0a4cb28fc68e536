"""What was exchanged between a product and the one that it revises."""

from collections.abc import Mapping

from lidoff.trends.frames import Frames
from lidoff.trends.positions import SPECIAL_WORDS
from lidoff.trends.product_facts import CONTROLLERS
from lidoff.trends.table import Cell, Row, Table, counted, reach

_COMPARED = (*CONTROLLERS, "primary_switch_part", "bulk_capacitor_maker")


def substitutions(frames: Frames) -> Table:
    """One row a function whose part differs between a product and its earlier one, where both are identified."""
    by_slug = frames.products.set_index("slug").to_dict("index")
    pairs = [(slug, row["revision_of"]) for slug, row in by_slug.items() if row["revision_of"] in by_slug]
    rows = [line for new, old in pairs for line in _differences(new, old, by_slug)]
    involved = {slug for row in rows for slug in row.about[1:]}
    return Table(
        name="substitutions",
        title="Parts exchanged between revisions",
        description="Parts that differ between a product and the one that it revises, where both are identified.",
        row_header="product",
        columns=("revises", "function", "before", "now"),
        rows=tuple(rows),
        row_totals=(),
        column_totals=(),
        notes=(f"Compared: {counted(len(pairs), 'pair')} of a product and its earlier one, both recorded.",),
        kind="list",
        **reach(frames.products[frames.products["slug"].isin(involved)]),
    )


def _differences(new: str, old: str, by_slug: Mapping[str, Mapping[str, object]]) -> list[Row]:
    rows = []
    for column in _COMPARED:
        before, now = (set(by_slug[slug][column]) - set(SPECIAL_WORDS) for slug in (old, new))
        if before and now and before != now:
            words = (old, column.replace("_", " "), ", ".join(sorted(before)), ", ".join(sorted(now)))
            rows.append(Row(new, tuple(Cell(word, (old, new)) for word in words), key=new, about=("product", new, old)))
    return rows
