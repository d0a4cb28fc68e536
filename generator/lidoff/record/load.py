"""One record file -> its record, where everything in it stands, and what is wrong with it."""

from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import msgspec

from lidoff.finding import Finding, Place, in_order
from lidoff.record.faults import fault, shown
from lidoff.record.identity import RECORD_NAME, is_folder_name, product_path
from lidoff.record.marks import Marks, reading_of, sound_of
from lidoff.record.model import Record
from lidoff.record.schema import record_shape
from lidoff.record.text import SEVERAL_SIGNS, decoded
from lidoff.record.validation import holds, is_other_format, validated
from lidoff.record.values import values_of


@dataclass(frozen=True, slots=True)
class Loaded:
    """One file as it was read: ``record`` is None where the schema does not hold.

    ``status`` and ``product`` (brand and model) are known wherever they can be read, sound record or not. ``data`` is
    the record in MessagePack, from which ``built`` makes it again; empty where there is none.
    """

    path: str
    record: Record | None
    findings: tuple[Finding, ...]
    marks: Marks
    status: str | None = None
    product: tuple[str, str] | None = None
    data: bytes = b""

    def place(self, field: str) -> Place:
        """Where a field such as ``ports[0].label[1].voltage_max_v`` stands, or what encloses it."""
        return self.marks.place(field)


def load_file(file: Path, base: Path) -> Loaded:
    """Read one record file; its path in messages is relative to ``base``."""
    try:
        path = file.relative_to(base).as_posix()
    except ValueError:
        path = file.as_posix()
    try:
        content = file.read_bytes()
    except OSError as error:
        reason = error.strerror or "no reason given"
        finding = fault(
            "record-file",
            path,
            1,
            1,
            f"a file that can't be read: {reason}",
            "a readable file",
            "check that the file is there and may be read",
        )
        return Loaded(path, None, (finding,), Marks(path, ""))
    loaded = load_text(content, path)
    if file.name != RECORD_NAME or loaded.product is None:
        return loaded
    misplaced = _misplaced(loaded, "/".join(file.absolute().parts[-3:-1]))
    return replace(loaded, findings=in_order(loaded.findings + misplaced)) if misplaced else loaded


def _misplaced(loaded: Loaded, folder: str) -> tuple[Finding, ...]:
    """A record whose folders are not those of its product; a name that no folder may have is told elsewhere."""
    wanted = product_path(*loaded.product)
    if folder == wanted or not all(is_folder_name(name) for name in folder.split("/")):
        return ()
    place = loaded.place("product.model" if folder.split("/")[0] == wanted.split("/")[0] else "product.brand")
    found, expected = f"the folder {shown(folder)}", f"the folder {wanted} for this brand and model"
    fix = f"rename the folder to {wanted}, or correct brand and model"
    return (fault("entry-path", place.path, place.line, place.column, found, expected, fix, place.field),)


def load_text(content: bytes | str, path: str) -> Loaded:
    """Read the text of one record; ``path`` is what messages call it."""
    text, findings = decoded(content, path)
    if text is None:
        return Loaded(path, None, tuple(findings), Marks(path, ""))
    marks = Marks(path, text)
    found = None if findings else sound_of(text)
    if found is not None and holds(found.data):
        return _loaded(found.data, (), marks, is_sound=True)
    return _explained(text, findings, marks)


def _explained(text: str, findings: list[Finding], marks: Marks) -> Loaded:
    """Read a text with a word on everything in it that can't be taken."""
    path = marks.path
    reading = reading_of(text, path)
    findings.extend(reading.findings)
    if reading.root is None:
        if not findings:
            findings.append(
                fault("record-empty", path, 1, 1, "an empty file", "a record", "start with lidoff new BRAND MODEL")
            )
        return Loaded(path, None, in_order(findings), marks)
    values = values_of(reading.root, record_shape(), path)
    is_sound, complaints = validated(values, reading.unread, marks)
    findings.extend(complaints if is_other_format(values.data) else _once(values.findings, findings) + complaints)
    return _loaded(values.data, in_order(findings), marks, is_sound and not reading.findings)


def _loaded(data: object, findings: tuple[Finding, ...], marks: Marks, is_sound: bool) -> Loaded:
    content = msgspec.msgpack.encode(data) if is_sound else b""
    record = built(content) if is_sound else None
    return Loaded(marks.path, record, findings, marks, _text_at(data, "status"), _product(data), content)


def _once(of_values: list[Finding], of_text: list[Finding]) -> list[Finding]:
    """What values hold beyond the text itself: a sign told of in the text is not told of again in its value."""
    if not any(finding.found == SEVERAL_SIGNS for finding in of_text):
        return of_values
    return [finding for finding in of_values if not finding.found.startswith(SEVERAL_SIGNS)]


def _product(data: object) -> tuple[str, str] | None:
    inner = data.get("product") if isinstance(data, dict) else None
    brand, model = _text_at(inner, "brand"), _text_at(inner, "model")
    return (brand, model) if brand and model else None


def _text_at(data: object, key: str) -> str | None:
    value = data.get(key) if isinstance(data, dict) else None
    return value if isinstance(value, str) else None


def built(data: bytes) -> Record:
    """The frozen record of data that the schema holds for; what msgspec refuses then is our own fault."""
    return _decoder().decode(data)


@cache
def _decoder() -> msgspec.msgpack.Decoder:
    return msgspec.msgpack.Decoder(Record)
