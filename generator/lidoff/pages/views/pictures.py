"""The pictures of a record, with what they show and who made them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from lidoff.pages.numbers import quantity
from lidoff.pages.vocabulary import label
from lidoff.pages.wording import capital, sentence
from lidoff.record.model.picture import Callout, Photo

DECIMALS = 2  # of a percent of a picture: finer than any screen


@dataclass(frozen=True, slots=True)
class Box:
    """A box over a picture, in percent of its width and height."""

    ref: str
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Picture:
    """One picture: its file beside the page, what can be seen, the lines under it, the boxes over it."""

    file: str
    alt: str
    lines: tuple[str, ...]
    boxes: tuple[Box, ...]


def pictures(photos: Sequence[Photo]) -> tuple[Picture, ...]:
    """The pictures in the record's order."""
    return tuple(
        Picture(photo.file, photo.alt, tuple(_lines(photo)), tuple(_box(callout) for callout in photo.callouts))
        for photo in photos
    )


def _lines(photo: Photo) -> Iterable[str]:
    if photo.illustration:
        yield "A drawing, not a photograph."
    elif photo.kind != "photo":
        yield sentence(label("picture_kind", photo.kind))
    if photo.caption:
        yield sentence(photo.caption)
    settings = _settings(photo)
    if settings:
        yield sentence(", ".join(settings))
    credit = ", ".join(piece for piece in (photo.credit, photo.license) if piece)
    if credit:
        yield f"By {credit}."


def _settings(photo: Photo) -> list[str]:
    """What one must know to read an infrared, X-ray or microscope picture or a trace."""
    said = []
    if photo.emissivity is not None:
        said.append(f"emissivity set to {photo.emissivity:g}")
    if photo.scale_min_c is not None and photo.scale_max_c is not None:
        said.append(f"scale from {quantity(photo.scale_min_c, '°C')} to {quantity(photo.scale_max_c, '°C')}")
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
    return [capital(said[0]), *said[1:]] if said else []


def _box(callout: Callout) -> Box:
    return Box(callout.ref, *(round(100 * fraction, DECIMALS) for fraction in callout.box))
