"""``lidoff table [NAME]``: a trend table in the terminal, or as JSON or CSV; without NAME all tables by name."""

import difflib
import os
import sys
import textwrap
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from rich.table import Table as Grid

    from lidoff.settings import Settings
    from lidoff.trends.frames import Frames
    from lidoff.trends.table import Table, Value

    Line = tuple[Value, ...]

WRONG_RECORD, WRONG_USAGE = 1, 2
MOST_NAMED = 3
PIPED_WIDTH = 80
HEADING_WIDTH = 6
# row labels take the widest of these that leaves room for every column
LABEL_WIDTHS = (36, 30, 24, 20, 16)


@click.command()
@click.argument("name", required=False)
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json", "csv"]),
    default="text",
    show_default=True,
    help="How to print it.",
)
@click.option("--config", type=click.Path(exists=True, dir_okay=False, path_type=Path), help="The mkdocs.yml to use.")
def command(name: str | None, form: str, config: Path | None) -> None:
    """Print a trend table over all published records; without NAME, list the tables."""
    from lidoff.settings import SettingsError, find_config, read_settings
    from lidoff.trends.own_tables import definitions

    try:
        settings = read_settings(config or find_config(Path.cwd()))
        known = definitions(settings.tables)
    except SettingsError as fault:
        _refuse(str(fault))
    titles = {definition.name: definition.title for definition in known.values()}
    if name is None:
        _list(titles, form)
    elif name not in known:
        _refuse(_unknown(name, titles))
    else:
        frames, faulty = _frames(settings)
        _print(known[name].build(frames), form)
        if faulty:
            _warn(faulty)


def _frames(settings: "Settings") -> "tuple[Frames, list[str]]":
    """The frames of the published records, and the paths of those that have errors."""
    from lidoff.pipeline import examine_all
    from lidoff.reports.progress import progress_bar
    from lidoff.trends.frames import make_frames

    with progress_bar("reading records") as progress:
        collection = examine_all(settings, progress)
    errors = {finding.path for finding in collection.findings if finding.severity == "error"}
    return make_frames(collection.entries, settings.tiers_w), sorted(errors - collection.drafts)


def _warn(faulty: list[str]) -> None:
    """Say that the table rests on records with errors, and end as `lidoff check` would."""
    shown = ", ".join(faulty[:MOST_NAMED]) + (" and more" if len(faulty) > MOST_NAMED else "")
    click.echo(
        f"found     errors in {shown}\nexpected  records without errors: the table may be wrong or lack products\n"
        f"fix       run `lidoff check` and mend what it finds", err=True,
    )  # fmt: skip
    sys.exit(WRONG_RECORD)


def _list(titles: dict[str, str], form: str) -> None:
    from lidoff.trends.formats import csv_text, json_text

    if form == "json":
        click.echo(json_text([{"name": name, "title": title} for name, title in titles.items()]), nl=False)
    elif form == "csv":
        click.echo(csv_text([("name", "title"), *titles.items()]), nl=False)
    else:
        width = max(map(len, titles))
        for name, title in titles.items():
            click.echo(f"{name:<{width}}  {title}")


def _print(table: "Table", form: str) -> None:
    from lidoff.trends.formats import as_csv, as_json

    if form == "text":
        _draw(table)
    else:
        click.echo(as_json(table) if form == "json" else as_csv(table), nl=False)


def _draw(table: "Table") -> None:
    """The table in the terminal's width, or 80 columns elsewhere; columns without a product are left out."""
    from rich.console import Console

    from lidoff.trends.formats import lines_with_totals
    from lidoff.trends.table import NOT_THE_MARKET, counted

    width = None if sys.stdout.isatty() else PIPED_WIDTH
    colours = None if os.environ.get("NO_COLOR") else "auto"
    console = Console(file=sys.stdout, width=width, color_system=colours, highlight=False, emoji=False, markup=False)
    lines = lines_with_totals(table)
    left_out = _empty(lines) if table.kind == "counts" else []
    console.print(f"{table.title} ({table.name})\n", style="bold")
    for grid in _grids(lines, left_out, table.kind != "list", console.width):
        console.print(grid)
    behind = f"{counted(table.n, 'product')}, {counted(table.brands, 'brand')}, {counted(table.platforms, 'platform')}."
    empty = [f"No product in: {', '.join(str(lines[0][place]) for place in left_out)}."] if left_out else []
    console.print()
    for line in (behind, table.description, *empty, *table.notes, NOT_THE_MARKET):
        console.print(line)


def _empty(lines: "Sequence[Line]") -> list[int]:
    """Places of the columns without a product, where any column has one."""
    empty = [place for place in range(1, len(lines[0])) if not any(line[place] for line in lines[1:])]
    return empty if len(empty) < len(lines[0]) - 1 else []


def _grids(lines: "Sequence[Line]", left_out: list[int], has_totals: bool, width: int) -> "Iterator[Grid]":
    """The lines as grids that fit the width: the row labels, then as many columns as there is room for."""
    from lidoff.trends.formats import shown

    texts = [[str(line[0]), *(shown(value) for value in line[1:])] for line in lines]
    texts[0][1:] = [wrapped(heading, HEADING_WIDTH) for heading in texts[0][1:]]
    widths = {
        place: max(_widest(line[place]) for line in texts) + 1
        for place in range(1, len(texts[0]))
        if place not in left_out
    }
    label_width = next((label for label in LABEL_WIDTHS if label + sum(widths.values()) <= width), LABEL_WIDTHS[-1])
    for line in texts:
        line[0] = wrapped(line[0], label_width)
    block, room = [], width - label_width
    for place, needed in widths.items():
        if block and needed > room:
            yield _grid(texts, block, has_totals)
            block, room = [], width - label_width
        block.append(place)
        room -= needed
    yield _grid(texts, block, has_totals)


def _grid(texts: list[list[str]], places: list[int], has_totals: bool) -> "Grid":
    from rich.box import SIMPLE_HEAD
    from rich.table import Table as Grid
    from rich.text import Text

    grid = Grid(box=SIMPLE_HEAD, padding=0, pad_edge=False, show_edge=False)
    grid.add_column(Text(texts[0][0]), vertical="bottom", overflow="fold")
    for place in places:
        are_numbers = all(line[place][:1].isdigit() or line[place] == "–" for line in texts[1:])
        grid.add_column(
            Text(texts[0][place]), justify="right" if are_numbers else "left", vertical="bottom", overflow="fold"
        )
    for number, line in enumerate(texts[1:], 2):
        cells = [Text(line[place], style="dim" if line[place] in ("0", "–") else "") for place in places]
        grid.add_row(Text(line[0]), *cells, end_section=has_totals and number == len(texts) - 1)
    return grid


def wrapped(text: str, width: int) -> str:
    """The text on lines of at most the width where its spaces and hyphens allow it."""
    return textwrap.fill(text, width, break_long_words=False, break_on_hyphens=True)


def _widest(text: str) -> int:
    return max(map(len, text.split("\n")))


def _unknown(name: str, titles: dict[str, str]) -> str:
    near = difflib.get_close_matches(name, titles, n=3)
    hint = f"did you mean {' or '.join(near)}?" if near else "`lidoff table` without a name lists all"
    return f"found     no table {name}\nexpected  the name of a trend table\nfix       {hint}"


def _refuse(message: str) -> None:
    click.echo(message, err=True)
    sys.exit(WRONG_USAGE)
