"""Which variants of a record's pictures the site shows, and under which names. Nothing is opened or made here.

A name holds the digest of the picture and of the way it is made, so that what lies under it never changes.
"""

import hashlib
from collections.abc import Container, Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from importlib.metadata import version
from pathlib import Path

from lidoff.entry import Entry
from lidoff.record.model.picture import Callout, Photo
from lidoff.website import PictureFile

FOLDER = "pictures"
WIDTHS = (480, 1024, 2048)
FALLBACK_WIDTH = 1024
NEARLY = 0.9  # a variant of nine tenths of the next one's width would only take up room
CLOSE_UP_LEAST, CLOSE_UP_MOST, THUMB_MOST = 96, 480, 144
MARGIN = 0.25  # of the box's longer side, on every side
RECIPE = 1
"""Raise it whenever the encoder makes other pictures from the same master: their names must change with them."""
_SIGHT = ("photo", "microscope")
_DIGITS = 12


@dataclass(frozen=True, slots=True)
class PictureSet:
    """The variants of one picture, narrowest first, and the one for browsers that read JPEG alone."""

    width: int
    height: int
    webp: tuple[PictureFile, ...]
    jpeg: PictureFile

    @property
    def large(self) -> PictureFile:
        """The widest variant."""
        return self.webp[-1]


@dataclass(frozen=True, slots=True)
class Master:
    """A picture beside a record, and what the paths of its variants begin with."""

    source: str
    sha256: str
    width: int
    height: int
    stem: str


@dataclass(frozen=True, slots=True)
class CloseUp:
    """A part cut out of the picture that shows it best; ``place`` is the picture's place in the record."""

    place: int
    photo: Photo
    master: Master
    box: tuple[int, int, int, int]
    is_numbered: bool

    @property
    def thumb(self) -> PictureFile:
        """The small one of the parts table."""
        return self._piece(THUMB_MOST)

    @property
    def picture(self) -> PictureFile | None:
        """The one of the part's own page; None for a part without a number, which has no page."""
        return self._piece(CLOSE_UP_MOST) if self.is_numbered else None

    def _piece(self, most: int) -> PictureFile:
        left, top, right, bottom = self.box
        path = f"{self.master.stem}-{left}-{top}-{right}-{bottom}-{most}.jpg"
        size = fitted((right - left, bottom - top), most, most)
        return PictureFile(path, self.master.source, self.master.sha256, size, self.box)


@cache
def recipe() -> str:
    """What else than the master decides what a variant looks like, to the byte."""
    return f"{RECIPE}/{version('pillow')}"


def picture_set(entry: Entry, photo: Photo, base: Path) -> PictureSet | None:
    """The variants of a picture; None where it could not be read."""
    master = _master(entry, photo, base)
    if master is None:
        return None

    def variant(width: int, ending: str) -> PictureFile:
        size = (width, max(1, round(master.height * width / master.width)))
        return PictureFile(f"{master.stem}-{width}.{ending}", master.source, master.sha256, size)

    widths = _widths(master.width)
    webp = tuple(variant(width, "webp") for width in widths)
    return PictureSet(master.width, master.height, webp, variant(min(widths[-1], FALLBACK_WIDTH), "jpg"))


def close_ups(entry: Entry, base: Path, only: str | None = None) -> dict[str, CloseUp]:
    """For each part with a box, the close-up from the picture that shows it largest; what the eye sees comes first.

    ``only`` is the designator of the one part that is asked for.
    """
    best: dict[str, tuple[tuple[bool, float], int, Callout, Master]] = {}
    numbered = {component.ref: bool(component.part_number) for component in entry.sketch.components}
    photos = entry.sketch.photos
    for place, photo in enumerate(photos):
        master = _master(entry, photo, base) if photo.callouts else None
        if master is None:
            continue
        for callout in drawable(photo, numbered):
            if only is not None and callout.ref != only:
                continue
            rank = (photo.kind in _SIGHT, callout.box[2] * master.width * callout.box[3] * master.height)
            if callout.ref not in best or rank > best[callout.ref][0]:
                best[callout.ref] = (rank, place, callout, master)
    return {
        ref: CloseUp(place, photos[place], master, cut(one.box, master.width, master.height), numbered[ref])
        for ref, (_, place, one, master) in best.items()
    }


def drawable(photo: Photo, refs: Container[str]) -> Iterator[Callout]:
    """The boxes that show something: with a size, and of a part of the record. The checks tell of the others."""
    return (one for one in photo.callouts if one.box[2] > 0 and one.box[3] > 0 and one.ref in refs)


def wanted(entry: Entry, base: Path) -> Iterator[PictureFile]:
    """Every variant that the pages of an entry and of its parts show."""
    if not entry.pictures:
        return
    for photo in entry.sketch.photos:
        found = picture_set(entry, photo, base)
        if found is not None:
            yield from (*found.webp, found.jpeg)
    for one in close_ups(entry, base).values():
        yield from filter(None, (one.thumb, one.picture))


def find_picture(path: str, entries: Iterable[Entry], base: Path) -> PictureFile | None:
    """The variant at a path of the site; None where no record wants one there."""
    slug = path.removeprefix(f"{FOLDER}/").rpartition("/")[0]
    entry = next((one for one in entries if one.slug == slug), None)
    return next((one for one in wanted(entry, base) if one.path == path), None) if entry else None


def fitted(size: tuple[int, int], width: int, height: int) -> tuple[int, int]:
    """How large a picture is shown that must fit into ``width`` and ``height``; never larger than it is.

    Examples
    --------
    >>> fitted((144, 60), 72, 54), fitted((60, 144), 72, 54), fitted((40, 30), 72, 54)
    ((72, 30), (22, 54), (40, 30))
    """
    scale = min(1.0, width / size[0], height / size[1])
    return max(1, round(size[0] * scale)), max(1, round(size[1] * scale))


def cut(box: tuple[float, float, float, float], width: int, height: int) -> tuple[int, int, int, int]:
    """Left, top, right and bottom in pixels of what to cut out for a box: a margin round it, never too small.

    Examples
    --------
    >>> cut((0.5, 0.5, 0.2, 0.1), 1000, 1000)
    (450, 450, 750, 650)
    >>> cut((0.0, 0.98, 0.01, 0.01), 1000, 1000)
    (0, 904, 96, 1000)
    """
    left, top, wide, high = box[0] * width, box[1] * height, box[2] * width, box[3] * height
    margin = MARGIN * max(wide, high)
    start, end = _span(left - margin, left + wide + margin, width)
    above, below = _span(top - margin, top + high + margin, height)
    return start, above, end, below


def _span(start: float, end: float, limit: int) -> tuple[int, int]:
    """A stretch widened to the least length and moved into 0 to ``limit``."""
    length = min(limit, max(CLOSE_UP_LEAST, round(min(end, limit) - max(start, 0))))
    first = round((max(start, 0) + min(end, limit)) / 2 - length / 2)
    first = min(max(first, 0), limit - length)
    return first, first + length


def _master(entry: Entry, photo: Photo, base: Path) -> Master | None:
    """The picture, if it can be shown. Paths are put together as text: a product page asks for many of them."""
    facts = entry.pictures.get(photo.file)
    if facts is None or not facts.can_be_shown:
        return None
    name = photo.file.rpartition("/")[2].partition(".")[0]
    digest = hashlib.sha256(f"{facts.sha256} {recipe()}".encode()).hexdigest()[:_DIGITS]
    source = f"{base}/{entry.path.rpartition('/')[0]}/{photo.file}"
    return Master(source, facts.sha256, facts.width, facts.height, f"{FOLDER}/{entry.slug}/{name}-{digest}")


def _widths(width: int) -> tuple[int, ...]:
    most = min(width, WIDTHS[-1])
    return (*(one for one in WIDTHS if one < NEARLY * most), most)
