"""``lidoff photo add ENTRY FILE...``: pictures from a camera or an instrument, made ready to lie beside a record."""

import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from lidoff.commands._ending import stop
from lidoff.record.identity import RECORD_NAME
from lidoff.record.schema import field_schema

if TYPE_CHECKING:
    from lidoff.bench.picture_master import Master

FAILED, WRONG_USAGE = 1, 2
LEAST_MEGAPIXELS = 0.1
KINDS: Sequence[str] = field_schema("photos[0].kind")["enum"]
SUBJECTS: Sequence[str] = field_schema("photos[0].shows")["enum"]
SIDES: Sequence[str] = field_schema("photos[0].side")["enum"]
# each kind's own fields: name, kinds in whose help it stands
OWN_NUMBERS = {
    "emissivity": "thermal",
    "scale_min_c": "thermal",
    "scale_max_c": "thermal",
    "ambient_c": "thermal",
    "magnification": "microscope, x-ray",
    "tube_kv": "x-ray",
    "volts_per_division_v": "waveform",
    "time_per_division_us": "waveform",
}


def _own_options(command: Callable) -> Callable:
    """Options for the fields that only some kinds have, with their descriptions from the schema."""
    for name, kinds in reversed(OWN_NUMBERS.items()):
        schema = field_schema(f"photos[0].{name}")
        unit = "" if schema["x-unit"] == "1" else f", in {schema['x-unit']}"
        text = f"{schema['description'].rstrip('.')}{unit} ({kinds})."
        command = click.option(_option(name), name, type=float, help=text)(command)
    return click.option("--node", help="What the trace shows (waveform).")(command)


def _option(name: str) -> str:
    return f"--{name.replace('_', '-')}"


@click.group()
def command() -> None:
    """Pictures of a record."""


@command.command()
@click.argument("entry", type=click.Path(exists=True, path_type=Path))
@click.argument("files", metavar="FILE...", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--alt", "alts", multiple=True, help="What can be seen, for those who cannot see it; once for each FILE.")
@click.option("--credit", help="Who made the pictures.")
@click.option("--license", "licence", metavar="SPDX", help="Their licence by its SPDX identifier, such as CC-BY-4.0.")
@click.option("--kind", type=click.Choice(KINDS), default="photo", show_default=True, help="What sort of picture.")
@click.option("--shows", type=click.Choice(SUBJECTS), help="What is seen.")
@click.option("--board", help="Which board of the record is seen.")
@click.option("--side", type=click.Choice(SIDES), help="Which side of that board.")
@click.option("--sample", help="On which sample of the record; the first one if left out.")
@click.option("--caption", help="A line under the picture.")
@click.option("--illustration", is_flag=True, help="It is a drawing and no photograph.")
@click.option("--megapixels", type=float, default=4.0, show_default=True, help="Size of what is kept, up to 8.")
@_own_options
def add(
    entry: Path, files: tuple[Path, ...], alts: tuple[str, ...], megapixels: float, **said: str | float | bool | None
) -> None:
    """Put pictures into the folder of the record ENTRY, and into the record.

    Each FILE is turned upright, its colours become sRGB, it is made smaller, and all that is told beside its pixels is
    left behind: position, serial numbers, comments, thumbnails. The digest of the original goes into the record, whose
    comments stay as they are. What is not given of alt text, credit and licence is asked for on a terminal. A picture
    that can't be taken is named, and the others are taken; then the command ends with 1.

    JPEG up to 200 megapixels is read within some 200 MB of memory, progressive JPEG and PNG of that size within 1.4 GB,
    TIFF up to 130 and WebP up to 80 megapixels likewise; more is refused.

    \b
    lidoff photo add entries/fernhollow/fh-65 IMG_2034.JPG --board main --side top
    lidoff photo add entries/fernhollow/fh-65 IR_0017.jpg --kind thermal --emissivity 0.95 --shows body
    """
    record = entry / RECORD_NAME if entry.is_dir() else entry
    item = {"license" if key == "licence" else key: value for key, value in said.items()}
    item["illustration"] = item["illustration"] or None
    _refuse_megapixels(megapixels)
    texts = _completed(record, item, files, alts)
    failed = 0
    for file, alt in zip(files, texts, strict=True):
        failed += not _added(record, file, item | {"alt": alt}, megapixels)
    if failed:
        click.echo(f"{failed} of {len(files)} not added", err=True)
        sys.exit(FAILED)


def _refuse_megapixels(megapixels: float) -> None:
    from lidoff.bench.picture_file import MOST_MEGAPIXELS

    if not LEAST_MEGAPIXELS <= megapixels <= MOST_MEGAPIXELS:
        expected = f"{LEAST_MEGAPIXELS} to {MOST_MEGAPIXELS}: a record's pictures stay in the repository for good"
        stop(f"--megapixels {megapixels:g}", expected, "leave it out for 4")


def _completed(record: Path, item: dict[str, object], files: Sequence[Path], alts: Sequence[str]) -> Sequence[str]:
    """An alt text for each file; fills in what else is missing. Stops before any picture is read."""
    from lidoff.bench.picture_entry import RefusedEntry, needed_for, readable_record, refuse_wrong

    if alts and len(alts) != len(files):
        expected = "one --alt for each FILE, in their order"
        stop(f"{len(files)} files and {len(alts)} alt texts", expected, "give each picture its own text")
    content = _content(record)
    try:
        known = readable_record(content, record.as_posix())
        before = known.photos[-1] if known.photos else None
        asked = ["credit", "license", *needed_for(str(item["kind"]))]
        missing = [name for name in asked if item[name] is None] + ([] if alts else ["alt"])
        if missing and not sys.stdin.isatty():
            options = ", ".join(map(_option, missing))
            stop(f"no {options}", "each of them, or a terminal to ask for it on", "add what is missing")
        for name in missing:
            if name != "alt":
                item[name] = _asked(name, getattr(before, name, None))
        refuse_wrong(item, content, record.as_posix(), known)
        texts = alts or [_asked("alt", None, f"{file}: ") for file in files]
        for text in texts:
            refuse_wrong(item | {"alt": text}, content, record.as_posix(), known)
    except RefusedEntry as refusal:
        _tell(refusal)
        sys.exit(FAILED if refusal.findings else WRONG_USAGE)
    return texts


def _asked(name: str, default: object, lead: str = "") -> str | float:
    schema = field_schema(f"photos[0].{name}")
    return click.prompt(
        lead + schema["description"].rstrip("."), default=default, type=float if name in OWN_NUMBERS else str
    )


def _content(record: Path) -> bytes:
    try:
        return record.read_bytes()
    except OSError as error:
        stop(f"{record}, which can't be read: {error.strerror}", "a record", "name the record's file or its folder")


def _added(record: Path, file: Path, item: Mapping[str, object], megapixels: float) -> bool:
    """Make one master and put it into the folder and the record; tells why where that can't be."""
    from lidoff.bench.picture_entry import RefusedEntry
    from lidoff.bench.picture_master import RefusedPicture, make_master

    try:
        master = make_master(file, megapixels)
        name, field = _stored(record, file, item, master)
    except RefusedPicture as refusal:
        click.echo(f"{file}: not added\n{refusal}", err=True)
        return False
    except RefusedEntry as refusal:
        click.echo(f"{file}: not added", err=True)
        _tell(refusal)
        return False
    except OSError as error:
        click.echo(f"{file}: not added, since {error.filename or record} can't be written: {error.strerror}", err=True)
        return False
    click.echo(added_text(record, file, master, name, field))
    return True


def _stored(record: Path, file: Path, item: Mapping[str, object], master: "Master") -> tuple[str, str]:
    """File name and field of the picture, once both files are written; the picture goes again if the record fails."""
    from lidoff.bench.picture_entry import entered, file_name
    from lidoff.bench.pictures import FOLDER
    from lidoff.record.files import write_atomically, write_new

    folder = record.resolve().parent / FOLDER
    folder.mkdir(exist_ok=True)
    name = file_name(item, file.name, master.ending, [path.name for path in folder.iterdir()])
    written = entered(
        record.read_bytes(), record.as_posix(), {**item, "file": name, "original_sha256": master.original_sha256}
    )
    picture = folder / name.removeprefix(FOLDER)
    write_new(picture, master.content)
    try:
        write_atomically(record.resolve(), written.content)
    except BaseException:
        picture.unlink()
        raise
    return name, written.field


def added_text(record: Path, file: Path, master: "Master", name: str, field: str) -> str:
    """What was done, for people."""
    across, down = master.original_size
    size = f"{master.width} x {master.height} pixels, {len(master.content) / 1000:.0f} kB"
    lines = [f"{record.parent.as_posix()}/{name}: {size}", f"  from {file}, {across} x {down} pixels"]
    lines += [f"  {'; '.join(master.done)}"] if master.done else []
    return "\n".join([*lines, f"  added to {record.as_posix()} as {field}"])


def _tell(refusal: Exception) -> None:
    from lidoff.reports.text import finding_text

    for finding in refusal.findings:
        click.echo(finding_text(finding), err=True)
    click.echo(str(refusal), err=True)
