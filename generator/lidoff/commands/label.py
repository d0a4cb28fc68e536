"""``lidoff label TEXT``: what a rating label says, as the fields of a record, and what of it was not understood."""

import json
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from lidoff.commands._ending import stop

if TYPE_CHECKING:
    from lidoff.bench.label_text import LabelReading, Span
    from lidoff.bench.label_text.record_form import RecordForm

NOT_UNDERSTOOD, WRONG_USAGE = 1, 2
STANDARD_INPUT = "-"


@click.command()
@click.argument("text", metavar="TEXT")
@click.option("--format", "form", type=click.Choice(["text", "json", "yaml"]), default="text", show_default=True)
@click.option("--into", type=click.Path(exists=True, path_type=Path), help="The record, or its folder, to write into.")
@click.option("--port", metavar="ID", help="With --into: the port of outputs that the label does not name, such as C1.")
@click.option("--protocol", "protocols", multiple=True, metavar="NAME", help="A proprietary protocol on the label.")
@click.option("--name", "names", multiple=True, metavar="NAME", help="A brand, maker or model on the label.")
@click.option(
    "--config",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="The mkdocs.yml of the knowledge base.",
)
def command(
    text: str,
    form: str,
    into: Path | None,
    port: str | None,
    protocols: tuple[str, ...],
    names: tuple[str, ...],
    config: Path | None,
) -> None:
    """Read the printed TEXT of a rating label into a record's fields; - reads it from standard input.

    Names of protocols come from the other-protocols.yaml of the knowledge base around, those of brands and makers from
    its records. Ends with 0 when all was understood, with 1 when something was not. With --into, the fields go into
    the record, where they are not there yet; comments and all else in the file stay.

    \b
    lidoff label "INPUT 100-240V~ 50/60Hz 0.6A  OUTPUT 5V⎓3A / 9V⎓2.22A"
    """
    from lidoff.bench.label_text import read_label
    from lidoff.bench.label_text.record_form import record_form

    text = _from_standard_input() if text == STANDARD_INPUT else text
    _refuse_unreadable(text)
    known_protocols, files = _knowledge(config)
    reading = read_label(text, (*protocols, *known_protocols), names)
    if reading.not_understood:  # the names in the records are looked for only where they could help
        reading = read_label(text, (*protocols, *known_protocols), (*names, *_names_in(files)))
    record = record_form(reading, text)
    if into is not None:
        _enter(into, record, port)
    if form == "json":
        click.echo(json.dumps(_as_data(record, reading, text), indent=2, ensure_ascii=False))
    else:
        click.echo(record_text(record), nl=False)
        click.echo(remaining_text(reading, text, aside=form == "text"), nl=False, err=form == "yaml")
    sys.exit(NOT_UNDERSTOOD if reading.not_understood else 0)


def _enter(into: Path, record: "RecordForm", port: str | None) -> None:
    """Write the fields into the record, or stop and leave it as it is."""
    from lidoff.bench.label_text.enter_label import RefusedLabel, entered
    from lidoff.record.files import write_atomically

    file = into / "record.yaml" if into.is_dir() else into
    try:
        content, fields = entered(file.read_bytes(), file.as_posix(), record, port)
    except OSError as error:
        stop(f"{file}, which can't be read: {error.strerror}", "a record", "name the record's file or its folder")
    except RefusedLabel as refusal:
        click.echo(str(refusal), err=True)
        sys.exit(WRONG_USAGE)
    write_atomically(file.resolve(), content)
    click.echo(f"{file.name}: added {', '.join(fields)}" if fields else f"{file.name}: all of it is there", err=True)


def record_text(record: "RecordForm") -> str:
    """The fields as YAML, with the remarks as comments."""
    from lidoff.record.yaml_lines import keyed, mapping_lines

    lines = ["label:", *mapping_lines(record.label, 2)]
    for key, value in (("ports", record.ports), ("port_sharing", record.port_sharing)):
        lines += keyed(key, value) if value else []
    return "\n".join([*lines, *(f"# {remark}" for remark in record.remarks)]) + "\n"


def remaining_text(reading: "LabelReading", text: str, aside: bool) -> str:
    """What was not understood, each with its place below the line, then what was left aside."""
    from lidoff.record.phrases import counted
    from lidoff.reports.pointed import pointed

    pieces = [f"\n{pointed(text, span.start, span.end)}\n{span.reason}\n" for span in reading.not_understood]
    if pieces:
        pieces.insert(0, f"\nNot understood, so not in the fields above: {counted(len(pieces), 'piece')}\n")
    if aside and reading.left_aside:
        shown = "".join(f'  "{" ".join(span.text.split())}" {span.reason}\n' for span in reading.left_aside)
        pieces.append(f"\nLeft aside:\n{shown}")
    return "".join(pieces)


def _as_data(record: "RecordForm", reading: "LabelReading", text: str) -> dict[str, object]:
    return {
        "label": record.label,
        "ports": record.ports,
        "port_sharing": record.port_sharing,
        "remarks": list(record.remarks),
        "not_understood": [_span_data(span, text) for span in reading.not_understood],
        "left_aside": [_span_data(span, text) for span in reading.left_aside],
    }


def _span_data(span: "Span", text: str) -> dict[str, object]:
    from lidoff.reports.pointed import line_and_column

    line, column = line_and_column(text, span.start)
    place = {"line": line, "column": column, "start": span.start, "end": span.end}
    return {"text": span.text, **place, "reason": span.reason}


def _from_standard_input() -> str:
    from lidoff.bench.label_text import LONGEST_LABEL

    content = sys.stdin.buffer.read(LONGEST_LABEL * 8)
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        if len(content) < LONGEST_LABEL * 8:
            byte = f"the byte 0x{content[error.start]:02X} at {error.start + 1}, which is no UTF-8"
            stop(byte, "a label's text in UTF-8", "save the text as UTF-8, or type it")
        return content.decode("utf-8", "replace")


def _refuse_unreadable(text: str) -> None:
    """Stop with one message where a text can't be a label's."""
    from lidoff.bench.label_text import LONGEST_LABEL
    from lidoff.record.text import sign_name

    expected = f"the text of one label, of up to {LONGEST_LABEL:,} characters"
    strange = next((sign for sign in text if not sign.isprintable() and not sign.isspace() and sign in CONTROLS), None)
    if not text.strip():
        stop("no text", expected, "type the lines as they are printed")
    if len(text) > LONGEST_LABEL:
        stop(f"a text of more than {LONGEST_LABEL:,} characters", expected, "give the label's own lines alone")
    if strange is not None:
        stop(f"{sign_name(strange)} in the text", expected, "give the label as text, not a picture or another file")


CONTROLS = frozenset(map(chr, (*range(9), *range(14, 28), 127, *range(128, 133), *range(134, 160))))


def _knowledge(config: Path | None) -> tuple[tuple[str, ...], tuple[Path, ...]]:
    """The protocols that the knowledge base around lists, and its record files; nothing where there is none."""
    from lidoff.record.collection import find_records
    from lidoff.record.other_protocols import load_other_protocols
    from lidoff.settings import SettingsError, find_config, read_settings

    try:
        settings = read_settings(config or find_config(Path.cwd()))
    except SettingsError as error:
        if config is not None:
            click.echo(str(error), err=True)
            sys.exit(WRONG_USAGE)
        return (), ()
    if not settings.entries_folder.is_dir():
        return (), ()
    protocols, _ = load_other_protocols(settings.entries_folder, settings.base)
    records, _ = find_records(settings.entries_folder, settings.base)
    return tuple(protocols.name_of), tuple(record.path for record in records)


def _names_in(files: Iterable[Path]) -> tuple[str, ...]:
    from lidoff.record.known_names import company_names

    return company_names(files)
