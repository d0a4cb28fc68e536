"""Marks -> the record's file, with comments and everything else in it left as it is."""

from dataclasses import asdict

from lidoff.finding import Finding
from lidoff.mark.marks import BOX_PLACES, BoardMarks, Box, Marks, PhotoMarks
from lidoff.record.edit import EditError, inserted
from lidoff.record.edit_change import removed, set_to
from lidoff.record.model.picture import Callout
from lidoff.record.sections import Sections, sections_of


class UnsavedMarks(Exception):
    """Marks that can't be written into the record as it stands; the text says why and what to do."""


def with_marks(content: bytes, path: str, marks: Marks) -> bytes:
    """The record's file with the marks in it; raises UnsavedMarks where they can't go there."""
    sections, errors = sections_of(content, path)
    if sections is None:
        raise UnsavedMarks("The record has errors in its pictures, boards or parts: correct these first.")
    try:
        for photo in marks.photos:
            content = _photo(content, sections, photo)
        for board in marks.boards:
            content = _board(content, sections, board)
    except EditError as error:
        raise UnsavedMarks(f"{error}. Copy the marks as text, and write them into the record by hand.") from error
    known = {_identity(one) for one in errors}
    fresh = [one for one in sections_of(content, path)[1] if _identity(one) not in known]
    if fresh:
        told = "; ".join(f"{one.field}: found {one.found}, expected {one.expected}" for one in fresh[:5])
        raise UnsavedMarks(f"The record would have new errors, so that nothing was written: {told}.")
    return content


def _identity(finding: Finding) -> tuple[str, str, str]:
    return finding.rule, finding.field, finding.found


def _photo(content: bytes, sections: Sections, marks: PhotoMarks) -> bytes:
    field, photo = f"photos[{marks.place}]", sections.photos[marks.place]
    content = _boxes(content, f"{field}.callouts", photo.callouts, marks.boxes)
    scale = asdict(photo.scale) if photo.scale is not None else None
    card = asdict(photo.card) if photo.card is not None else None
    for key, held, wanted in (
        ("scale", scale, marks.scale),
        ("card", card, marks.card),
        ("camera_mm", photo.camera_mm, marks.camera_mm),
    ):
        if _plain(held) != _plain(wanted):
            content = set_to(content, f"{field}.{key}", wanted)
    return content


def _boxes(content: bytes, field: str, old: tuple[Callout, ...], new: tuple[Box, ...]) -> bytes:
    """Boxes that stay are changed in their places, new ones come behind, and then those that are gone go."""
    kept = {box.at: box for box in new if box.at is not None}
    added = [{"ref": box.ref, "box": list(box.box)} for box in new if box.at is None]
    if old and not new:
        return removed(content, field)
    for at, box in kept.items():
        if box.ref != old[at].ref:
            content = set_to(content, f"{field}[{at}].ref", box.ref)
        if box.box != tuple(round(edge, BOX_PLACES) for edge in old[at].box):
            content = set_to(content, f"{field}[{at}].box", list(box.box))
    if added:
        content = inserted(content, field, added)
    for at in reversed(range(len(old))):
        if at not in kept:
            content = removed(content, f"{field}[{at}]")
    return content


def _board(content: bytes, sections: Sections, marks: BoardMarks) -> bytes:
    held = sections.boards[marks.place].in_photo
    if _plain(asdict(held) if held is not None else None) == _plain(marks.in_photo):
        return content
    return set_to(content, f"boards[{marks.place}].in_photo", marks.in_photo)


def _plain(value: object) -> object:
    """Data without what is left out, every list as a tuple."""
    if isinstance(value, dict):
        return {key: _plain(one) for key, one in value.items() if one is not None}
    return tuple(_plain(one) for one in value) if isinstance(value, (list, tuple)) else value
