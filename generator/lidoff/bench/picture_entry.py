"""A master with what is known of it -> a file name and an item of the record's photos, all else left as it is."""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from pathlib import PurePosixPath

from lidoff.bench.picture_master import RefusedPicture
from lidoff.bench.pictures import FOLDER
from lidoff.finding import Finding, has_error
from lidoff.record.edit import EditError, inserted
from lidoff.record.identity import WINDOWS_NAMES
from lidoff.record.load import load_text
from lidoff.record.model import Record
from lidoff.record.schema import field_schema

LONGEST_STEM = 60
_PLACEHOLDER = {"file": f"{FOLDER}picture.jpg", "original_sha256": "0" * 64, "alt": "A picture"}
_OTHER_SIGNS = re.compile(r"[^a-z0-9]+")


class RefusedEntry(Exception):
    """The record can't take the picture: why, in words, and the record's own errors if it has any."""

    def __init__(self, message: str, findings: tuple[Finding, ...] = ()) -> None:
        super().__init__(message)
        self.findings = findings


@dataclass(frozen=True, slots=True)
class PictureEntered:
    """The record's new text, and the field that the picture stands at."""

    content: bytes
    field: str


def readable_record(content: bytes, path: str) -> Record:
    """The record that a picture is to go into; raises RefusedEntry where it has errors."""
    loaded = load_text(content, path)
    if loaded.record is None or has_error(loaded.findings):
        raise RefusedEntry(
            _message(f"errors in {path}", "a record without errors", "correct these first"), loaded.findings
        )
    return loaded.record


def refuse_wrong(item: Mapping[str, object], content: bytes, path: str, record: Record) -> None:
    """Raise RefusedEntry, with every reason, where what is said of a picture can't stand in this record."""
    told = [
        _strange(name, item[name], names)
        for name, names in (
            ("board", [board.id for board in record.boards]),
            ("sample", [sample.id for sample in record.samples]),
        )
        if item.get(name) is not None and item[name] not in names
    ]
    if item.get("side") is not None and item.get("board") is None:
        boards = ", ".join(board.id for board in record.boards) or "none in the record yet"
        told.append(_message("--side without --board", f"the board that it is a side of: {boards}", "add --board"))
    place = len(record.photos)
    changed = _changed(content, _PLACEHOLDER | item)
    told += [_of_option(finding, place) for finding in load_text(changed, path).findings if finding.severity == "error"]
    if told:
        raise RefusedEntry("\n".join(told))


def entered(content: bytes, path: str, item: Mapping[str, object]) -> PictureEntered:
    """The record with the picture as the last of its photos.

    Raises RefusedEntry where the record has errors, and RefusedPicture where it has this original already.
    """
    record = readable_record(content, path)
    for place, photo in enumerate(record.photos):
        if photo.original_sha256 is not None and photo.original_sha256 == item["original_sha256"]:
            found = f"an original that is in the record already: photos[{place}], {photo.file}"
            raise RefusedPicture(
                found, "a picture that is not there yet", "leave it out, or take the other one away first"
            )
    refuse_wrong(item, content, path, record)
    return PictureEntered(_changed(content, item), f"photos[{len(record.photos)}]")


def in_order(item: Mapping[str, object]) -> dict[str, object]:
    """The fields of a picture that have a value, in the order of the schema."""
    return {key: item[key] for key in field_schema("photos[0]")["properties"] if item.get(key) is not None}


def needed_for(kind: str) -> Sequence[str]:
    """The fields that a picture of a kind can't do without, beyond those that every picture needs."""
    rules = field_schema("photos[0]")["allOf"]
    return next((rule["then"]["required"] for rule in rules if rule["if"]["properties"]["kind"]["const"] == kind), ())


def file_name(item: Mapping[str, object], source: str, ending: str, taken: Collection[str]) -> str:
    """A name below photos/ that no file has yet: after what is seen, else after the original's own name.

    Examples
    --------
    >>> file_name({"kind": "photo", "board": "main", "side": "top"}, "IMG_1.JPG", ".jpg", ["photos/board-main-top.png"])
    'photos/board-main-top-2.jpg'
    >>> file_name({"kind": "x-ray"}, "Ladegerät (2).tif", ".jpg", [])
    'photos/x-ray-ladegerat-2.jpg'
    """
    kind = item.get("kind")
    shows = item.get("shows") or ("board" if item.get("board") else None)
    words = [kind if kind != "photo" else None, shows, item.get("board"), item.get("side")]
    if not any(words[1:]):
        words.append(PurePosixPath(source).stem)
    stem = plain_name("-".join(str(word) for word in words if word))[:LONGEST_STEM].strip("-") or "picture"
    stem = f"{stem}-picture" if stem in WINDOWS_NAMES else stem
    used = {name.lower().removeprefix(FOLDER).rpartition(".")[0] for name in taken}
    number, free = 1, stem
    while free in used:
        number += 1
        free = f"{stem}-{number}"
    return f"{FOLDER}{free}{ending}"


def plain_name(text: str) -> str:
    """A text in letters without accents, digits and single hyphens."""
    letters = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode("ascii")
    return _OTHER_SIGNS.sub("-", letters.casefold()).strip("-")


def _changed(content: bytes, item: Mapping[str, object]) -> bytes:
    try:
        return inserted(content, "photos", [in_order(item)])
    except EditError as error:
        raise RefusedEntry(
            _message(str(error), "a place for the picture", "write it into the record by hand")
        ) from error


def _strange(kind: str, name: object, names: Sequence[str]) -> str:
    near = difflib.get_close_matches(str(name), names, n=1)
    expected = f"one of {', '.join(names)}" if names else f"a {kind} in the record"
    fix = f"write {near[0]}" if near else f"correct the name, or add the {kind} to the record first"
    return _message(f"--{kind} {name}", expected, fix)


def _of_option(finding: Finding, place: int) -> str:
    """A finding about the picture as the user of options understands it."""
    key = finding.field.removeprefix(f"photos[{place}]").lstrip(".")
    option = f"--{key.replace('_', '-')}: " if key else ""
    return _message(f"{option}{finding.found}", finding.expected, finding.fix)


def _message(found: str, expected: str, fix: str) -> str:
    return f"found     {found}\nexpected  {expected}\nfix       {fix}"
