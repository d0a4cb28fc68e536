"""``lidoff check [PATH...]``: all findings, each at its file, line and column."""

import os
import sys
from collections.abc import Sequence
from pathlib import Path

import click

from lidoff.finding import Finding, Severity
from lidoff.settings import Settings

FORMATS = ("text", "json", "github", "sarif")
WRONG_RECORD, WRONG_USAGE = 1, 2

_COLOURS: dict[Severity, str] = {"error": "red", "warning": "yellow", "note": "cyan"}


@click.command()
@click.argument("paths", metavar="[PATH...]", nargs=-1, type=click.Path(exists=True, path_type=Path))
@click.option(
    "--format",
    "form",
    type=click.Choice(FORMATS),
    default="text",
    show_default=True,
    help="How the findings are written.",
)
@click.option(
    "--since", metavar="REF", help="Only findings that touch records changed since this branch, tag or commit."
)
@click.option(
    "--config",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="The mkdocs.yml of the knowledge base.",
)
def command(paths: tuple[Path, ...], form: str, since: str | None, config: Path | None) -> None:
    """Check records and print all findings. With PATH, only findings that touch these records or folders.

    Ends with 0 when no record has an error, with 1 when one has.
    """
    from lidoff.pipeline import check
    from lidoff.reports.progress import progress_bar
    from lidoff.settings import SettingsError, find_config, read_settings

    try:
        settings = read_settings(config or find_config(paths[0] if paths else Path.cwd()))
    except SettingsError as error:
        click.echo(str(error), err=True)
        sys.exit(WRONG_USAGE)
    _refuse_outside(paths, settings.entries_folder)
    if since is not None:
        paths = _changed(settings, since, paths)
        if not paths:
            click.echo(report(form, (), 0), nl=False)
            return
    with progress_bar("checking records") as progress:
        result = check(settings, paths, progress)
    click.echo(report(form, result.findings, result.records), nl=False)
    sys.exit(WRONG_RECORD if result.failed else 0)


def _changed(settings: Settings, reference: str, paths: tuple[Path, ...]) -> tuple[Path, ...]:
    """The folders of products that differ from a revision and are still there; with paths, those within them."""
    from lidoff.impact.assess import folders_of
    from lidoff.impact.history import HistoryError, changed_files, past

    try:
        files = changed_files(past(settings.base, reference), settings.entries)
    except HistoryError as fault:
        click.echo(str(fault), err=True)
        sys.exit(WRONG_USAGE)
    folders = (settings.base / folder for folder in sorted(folders_of(files, settings)))
    within = [path.resolve() for path in paths]
    return tuple(
        folder for folder in folders
        if folder.is_dir() and (not within or any(folder.is_relative_to(path) for path in within))
    )  # fmt: skip


def report(form: str, findings: Sequence[Finding], records: int) -> str:
    """The findings in one of the forms."""
    from lidoff import reports

    if form == "json":
        return reports.as_json(findings, records)
    if form == "github":
        return reports.as_github(findings)
    if form == "sarif":
        from lidoff.checks import all_rules

        return reports.as_sarif(findings, all_rules())
    return reports.as_text(findings, records, _painted if _in_colour() else lambda text, severity: text)


def _refuse_outside(paths: Sequence[Path], entries: Path) -> None:
    """A path that no record can lie at is a slip: silence about it would look like a clean record."""
    folder = entries.resolve()
    for path in paths:
        resolved = path.resolve()
        if not resolved.is_relative_to(folder) and not folder.is_relative_to(resolved):
            fix = "name a path there, or another knowledge base with --config"
            click.echo(f"found     {path}\nexpected  a record or folder in {entries}\nfix       {fix}", err=True)
            sys.exit(WRONG_USAGE)


def _in_colour() -> bool:
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR")


def _painted(text: str, severity: Severity) -> str:
    return click.style(text, fg=_COLOURS[severity], bold=True)
