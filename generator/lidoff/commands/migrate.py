"""``lidoff migrate [PATH...]``: records of an earlier format, brought to the present one."""

import os
import sys
from pathlib import Path

import click

WRONG_RECORD, WRONG_USAGE = 1, 2


@click.command()
@click.argument("paths", metavar="[PATH...]", nargs=-1, type=click.Path(exists=True, path_type=Path))
@click.option("--dry-run", is_flag=True, help="Say what would be done and do nothing.")
@click.option(
    "--config",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="The mkdocs.yml of the knowledge base.",
)
def command(paths: tuple[Path, ...], dry_run: bool, config: Path | None) -> None:
    """Bring all records, or those at PATH, to the present format. Comments and order stay as they are.

    A record says its format itself: `schema: 1`. One of a later format than this Lidoff knows is left as it is.
    """
    from lidoff.record.files import record_files, write_atomically
    from lidoff.record.migration.steps import NotMigrated
    from lidoff.record.migration.versions import migrated
    from lidoff.record.phrases import counted
    from lidoff.settings import SettingsError, find_config, read_settings

    try:
        settings = read_settings(config or find_config(paths[0] if paths else Path.cwd()))
    except SettingsError as fault:
        click.echo(str(fault), err=True)
        sys.exit(WRONG_USAGE)
    files = list(record_files(paths or (settings.entries_folder,)))
    changed = failed = 0
    for file in files:
        name = os.path.relpath(file.resolve(), settings.base)
        try:
            outcome = migrated(file.read_bytes())
            if outcome.done and not dry_run:
                write_atomically(file.resolve(), outcome.content)
        except (OSError, NotMigrated) as fault:
            failed += 1
            click.echo(f"{name}: nothing done: {fault}", err=True)
            continue
        changed += bool(outcome.done)
        for what in outcome.done:
            click.echo(f"{name}: {what}")
    click.echo(
        f"{counted(len(files), 'record')}: {changed} {'would be ' if dry_run else ''}migrated, {failed} left as they are"
    )
    sys.exit(WRONG_RECORD if failed else 0)
