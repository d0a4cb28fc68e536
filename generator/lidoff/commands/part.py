"""``lidoff part MARKING``: how a print or part number was identified before, and the block to reuse."""

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from lidoff.reports.former_parts import Former, Search

WRONG_USAGE = 2
MOST_SHOWN = 30
FITS = {"exact": "", "unreadable": ", as far as it can be read", "inside": ", as a piece of it"}


@click.command()
@click.argument("marking", nargs=-1, required=True)
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@click.option("--all", "everything", is_flag=True, help="Show every place, not the first ones alone.")
@click.option(
    "--config",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="The mkdocs.yml of the knowledge base.",
)
def command(marking: tuple[str, ...], form: str, everything: bool, config: Path | None) -> None:
    """Show what a part with this MARKING, or of this part number, was taken for before.

    Write ? for a sign that can't be read; capitals, blanks and punctuation count for nothing. Several lines of a print
    may follow each other. Where records disagree, all of it is shown. The block at the end goes into components.

    \b
    lidoff part QS65 "?150"
    lidoff part TN100-4 --format json
    """
    from lidoff.record.collection import find_records
    from lidoff.reports.former_parts import is_searchable, search
    from lidoff.settings import SettingsError, find_config, read_settings

    try:
        settings = read_settings(config or find_config(Path.cwd()))
    except SettingsError as error:
        click.echo(str(error), err=True)
        sys.exit(WRONG_USAGE)
    wanted = " ".join(marking)
    if not is_searchable(wanted):
        found, expected = f'"{wanted}"', "a print or part number with at least two letters or digits"
        click.echo(f"found     {found}\nexpected  {expected}\nfix       give more of it", err=True)
        sys.exit(WRONG_USAGE)
    records, _ = find_records(settings.entries_folder, settings.base)
    result = search(wanted, [record.path for record in records], settings.base)
    if form == "json":
        click.echo(json.dumps(_as_data(result), indent=2, ensure_ascii=False))
    else:
        click.echo(search_text(result, None if everything else MOST_SHOWN), nl=False)
    if result.unread:
        listed = ", ".join(result.unread[:5]) + (" and more" if len(result.unread) > 5 else "")
        click.echo(f"passed over for errors, which `lidoff check` tells: {listed}", err=True)


def search_text(result: "Search", most: int | None) -> str:
    """What was found, for people: each part with its places, then what disagrees, then the block."""
    from lidoff.record.phrases import counted
    from lidoff.reports.part_block import part_block

    if not result.found:
        return f"{result.wanted} was not seen before, in {counted(result.records, 'record')}\n"
    groups: dict[str, list[Former]] = {}
    for one in result.found:
        groups.setdefault(_part_text(one), []).append(one)
    lines: list[str] = []
    shown = 0
    for part, places in groups.items():
        lines.append(part)
        for one in places:
            if most is None or shown < most:
                lines.append(_place_text(one))
            shown += 1
    if most is not None and shown > most:
        lines.append(f"{counted(shown - most, 'further place')}; --all shows them")
    if result.is_conflict:
        named = "; ".join(f"{maker} {number}".strip() for maker, number in result.parts)
        lines += ["", f"Records disagree: it was taken for {named}"]
    block = part_block(result)
    lines += ["", block.rstrip()] if block else ["", "No identification to reuse."]
    return "\n".join(lines) + "\n"


def _part_text(one: "Former") -> str:
    if one.part is None:
        return f"{one.maker}, part number not found out" if one.maker else "not identified"
    return " ".join(filter(None, one.part))


def _place_text(one: "Former") -> str:
    """One place: where, what it does, what fits, on what ground, how sure."""
    ground = ", ".join(filter(None, (one.identified_by, one.strength))) or "no ground stated"
    if one.component is None and one.found != "part number that it could be":
        ground = "on another sample"
    draft = " (draft)" if one.is_draft else ""
    head = f"  {one.product}{draft} {one.ref}, {', '.join(one.roles)}: {one.found} {one.text}{FITS[one.fit]}; {ground}"
    return f"{head}\n    {one.path}:{one.line}"


def _as_data(result: "Search") -> dict[str, object]:
    from lidoff.reports.part_block import part_block

    keys = (
        "product",
        "ref",
        "found",
        "text",
        "fit",
        "maker",
        "part_number",
        "identified_by",
        "strength",
        "path",
        "line",
    )
    places = [
        {**{key: getattr(one, key) for key in keys}, "roles": list(one.roles), "draft": one.is_draft}
        for one in result.found
    ]
    return {
        "wanted": result.wanted,
        "records": result.records,
        "places": places,
        "conflict": result.is_conflict,
        "parts": [{"maker": maker or None, "part_number": number} for maker, number in result.parts],
        "block": part_block(result),
        "passed_over": list(result.unread),
    }
