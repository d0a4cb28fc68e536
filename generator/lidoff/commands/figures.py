"""``lidoff figures PATH``: every derived figure of a record, as text or JSON."""

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from lidoff.settings import Settings

RECORD_NAME = "record.yaml"
WRONG_RECORD, WRONG_USAGE = 1, 2


@click.command()
@click.argument("path", type=click.Path(exists=True, path_type=Path))
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json"]),
    default="text",
    show_default=True,
    help="How to print them.",
)
@click.option(
    "--config",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="The mkdocs.yml whose assumptions count.",
)
def command(path: Path, form: str, config: Path | None) -> None:
    """Print every derived figure of the record at PATH, its file or its folder.

    Each has its inputs, assumptions, formula and source, or the reason why it is absent.
    """
    from lidoff.figures.assumptions import read_assumptions
    from lidoff.figures.derive import derive
    from lidoff.figures.listing import listing
    from lidoff.figures.logs_beside import logs_beside
    from lidoff.figures.plain import plain_figure
    from lidoff.finding import has_error
    from lidoff.record.load import load_file
    from lidoff.reports.text import finding_text
    from lidoff.settings import SettingsError

    file = path / RECORD_NAME if path.is_dir() else path
    if not file.is_file():
        _refuse(
            f"found     no {RECORD_NAME} in {path}\nexpected  a record\nfix       name the record's file or its folder"
        )
    try:
        settings = _settings(config, file)
        assumptions = read_assumptions(settings.assumptions if settings else None)
    except SettingsError as fault:
        _refuse(str(fault))
    loaded = load_file(file.resolve(), settings.base if settings else Path.cwd())
    for finding in loaded.findings:
        click.echo(finding_text(finding), err=True)
    if loaded.record is None:
        sys.exit(WRONG_RECORD)
    figures = derive(loaded.record, assumptions, logs_beside(file.resolve().parent, loaded.record, assumptions))
    if form == "json":
        click.echo(json.dumps([plain_figure(one) for one in figures], indent=2, ensure_ascii=False))
    else:
        click.echo(listing(loaded.record, figures), nl=False)
    sys.exit(WRONG_RECORD if has_error(loaded.findings) else 0)


def _settings(config: Path | None, file: Path) -> "Settings | None":
    """The settings of the knowledge base around the record; a record that lies in none is read with the defaults."""
    from lidoff.settings import CONFIG_NAME, find_config, read_settings

    if config is not None:
        return read_settings(config)
    folders = file.resolve().parents
    return (
        read_settings(find_config(folders[0])) if any((folder / CONFIG_NAME).is_file() for folder in folders) else None
    )


def _refuse(message: str) -> None:
    click.echo(message, err=True)
    sys.exit(WRONG_USAGE)
