"""``lidoff impact --base REF``: what the difference from a revision means, in facts, figures, findings and tables."""

import sys
from pathlib import Path

import click

WRONG_USAGE = 2


@click.command()
@click.option(
    "--base",
    "reference",
    required=True,
    metavar="REF",
    help="Branch, tag or commit to compare with, such as origin/main.",
)
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "markdown", "json"]),
    default="text",
    show_default=True,
    help="How it is written.",
)
@click.option(
    "--config",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="The mkdocs.yml of the knowledge base.",
)
def command(reference: str, form: str, config: Path | None) -> None:
    """Say what a change means: the difference between REF and the files on the disk, committed or not.

    Names the records added, changed and removed, the statements and derived figures that differ, findings that came or
    went, cells of trend tables that move, names seen for the first time, and the product's place in its tier. It judges
    nothing: the code is 0 whether records have errors or not, since `lidoff check` says that.
    """
    from lidoff.impact.assess import impact_of
    from lidoff.impact.history import HistoryError, past
    from lidoff.impact.report import as_json, as_markdown, as_text
    from lidoff.reports.progress import progress_bar
    from lidoff.settings import SettingsError, find_config, read_settings

    try:
        settings = read_settings(config or find_config(Path.cwd()))
        with progress_bar("Taking stock of all records") as progress:
            impact = impact_of(settings, past(settings.base, reference), reference, progress)
    except (SettingsError, HistoryError) as fault:
        click.echo(str(fault), err=True)
        sys.exit(WRONG_USAGE)
    written = {"text": as_text, "markdown": as_markdown, "json": as_json}
    click.echo(written[form](impact), nl=False)
