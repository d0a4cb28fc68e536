"""``lidoff new BRAND MODEL``: a commented record to fill in."""

import datetime
import os
import sys
import unicodedata
from pathlib import Path

import click

WRONG_USAGE = 2
LONGEST_NAME = 60


@click.command()
@click.argument("brand")
@click.argument("model")
@click.option(
    "--date",
    default=lambda: datetime.date.today().isoformat(),
    show_default="today",
    help="Day of the teardown, as 2026-03-09.",
)
@click.option(
    "--config",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="The mkdocs.yml of the knowledge base.",
)
def command(brand: str, model: str, date: str, config: Path | None) -> None:
    """Write a commented record for the product MODEL of BRAND, as printed on it.

    The folders follow from brand and model. An existing record is never touched.
    """
    from lidoff.record.collection import find_records
    from lidoff.record.identity import RECORD_NAME, product_path, slug
    from lidoff.record.known_names import known_names
    from lidoff.record.scalars import is_day
    from lidoff.record.template import new_record
    from lidoff.settings import SettingsError, find_config, read_settings

    try:
        settings = read_settings(config or find_config(Path.cwd()))
    except SettingsError as error:
        _stop(str(error))
    brand, model = _checked("BRAND", brand), _checked("MODEL", model)
    if not is_day(date) or len(date) != 10:
        fix = "correct the day, or leave it out for today"
        _stop(f"found     --date {date}\nexpected  a day, year first, such as 2026-03-09\nfix       {fix}")
    known = known_names(record.path for record in find_records(settings.entries_folder, settings.base)[0])
    usual = next((name for name in known.brands if slug(name) == slug(brand) and name != brand), None)
    if usual is not None and brand not in known.brands:
        click.echo(f"The brand is written {usual}, as in the records that are there.", err=True)
        brand = usual
    file = settings.entries_folder / product_path(brand, model) / RECORD_NAME
    path = file.relative_to(settings.base).as_posix()
    schema = settings.base / "schema" / "record.schema.json"
    reference = Path(os.path.relpath(schema, file.parent)).as_posix() if schema.is_file() else None
    _write(file, path, new_record(brand, model, date, path, reference, known))
    click.echo(path)


def _checked(name: str, text: str) -> str:
    """A name in composed form without spaces at its ends; stops where no record could hold it."""
    from lidoff.record.text import refused_sign

    composed = unicodedata.normalize("NFC", text).strip()
    if not composed or len(composed) > LONGEST_NAME or refused_sign(composed) or "\n" in composed:
        expected = f"text of 1 to {LONGEST_NAME} visible characters"
        _stop(f"found     {name} {ascii(text)}\nexpected  {expected}\nfix       write it as the product shows it")
    return composed


def _write(file: Path, path: str, text: str) -> None:
    file.parent.mkdir(parents=True, exist_ok=True)
    try:
        with file.open("x", encoding="utf-8", newline="\n") as stream:
            stream.write(text)
    except FileExistsError:
        _stop(
            f"found     {path}\nexpected  a product without a record\nfix       open that record, or give another model"
        )


def _stop(message: str) -> None:
    click.echo(message, err=True)
    sys.exit(WRONG_USAGE)
