"""``lidoff fix [PATH...]``: mends that are safe to make without asking."""

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from lidoff.settings import Settings

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
    """Mend what can only have been meant in one way, in all records or in those at PATH, and say what was done.

    Numbers in quotes, with a decimal comma or with their own unit behind them; yes and no; words in another case; keys
    in the order of the schema; the names of folder and file from brand and model. Comments stay. All else is left to
    you: `lidoff check` tells of it.
    """
    from lidoff.record.files import record_files
    from lidoff.record.phrases import counted
    from lidoff.settings import SettingsError, find_config, read_settings

    try:
        settings = read_settings(config or find_config(paths[0] if paths else Path.cwd()))
    except SettingsError as fault:
        click.echo(str(fault), err=True)
        sys.exit(WRONG_USAGE)
    files = list(record_files(paths or (settings.entries_folder,)))
    outcomes = [_mend(file, settings, dry_run) for file in files]
    changed, failed = sum(one is True for one in outcomes), sum(one is None for one in outcomes)
    done = "would be changed" if dry_run else "changed"
    click.echo(f"{counted(len(files), 'record')}: {changed} {done}, {failed} left because no machine can mend them")
    sys.exit(WRONG_RECORD if failed else 0)


def _mend(file: Path, settings: "Settings", dry_run: bool) -> bool | None:
    """Mend one file; whether anything was done, None where it can't be read."""
    from lidoff.record.files import write_atomically
    from lidoff.record.mending.text import NotMended, mended

    name = os.path.relpath(file.resolve(), settings.base)
    try:
        before = file.read_bytes()
        content, mends = mended(before)
    except (OSError, NotMended) as fault:
        click.echo(f"{name}: nothing done: {fault}", err=True)
        return None
    for mend in mends:
        click.echo(f"{name}:{mend.line}: {mend.what}")
    if content != before and not dry_run:
        write_atomically(file, content)
    moved = _move(file, content, settings, dry_run)
    return bool(mends) or moved


def _move(file: Path, content: bytes, settings: "Settings", dry_run: bool) -> bool:
    """Put a record where its product belongs, with all that lies beside it; whether that was needed."""
    from lidoff.record.identity import RECORD_NAME, product_path
    from lidoff.record.load import load_text

    product = load_text(content, file.name).product
    entries = settings.entries_folder.resolve()
    folder = file.resolve().parent
    if product is None or folder.parent.parent != entries:
        return False
    wanted = entries / product_path(*product)
    if wanted == folder and file.name == RECORD_NAME:
        return False
    old, new = (os.path.relpath(path, settings.base) for path in (file.resolve(), wanted / RECORD_NAME))
    if wanted != folder and wanted.exists():
        click.echo(f"{old}: not moved: {os.path.relpath(wanted, settings.base)} is there already", err=True)
        return False
    click.echo(f"{old} -> {new}")
    if not dry_run:
        wanted.parent.mkdir(parents=True, exist_ok=True)
        folder.rename(wanted)
        (wanted / file.name).rename(wanted / RECORD_NAME)
        if not any(folder.parent.iterdir()):
            folder.parent.rmdir()
    return True
