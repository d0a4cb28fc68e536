"""What was exchanged between a product and the one that it revises."""

from collections.abc import Mapping

from lidoff.rows.positions import SPECIAL_WORDS
from lidoff.rows.product_facts import CONTROLLERS
from lidoff.trends.frames import Frames
from lidoff.trends.table import Cell, Row, Table, counted, reach

COLUMNS = ("revises", "function", "before", "now")
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
        columns=COLUMNS,
        rows=tuple(rows),
        row_totals=(),
        column_totals=(),
        notes=(f"Compared: {counted(len(pairs), 'pair')} of a product and its earlier one, both recorded.",),
        kind="list",
        **reach(frames.products[frames.products["slug"].isin(involved)]),
    )


def _differences(new: str, old: str, by_slug: Mapping[str, Mapping[str, object]]) -> list[Row]:
    return [
        Row(new, tuple(Cell(word, (old, new)) for word in words), key=new, about=("product", new, old))
        for words in exchanged(old, by_slug[old], by_slug[new])
    ]


def exchanged(old: str, before: Mapping[str, object], now: Mapping[str, object]) -> list[tuple[str, ...]]:
    """What differs between a product and the earlier one: that one's path, the function, its part and the later one."""
    found = []
    for column in _COMPARED:
        earlier, later = (set(row[column]) - set(SPECIAL_WORDS) for row in (before, now))
        if earlier and later and earlier != later:
            found.append((old, column.replace("_", " "), ", ".join(sorted(earlier)), ", ".join(sorted(later))))
    return found
