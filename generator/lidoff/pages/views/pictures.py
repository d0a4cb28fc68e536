"""The pictures of a record: their variants, what they show, who made them, and the parts that are marked on them."""

from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from lidoff.entry import Entry
from lidoff.pages.numbers import quantity
from lidoff.pages.part_groups import grouped
from lidoff.pages.picture_plan import CloseUp, PictureSet, close_ups, drawable, fitted, picture_set
from lidoff.pages.table import Thumb
from lidoff.pages.vocabulary import label
from lidoff.pages.wording import capital, listed, sentence
from lidoff.record.model.component import Component
from lidoff.record.model.picture import Callout, Photo

THUMB_SHOWN = (72, 56)  # half the pixels of the file, so that fine screens have enough
DECIMALS = 2  # of a percent of a picture: finer than any screen


@dataclass(frozen=True, slots=True)
class Mark:
    """A box over a picture, in percent of its width and height, with the number that its part has on this page."""

    number: int
    ref: str
    what: str
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Variants:
    """Where the variants of a picture lie, seen from the page."""

    webp: str
    jpeg: str
    large: str
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class Picture:
    """One picture; ``place`` counts from 1 in the record's order; ``variants`` is None if it can't be shown."""

    place: int
    file: str
    title: str
    alt: str
    lines: tuple[str, ...]
    variants: Variants | None
    marks: tuple[Mark, ...]


@dataclass(frozen=True, slots=True)
class PicturesView:
    """The pictures of a product: one of the whole unit, those with marked parts, all others.

    ``thumbs`` are the close-ups for the parts table, by designator.
    """

    lead: Picture | None
    marked: tuple[Picture, ...]
    others: tuple[Picture, ...]
    thumbs: Mapping[str, Thumb]

    @property
    def first(self) -> int:
        """The place of the picture that stands first on the page: the one that a browser need not wait with."""
        order = (*((self.lead,) if self.lead else ()), *self.marked, *self.others)
        return order[0].place if order else 0


def pictures_view(entry: Entry, base: Path, root: str) -> PicturesView:
    """The pictures of an entry; ``base`` is the folder of mkdocs.yml, ``root`` the way to the site's base."""
    photos = entry.record.photos
    if not photos:
        return PicturesView(None, (), (), {})
    sets = [picture_set(entry, photo, base) for photo in photos]
    parts = {part.ref: part for members in grouped(entry.record.components).values() for part in members}
    boxes = [tuple(drawable(photo, parts)) if found else () for photo, found in zip(photos, sets, strict=True)]
    numbers = _numbers(parts, {callout.ref for some in boxes for callout in some})
    shown = [
        _picture(place, photo, found, [_mark(one, parts[one.ref], numbers[one.ref]) for one in some], root)
        for place, (photo, found, some) in enumerate(zip(photos, sets, boxes, strict=True), start=1)
    ]
    lead = next((one for one, photo in zip(shown, photos, strict=True) if _is_of_the_whole(photo)), None)
    rest = [one for one in shown if one is not lead]
    thumbs = {ref: _thumb(ref, one, numbers[ref], root) for ref, one in close_ups(entry, base).items()}
    return PicturesView(
        lead=lead,
        marked=tuple(one for one in rest if one.marks),
        others=tuple(one for one in rest if not one.marks),
        thumbs=thumbs,
    )


def described(photo: Photo) -> str:
    """What sort of picture it is, where that is more than a photograph; a sentence or nothing."""
    kind = label("picture_kind", photo.kind)
    if photo.illustration:
        article = "an" if kind[0] in "aeioX" else "a"
        return f"Illustration{f' of {article} {kind}' if photo.kind != 'photo' else ''}, not a photograph."
    return sentence(kind) if photo.kind != "photo" else ""


def credit(photo: Photo) -> str:
    """Who made it and what others may do with it; a sentence or nothing."""
    pieces = (f"By {photo.credit}" if photo.credit else "", f"licence {photo.license}" if photo.license else "")
    return sentence(", ".join(piece for piece in pieces if piece))


def _is_of_the_whole(photo: Photo) -> bool:
    return photo.kind == "photo" and photo.shows == "body"


def _numbers(parts: Iterable[str], marked: Container[str]) -> dict[str, int]:
    """A number for every part that has a box anywhere, in the order of the parts table; the same on every picture."""
    return {ref: number for number, ref in enumerate((ref for ref in parts if ref in marked), start=1)}


def _picture(place: int, photo: Photo, found: PictureSet | None, marks: Iterable[Mark], root: str) -> Picture:
    return Picture(
        place=place,
        file=photo.file,
        title=_title(photo, place),
        alt=photo.alt,
        lines=tuple(_lines(photo)),
        variants=_variants(found, root) if found else None,
        marks=tuple(marks),
    )


def _variants(found: PictureSet, root: str) -> Variants:
    webp = ", ".join(f"{root}{one.path} {one.size[0]}w" for one in found.webp)
    return Variants(webp, root + found.jpeg.path, root + found.large.path, *found.large.size)


def _title(photo: Photo, place: int) -> str:
    """A few words that tell this picture from the others of the page."""
    if photo.board:
        side = f", {label('board_side', photo.side)}" if photo.side else ""
        return f"Board {photo.board}{side}"
    return capital(label("picture_subject", photo.shows)) if photo.shows else f"Picture {place}"


def _mark(callout: Callout, part: Component, number: int) -> Mark:
    what = listed(label("role", role) for role in part.roles)
    return Mark(number, callout.ref, what, *(round(100 * fraction, DECIMALS) for fraction in callout.box))


def _thumb(ref: str, found: CloseUp, number: int, root: str) -> Thumb:
    thumb = found.thumb
    shown = fitted(thumb.size, *THUMB_SHOWN)
    return Thumb(root + thumb.path, *shown, f"Close-up of {ref}", number, f"#mark-{found.place + 1}-{number}")


def _lines(photo: Photo) -> Iterable[str]:
    yield from filter(None, (described(photo), sentence(photo.caption or "")))
    settings = _settings(photo)
    if settings:
        yield sentence(", ".join(settings))
    yield from filter(None, (credit(photo),))


def _settings(photo: Photo) -> list[str]:
    """What one must know to read an infrared, X-ray or microscope picture or a trace."""
    said = []
    if photo.emissivity is not None:
        said.append(f"emissivity set to {photo.emissivity:g}")
    if photo.scale_min_c is not None and photo.scale_max_c is not None:
        said.append(f"colours from {quantity(photo.scale_min_c, '°C')} to {quantity(photo.scale_max_c, '°C')}")
    if photo.ambient_c is not None:
        said.append(f"air at {quantity(photo.ambient_c, '°C')}")
    if photo.magnification is not None:
        said.append(f"magnified {photo.magnification:g} times")
    if photo.tube_kv is not None:
        said.append(f"tube voltage {quantity(photo.tube_kv, 'kV')}")
    if photo.node:
        said.append(f"node: {photo.node}")
    if photo.volts_per_division_v is not None:
        said.append(f"{quantity(photo.volts_per_division_v, 'V')} a division")
    if photo.time_per_division_us is not None:
        said.append(f"{quantity(photo.time_per_division_us, 'µs')} a division")
    if photo.sample:
        said.append(f"sample {photo.sample}")
    return said
