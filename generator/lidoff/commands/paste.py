"""``lidoff paste PATH``: a table of parts, from the clipboard or a file, into the components of a record."""

import json
import shutil
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from lidoff.commands._ending import stop

if TYPE_CHECKING:
    from lidoff.bench.parts_table.enter_parts import Entered, RefusedParts
    from lidoff.bench.parts_table.read_parts import PartsReading
    from lidoff.bench.spreadsheet.remark import Remark

WRONG_RECORD, WRONG_USAGE = 1, 2
RECORD_NAME = "record.yaml"
STANDARD_INPUT = "-"
WAIT_S = 10
LARGEST_TABLE = 200_000  # bytes; a record of 500 parts is half as large
# programs that print the clipboard, with their arguments
CLIPBOARDS: Sequence[tuple[str, ...]] = (
    ("wl-paste", "--no-newline"),
    ("xclip", "-selection", "clipboard", "-out"),
    ("pbpaste",),
    ("powershell.exe", "-NoProfile", "-Command", "Get-Clipboard -Raw"),
    ("powershell", "-NoProfile", "-Command", "Get-Clipboard -Raw"),
)


@click.command()
@click.argument("path", type=click.Path(exists=True, path_type=Path))
@click.option("--from", "table", metavar="FILE", help="Read the table from this file; - is standard input.")
@click.option("--update", is_flag=True, help="Change parts that the record has already; what the table omits stays.")
@click.option("--dry-run", is_flag=True, help="Say what would be done and write nothing.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
def command(path: Path, table: str | None, update: bool, dry_run: bool, form: str) -> None:
    """Put a table of parts into the record PATH, or into the record of the folder PATH.

    The table is what a spreadsheet copies: cells between tabs (or semicolons, commas), headings in the first line, in
    any order: Ref, Qty, Role, Maker, Part number, Marking, Package, Value, Rating, Technology, Board, Side, Port,
    Identified by, Strength, Notes. A row may stand for several parts (C3-C5, or R1, R2). Values carry their units
    (82uF 400V, 650V 150mOhm, T3.15AL 250VAC); lines of a print are set apart by " / ", and ? is an unreadable sign.

    It comes from --from, from standard input, or from the clipboard when neither is there. Nothing is written while
    anything in it is not understood. Comments and all else in the record stay as they are.

    \b
    lidoff paste entries/fernhollow/fh-65
    lidoff paste entries/fernhollow/fh-65 --from parts.tsv --update
    """
    from lidoff.bench.parts_table.enter_parts import RefusedParts, entered
    from lidoff.bench.parts_table.read_parts import read_parts
    from lidoff.record.files import write_atomically

    file = path / RECORD_NAME if path.is_dir() else path
    content, name = _table(table)
    reading = read_parts(_sheet(content, name), name)
    if reading.remarks:
        _tell(reading.remarks, form)
    try:
        result = entered(file.read_bytes(), file.as_posix(), reading.parts, name, update)
    except OSError as error:
        stop(f"{file}, which can't be read: {error.strerror}", "a record", "name the record's file or its folder")
    except RefusedParts as refusal:
        _refuse(refusal, form)
    if not dry_run and (result.added or result.changes):
        write_atomically(file.resolve(), result.content)
    _report(result, reading, file, dry_run, form)


def _table(table: str | None) -> tuple[bytes, str]:
    """The table's content and what messages call it."""
    if table is None and sys.stdin.isatty():
        return _clipboard(), "clipboard"
    name = "standard input" if table in (None, STANDARD_INPUT) else table
    try:
        with sys.stdin.buffer if table in (None, STANDARD_INPUT) else open(table, "rb") as stream:
            return stream.read(LARGEST_TABLE + 1), name
    except OSError as error:
        stop(f"{name}, which can't be read: {error.strerror}", "a table of parts", "correct the name of the file")


def _clipboard() -> bytes:
    """What the clipboard holds, by the first program for it that this machine has."""
    program = next((one for one in CLIPBOARDS if shutil.which(one[0])), None)
    if program is None:
        names = ", ".join(dict.fromkeys(one[0].removesuffix(".exe") for one in CLIPBOARDS))
        fix = "save the table in a file and use --from FILE, or pipe it into the command"
        stop("no program that reads the clipboard", f"one of {names}", fix)
    try:
        done = subprocess.run(program, capture_output=True, timeout=WAIT_S, check=False)
    except (OSError, subprocess.TimeoutExpired) as error:
        stop(f"{program[0]}, which gave no answer: {error}", "the clipboard's text", "use --from FILE")
    if done.returncode:
        said = done.stderr.decode("utf-8", "replace").strip() or f"exit code {done.returncode}"
        stop(f"{program[0]}: {said}", "text in the clipboard", "copy the table again, or use --from FILE")
    return done.stdout


def _sheet(content: bytes, name: str) -> object:
    from lidoff.bench.log_report import Unreadable
    from lidoff.bench.spreadsheet.grid import read_sheet

    try:
        return read_sheet(content, LARGEST_TABLE)
    except Unreadable as error:
        stop(f"{name}: {error.fault.found}", error.fault.expected, error.fault.fix)


def _refuse(refusal: "RefusedParts", form: str) -> None:
    from lidoff.reports.text import finding_text

    for finding in refusal.findings:
        click.echo(finding_text(finding), err=True)
    if refusal.findings and not refusal.remarks:
        click.echo("Nothing was written: correct the record first, then paste again.", err=True)
        sys.exit(WRONG_RECORD)
    _tell(refusal.remarks, form)


def _tell(remarks: "Sequence[Remark]", form: str) -> None:
    """Every remark, then the end: a table is taken whole or not at all."""
    if form == "json":
        data = [{key: getattr(one, key) for key in one.__dataclass_fields__} for one in remarks]
        click.echo(json.dumps({"remarks": data}, indent=2, ensure_ascii=False))
    for one in remarks:
        click.echo(one.text, err=True)
    things = "1 thing" if len(remarks) == 1 else f"{len(remarks)} things"
    click.echo(f"Nothing was written: {things} to correct in the table.", err=True)
    sys.exit(WRONG_RECORD)


def _report(result: "Entered", reading: "PartsReading", file: Path, dry_run: bool, form: str) -> None:
    from lidoff.bench.spreadsheet.grid import SEPARATORS
    from lidoff.record.phrases import counted

    if form == "json":
        changes = [{"what": what, "from": old, "to": new} for what, old, new in result.changes]
        data = {"rows": reading.rows, "separator": SEPARATORS.get(reading.separator, reading.separator)}
        written = {**data, "added": list(result.added), "changes": changes, "written": not dry_run, "remarks": []}
        click.echo(json.dumps(written, indent=2, ensure_ascii=False))
        return
    would = "would be " if dry_run else ""
    click.echo(
        f"{counted(reading.rows, 'row')} read, cells apart by {SEPARATORS.get(reading.separator, reading.separator)}"
    )
    if result.added:
        parts = counted(len(result.added), "part")
        click.echo(f"{file.as_posix()}: {parts} {would}added: {', '.join(result.added)}")
    for what, old, new in result.changes:
        click.echo(f"  {what}: {f'{old} -> ' if old else 'added '}{new}")
    if result.changes:
        changed = counted(len(result.changes), "value")
        click.echo(f"{file.as_posix()}: {changed} {would}changed")
    if not result.added and not result.changes:
        click.echo(f"{file.as_posix()}: all of it is there already")
