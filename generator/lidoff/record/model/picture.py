"""Pictures and what they point at. The schema describes every field."""

from dataclasses import dataclass

Point = tuple[float, float]
"""Fractions of the upright picture: from the left, from the top."""


@dataclass(frozen=True, slots=True)
class Callout:
    """A box over the picture that shows a component."""

    ref: str
    box: tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Scale:
    """A known length in the picture."""

    points: tuple[Point, Point]
    length_mm: float
    picture_px: tuple[int, int] | None = None
    instrument: str | None = None


@dataclass(frozen=True, slots=True)
class Card:
    """A card of the format ID-1 that lies in the plane of what is measured."""

    corners: tuple[Point, Point, Point, Point]
    picture_px: tuple[int, int]


@dataclass(frozen=True, slots=True)
class Photo:
    """A picture beside the record."""

    file: str
    kind: str
    alt: str
    illustration: bool | None = None
    shows: str | None = None
    board: str | None = None
    side: str | None = None
    caption: str | None = None
    credit: str | None = None
    license: str | None = None
    original_sha256: str | None = None
    sample: str | None = None
    callouts: tuple[Callout, ...] = ()
    scale: Scale | None = None
    card: Card | None = None
    camera_mm: float | None = None
    emissivity: float | None = None
    scale_min_c: float | None = None
    scale_max_c: float | None = None
    ambient_c: float | None = None
    magnification: float | None = None
    tube_kv: float | None = None
    node: str | None = None
    volts_per_division_v: float | None = None
    time_per_division_us: float | None = None
