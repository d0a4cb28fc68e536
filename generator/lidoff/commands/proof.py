"""``lidoff proof ENTRY TEXTFILE``: what in an edited text disagrees with the record."""

import json
import sys
from pathlib import Path

import click

DISAGREES, WRONG_USAGE = 1, 2


@click.command()
@click.argument("entry")
@click.argument("textfile", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option(
    "--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True, help="How to print it."
)
@click.option(
    "--config",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="The mkdocs.yml of the knowledge base.",
)
def command(entry: str, textfile: Path, form: str, config: Path | None) -> None:
    """Find what in TEXTFILE disagrees with the record of ENTRY.

    It reads numbers with their units, in digits or in words, counts, years, part numbers, makers, words of the trade,
    and claims of rank such as "the smallest", which it holds against the knowledge base. Each finding has its line and
    column and what the record says. What the record says nothing about can't be checked: no finding means no
    contradiction, not that every sentence is true. The code is 1 where something disagrees.
    """
    from lidoff.narration.opened import NotFound, open_entry
    from lidoff.narration.proof.proofread import as_data, as_text, proofread

    try:
        text = textfile.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as fault:
        raise click.UsageError(
            f"{textfile}: found a byte that is not UTF-8 at {fault.start}; save the text as UTF-8"
        ) from fault
    try:
        opened = open_entry(entry, config)
    except NotFound as fault:
        click.echo(str(fault), err=True)
        sys.exit(WRONG_USAGE)
    found = proofread(text, opened.entry, opened.entries, opened.settings.tiers_w)
    if form == "json":
        click.echo(json.dumps(as_data(text, textfile.as_posix(), found), indent=2, ensure_ascii=False))
    else:
        click.echo(as_text(text, textfile.as_posix(), found), nl=False)
        click.echo(
            f"{len(found)} {'place disagrees' if len(found) == 1 else 'places disagree'} with the record.", err=True
        )
    sys.exit(DISAGREES if found else 0)
