"""One entry on the desk: its record as it stands on the disk, its pictures, and what may be read of its folder."""

import hashlib
import os
import stat
from dataclasses import asdict, dataclass, field
from pathlib import Path

from lidoff.bench.picture_file import MASTER_FORMATS, format_of, picture_facts
from lidoff.finding import Finding
from lidoff.mark.marks import marks_of
from lidoff.mark.saving import with_marks
from lidoff.record.files import write_atomically
from lidoff.record.model.component import Component
from lidoff.record.model.construction import BoardInPhoto
from lidoff.record.model.picture import Card, Photo, Scale
from lidoff.record.sections import Sections, sections_of

MOST_PICTURE_BYTES = 64_000_000
_TYPES = {"jpeg": "image/jpeg", "png": "image/png", "webp": "image/webp"}


class UnreadableEntry(Exception):
    """An entry that can't be put on the desk; ``findings`` are its record's errors."""

    def __init__(self, message: str, findings: tuple[Finding, ...] = ()) -> None:
        super().__init__(message)
        self.findings = findings


class ChangedMeanwhile(Exception):
    """The record on the disk is no longer the one that the marks were drawn on."""


@dataclass(frozen=True, slots=True)
class Reading:
    """The record as it was read: its bytes, their digest, and the sections that the desk shows."""

    content: bytes
    digest: str
    sections: Sections


@dataclass
class Entry:
    """The entry whose record is ``file``; ``path`` is what messages call it. Sizes of pictures are kept once known."""

    file: Path
    path: str
    _sizes: dict[str, tuple[tuple[int, int] | None, str]] = field(default_factory=dict)

    @property
    def folder(self) -> Path:
        """The folder that holds everything the desk may read."""
        return self.file.parent

    def read(self) -> Reading:
        """The record as it stands now; raises UnreadableEntry."""
        try:
            if self.file.is_symlink():
                raise UnreadableEntry(f"{self.path} is a symbolic link; put the file itself there")
            content = self.file.read_bytes()
        except OSError as error:
            raise UnreadableEntry(f"{self.path} can't be read: {error.strerror}") from error
        sections, errors = sections_of(content, self.path)
        if sections is None:
            raise UnreadableEntry(
                f"{self.path} has errors in its pictures, boards or parts: correct these first", errors
            )
        return Reading(content, hashlib.sha256(content).hexdigest(), sections)

    def save(self, sent: object) -> Reading:
        """Write the marks that were sent into the record, and read it again.

        Raises RefusedMarks, UnsavedMarks, ChangedMeanwhile, UnreadableEntry and OSError; the record then is as it was.
        """
        reading = self.read()
        marks = marks_of(sent, reading.sections, self.sizes(reading.sections))
        if marks.digest != reading.digest:
            raise ChangedMeanwhile
        changed = with_marks(reading.content, self.path, marks)
        if changed != reading.content:
            if self.file.read_bytes() != reading.content:
                raise ChangedMeanwhile
            write_atomically(self.file, changed)
        return self.read()

    def sizes(self, sections: Sections) -> dict[str, tuple[int, int]]:
        """Width and height of every picture of the record that can be read, upright [px]."""
        sizes = {photo.file: self.picture_size(photo.file)[0] for photo in sections.photos}
        return {name: size for name, size in sizes.items() if size is not None}

    def picture_size(self, name: str) -> tuple[tuple[int, int] | None, str]:
        """Width and height of a picture, or None and what is wrong with it."""
        if name not in self._sizes:
            if self.picture_path(name) is None:
                return None, "there is no such file beside the record"
            facts = picture_facts(self.folder, name)
            known = (facts.width, facts.height) if facts.width and facts.height else None
            self._sizes[name] = (
                known,
                facts.fault.found if facts.fault else "" if known else "a picture too large to read",
            )
        return self._sizes[name]

    def picture_path(self, name: str) -> Path | None:
        """The file of a picture, if it is a plain file below the entry's folder with no link on the way."""
        parts = name.split("/")
        if not name or any(
            part in ("", ".", "..") or part.startswith(".") or set(part) & set("\\:\0") for part in parts
        ):
            return None
        path = self.folder
        for part in parts:
            path = path / part
            if path.is_symlink():
                return None
        return path if path.is_file() else None

    def picture(self, name: str) -> tuple[bytes, str] | None:
        """Content and type of a picture that the record names; None for anything else."""
        path = self.picture_path(name) if name in {photo.file for photo in self.read().sections.photos} else None
        if path is None:
            return None
        with os.fdopen(os.open(path, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0)), "rb") as stream:
            status = os.fstat(stream.fileno())
            if not stat.S_ISREG(status.st_mode) or status.st_size > MOST_PICTURE_BYTES:
                return None
            content = stream.read()
        form = format_of(content)
        return (content, _TYPES[form]) if form in MASTER_FORMATS else None


def shown(entry: Entry, reading: Reading) -> dict[str, object]:
    """What the page needs of an entry, as plain data."""
    sections = reading.sections
    return {
        "title": sections.title,
        "path": entry.path,
        "digest": reading.digest,
        "photos": [_photo(entry, photo) for photo in sections.photos],
        "boards": [
            {"id": board.id, "role": board.role, "size_mm": board.size_mm, "in_photo": _without_none(board.in_photo)}
            for board in sections.boards
        ],
        "components": [_component(one) for one in sections.components],
    }


def _photo(entry: Entry, photo: Photo) -> dict[str, object]:
    size, fault = entry.picture_size(photo.file)
    return {
        "file": photo.file, "alt": photo.alt, "kind": photo.kind, "board": photo.board, "side": photo.side,
        "size": size, "fault": fault, "camera_mm": photo.camera_mm,
        "callouts": [{"at": at, "ref": one.ref, "box": one.box} for at, one in enumerate(photo.callouts)],
        "scale": _without_none(photo.scale), "card": _without_none(photo.card),
    }  # fmt: skip


def _component(one: Component) -> dict[str, object]:
    named = one.part_number or (" ".join(one.marking.lines) if one.marking and one.marking.lines else "")
    roles = ", ".join(role.replace("-", " ") for role in one.roles)
    return {
        "ref": one.ref,
        "what": roles,
        "named": named,
        "board": one.board,
        "side": one.side,
        "quantity": one.quantity,
    }


def _without_none(value: Scale | Card | BoardInPhoto | None) -> dict[str, object] | None:
    return None if value is None else {key: one for key, one in asdict(value).items() if one is not None}
