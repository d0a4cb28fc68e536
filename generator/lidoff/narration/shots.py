"""Which picture is shown while a sentence is spoken, which parts are pointed at, and what must be in the frame."""

from collections.abc import Iterable
from dataclasses import dataclass

from lidoff.narration.draft import Draft, Said
from lidoff.narration.language import Language
from lidoff.record.model.picture import Photo
from lidoff.record.model.record import Record


@dataclass(frozen=True, slots=True)
class Shot:
    """One picture on the screen from ``start`` seconds on; a sentence number is its place in the draft, from 1."""

    start: float
    picture: str
    callouts: tuple[str, ...]
    frame: str
    first: int
    last: int


def shots(draft: Draft) -> tuple[Shot, ...]:
    """The shots in order; neighbours with the same picture are one."""
    found: list[Shot] = []
    words = 0
    for number, said in enumerate(draft.sentences, 1):
        shot = _shot(draft, said, draft.seconds(words), number)
        words += said.words
        if shot is None and found:
            found[-1] = _joined(found[-1], found[-1].callouts, number, draft.language)
        elif shot is not None and found and found[-1].picture == shot.picture:
            found[-1] = _joined(found[-1], (*found[-1].callouts, *shot.callouts), number, draft.language)
        elif shot is not None:
            found.append(shot)
    return tuple(found)


def _joined(shot: Shot, callouts: Iterable[str], last: int, language: Language) -> Shot:
    refs = tuple(dict.fromkeys(callouts))
    frame = _frame_of_parts(refs, language) if refs else shot.frame
    return Shot(shot.start, shot.picture, refs, frame, shot.first, last)


def _shot(draft: Draft, said: Said, start: float, number: int) -> Shot | None:
    language, line = draft.language, said.line
    if line.view.startswith("card:"):
        picture = f"{line.view.removeprefix('card:')}.svg ({language.text('draft/card')})"
        return Shot(start, picture, (), language.text("draft/frame-card"), number, number)
    if line.refs:
        photo, refs = _photo_of(draft.entry.record, line.refs)
        picture = photo.file if photo else language.text("draft/no-photo")
        return Shot(start, picture, refs, _frame_of_parts(refs, language), number, number)
    if line.view:
        photo = _view(draft.entry.record, line.view)
        picture = photo.file if photo else language.text("draft/no-photo")
        return Shot(start, picture, (), language.text(f"draft/frame-{line.view}"), number, number)
    return None


def _frame_of_parts(refs: Iterable[str], language: Language) -> str:
    return language.text("draft/frame-parts", refs=language.listed(refs))


def _photo_of(record: Record, refs: tuple[str, ...]) -> tuple[Photo | None, tuple[str, ...]]:
    """The picture that points at most of the parts, and those of them it shows; all of them where none does."""
    wanted = set(refs)
    best = max(record.photos, key=lambda photo: len(wanted & {one.ref for one in photo.callouts}), default=None)
    shown = {one.ref for one in best.callouts} & wanted if best else set()
    return (best, tuple(ref for ref in refs if ref in shown)) if shown else (None, refs)


def _view(record: Record, view: str) -> Photo | None:
    if view == "infrared":
        return next((photo for photo in record.photos if photo.kind == "thermal"), None)
    return next((photo for photo in record.photos if photo.kind == "photo" and photo.shows == view), None)
