"""``lidoff import FILE.csv --map MAP.yaml``: rows of a spreadsheet as draft records."""

import json
import os
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from lidoff.bench.spreadsheet.drafts import Draft, SheetReading
    from lidoff.bench.spreadsheet.grid import Sheet
    from lidoff.bench.spreadsheet.map_file import SheetMap
    from lidoff.bench.spreadsheet.remark import Remark
    from lidoff.settings import Settings

NOT_UNDERSTOOD, WRONG_USAGE = 1, 2
DECIMAL_SIGNS = {".": "point", ",": "comma", "": "not decided"}


@click.command()
@click.argument("table", metavar="FILE", type=click.Path(path_type=Path))
@click.option(
    "--map", "map_file", required=True, type=click.Path(path_type=Path), help="Which column gives which field."
)
@click.option("--dry-run", is_flag=True, help="Say what would be written and write nothing.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@click.option(
    "--config",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="The mkdocs.yml of the knowledge base.",
)
def command(table: Path, map_file: Path, dry_run: bool, form: str, config: Path | None) -> None:
    """Turn the rows of a spreadsheet, saved as CSV or with tabs, into draft records.

    The map says what each column is. Fields are written as in a record, with [0] for the first item of a list; with []
    each row adds an item, so that several rows make one product:

    \b
    columns:
      Brand: product.brand
      Model: product.model
      Weight: {field: measured.mass_g, unit: oz}
      Size: {field: measured.body_mm.size, apart: x, unit: in}
      Plug: {field: product.plug.system, words: {US: nema-1-15}}
      Opened: {field: teardown.date, date: day-month-year}
      Ref: "components[].ref"
      Role: {field: "components[].roles", apart: ","}
    fixed:                        # the same in every record
      product.kind: wall-charger
      ports[0].id: C1
    leave: [Shelf, Bought by]     # columns that go nowhere
    decimal: comma                # only where no number shows it

    A number may have its unit behind it; else it is in the map's unit, else in the field's. Words of a vocabulary may
    be written with other blanks, hyphens or capitals; others need words. An empty cell, -, ? and n/a say nothing.

    A record that is there is never touched. A cell that was not understood is left out of the draft, told at its line
    and column, and kept in the draft as a comment. Ends with 0 when all was understood, with 1 when something was not.
    """
    from lidoff.bench.spreadsheet.columns import Paths
    from lidoff.bench.spreadsheet.drafts import read_drafts
    from lidoff.bench.spreadsheet.map_file import read_map
    from lidoff.settings import SettingsError, find_config, read_settings

    try:
        settings = read_settings(config or find_config(Path.cwd()))
    except SettingsError as error:
        _stop_with(str(error))
    sheet, faults = _sheet(table)
    sheet_map, wrong = _map(map_file, read_map)
    if faults or wrong:
        _tell([*faults, *wrong], form)
        sys.exit(NOT_UNDERSTOOD)
    reading = read_drafts(sheet, sheet_map, Paths(table.as_posix(), map_file.as_posix()))
    reading = _with_usual_brands(reading, settings)
    written, kept = _write(reading.drafts, settings, table, dry_run)
    remarks = sorted({*reading.remarks, *(_there_already(draft, settings, table) for draft in kept)})
    _report(reading, written, remarks, settings, dry_run, form)
    sys.exit(NOT_UNDERSTOOD if remarks else 0)


def _sheet(table: Path) -> "tuple[Sheet | None, list[Remark]]":
    """The sheet, or one remark on why it can't be read."""
    from lidoff.bench.log_report import Unreadable
    from lidoff.bench.spreadsheet.grid import MOST_BYTES, read_sheet
    from lidoff.bench.spreadsheet.remark import Remark

    try:
        with table.open("rb") as stream:
            return read_sheet(stream.read(MOST_BYTES + 1)), []
    except OSError as error:
        found = f"a file that can't be read: {error.strerror}"
        return None, [Remark(table.as_posix(), 1, 1, "", found, "a sheet saved as CSV", "correct the name of the file")]
    except Unreadable as error:
        fault = error.fault
        return None, [Remark(table.as_posix(), 1, 1, "", fault.found, fault.expected, fault.fix)]


def _map(map_file: Path, read_map: object) -> "tuple[SheetMap | None, list[Remark]]":
    from lidoff.bench.spreadsheet.remark import Remark
    from lidoff.record.text import MAX_BYTES

    try:
        with map_file.open("rb") as stream:
            made, wrong = read_map(stream.read(MAX_BYTES + 1), map_file.as_posix())
        return made, list(wrong)
    except OSError as error:
        found = f"a file that can't be read: {error.strerror}"
        fix = "write the map first; lidoff import --help shows one"
        return None, [Remark(map_file.as_posix(), 1, 1, "", found, "a map of the sheet", fix)]


def _with_usual_brands(reading: "SheetReading", settings: "Settings") -> "SheetReading":
    """Brands as the records that are there write them, as for a new record; said where the sheet has it otherwise."""
    from lidoff.record.collection import find_records
    from lidoff.record.identity import slug
    from lidoff.record.known_names import known_names

    files = [record.path for record in find_records(settings.entries_folder, settings.base)[0]]
    brands = known_names(files).brands
    usual = {slug(name): name for name in reversed(brands)}
    drafts = []
    for draft in reading.drafts:
        brand = draft.brand if draft.brand in brands else usual.get(slug(draft.brand), draft.brand)
        if brand != draft.brand:
            click.echo(f"{draft.brand} {draft.model}: the brand is written {brand}, as in the records there.", err=True)
            product = {**draft.data["product"], "brand": brand}
            draft = replace(draft, brand=brand, data={**draft.data, "product": product})
        drafts.append(draft)
    return replace(reading, drafts=tuple(drafts))


def _write(
    drafts: "tuple[Draft, ...]", settings: "Settings", table: Path, dry_run: bool
) -> "tuple[list[Draft], list[Draft]]":
    """Write the drafts that are not there yet; those written, and those that are there already."""
    from lidoff.bench.spreadsheet.draft_data import draft_text
    from lidoff.record.identity import RECORD_NAME

    written, kept = [], []
    schema = settings.base / "schema" / "record.schema.json"
    for draft in drafts:
        file = settings.entries_folder / draft.path / RECORD_NAME
        if file.exists():
            kept.append(draft)
            continue
        written.append(draft)
        if dry_run:
            continue
        reference = Path(os.path.relpath(schema, file.parent)).as_posix() if schema.is_file() else None
        source = f"{table.name}, line {draft.line}"
        text = draft_text(draft.data, source, reference, draft.missing, draft.left_out)
        file.parent.mkdir(parents=True, exist_ok=True)
        with file.open("x", encoding="utf-8", newline="\n") as stream:
            stream.write(text)
    return written, kept


def _there_already(draft: "Draft", settings: "Settings", table: Path) -> "Remark":
    from lidoff.bench.spreadsheet.remark import Remark

    path = _path(draft, settings)
    found = f"{draft.brand} {draft.model}, whose record is there: {path}"
    fix = "take the row out, or change that record by hand"
    return Remark(table.as_posix(), draft.line, 1, "", found, "a product without a record", fix)


def _path(draft: "Draft", settings: "Settings") -> str:
    from lidoff.record.identity import RECORD_NAME

    return (settings.entries_folder / draft.path / RECORD_NAME).relative_to(settings.base).as_posix()


def _report(
    reading: "SheetReading",
    written: "list[Draft]",
    remarks: "list[Remark]",
    settings: "Settings",
    dry_run: bool,
    form: str,
) -> None:
    if form == "json":
        data = {
            "rows": reading.rows,
            "separator": reading.separator,
            "decimal": DECIMAL_SIGNS[reading.decimal],
            "encoding": reading.encoding,
            "written": not dry_run and reading.is_usable,
            "records": [{"path": _path(one, settings), "missing": list(one.missing)} for one in written],
            "remarks": [{key: getattr(one, key) for key in one.__dataclass_fields__} for one in remarks],
        }
        click.echo(json.dumps(data, indent=2, ensure_ascii=False))
        return
    _tell(remarks, form)
    rows = "1 row" if reading.rows == 1 else f"{reading.rows} rows"
    form_of = f"cells apart by {reading.separator}, decimal {DECIMAL_SIGNS[reading.decimal]}, {reading.encoding}"
    click.echo(f"{rows} read: {form_of}")
    for draft in written:
        missing = f", still to be filled in: {', '.join(draft.missing)}" if draft.missing else ""
        click.echo(f"{'would write' if dry_run else 'wrote'} {_path(draft, settings)}{missing}")
    if remarks:
        things = "1 thing" if len(remarks) == 1 else f"{len(remarks)} things"
        click.echo(f"{things} not understood or refused, told above; {len(written)} drafts", err=True)


def _tell(remarks: "list[Remark]", form: str) -> None:
    for one in remarks:
        click.echo(one.text, err=True)


def _stop_with(message: str) -> None:
    click.echo(message, err=True)
    sys.exit(WRONG_USAGE)
