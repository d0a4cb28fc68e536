"""What a picture's file says beside its pixels: where, with which device and by whom it was taken."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from itertools import islice
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL import Image

MOST_PICTURES = 20
"""How many pictures of one file are looked at; cameras put three or four into it."""
EXIF_MARK = b"Exif\0\0"
_EXIF_IFD, _GPS_IFD, _THUMBNAIL_IFD = 0x8769, 0x8825, 1
_POSITIONS = {2: "latitude", 4: "longitude", 20: "latitude", 22: "longitude", 28: "area"}
"""Tags of EXIF's GPS directory that say where; version, time stamps and altitude alone say nothing of the kind."""
_PERSONAL = {
    0x013B: "artist",
    0xA430: "owner",
    0xA431: "serial number of the camera",
    0xA435: "serial number of the lens",
}
_PERSONAL |= {0xC62F: "serial number of the camera"}
_IPTC_PLACES = {
    26: "place",
    27: "place",
    90: "city",
    92: "part of a city",
    95: "province",
    100: "country",
    101: "country",
}
_XMP_NAMES = (
    b"GPSLatitude", b"GPSLongitude", b"GPSDestLatitude", b"GPSDestLongitude", b"photoshop:City", b"photoshop:State",
    b"photoshop:Country", b"Iptc4xmpCore:Location", b"Iptc4xmpCore:CountryCode", b"Iptc4xmpExt:LocationCreated",
    b"Iptc4xmpExt:LocationShown", b"Iptc4xmpExt:Sublocation", b"Iptc4xmpExt:City",
)  # fmt: skip
_XMP_PLACE = re.compile(
    rb"(%s)(?:\s*=\s*[\"']\s*[^\"'\s]|(?:\s[^<>]{0,80}+)?+(?<!/)>\s*(?:<rdf:|[^<\s]))" % b"|".join(_XMP_NAMES)
)
_XMP_MARK = b"rdf:RDF"
_FILM_MARKS = (b"\xa9xyz", b"location.ISO6709")


def told_by(content: bytes, image: Image.Image) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Every way in which a file tells where it was taken, and every way in which it tells with what and by whom.

    Further pictures and films that lie behind the picture in its file count too.
    """
    exifs = tuple(_exifs(content, image))
    return _places(content, image, exifs), _persons(exifs)


def _places(content: bytes, image: Image.Image, exifs: tuple[Image.Exif, ...]) -> tuple[str, ...]:
    told = [f"EXIF {word}" for exif in exifs for word in _positions(exif)]
    told += [f"XMP {name.decode().rpartition(':')[2]}" for text in _texts(content, image) for name in _named(text)]
    told += [f"IPTC {_IPTC_PLACES[number]}" for number in _iptc(image) if number in _IPTC_PLACES]
    if b"ftyp" in content and any(mark in content for mark in _FILM_MARKS):
        told.append("the place of a film behind the picture")
    return tuple(dict.fromkeys(told))


def _persons(exifs: tuple[Image.Exif, ...]) -> tuple[str, ...]:
    found = [
        _PERSONAL[tag]
        for exif in exifs
        for tags in (exif, exif.get_ifd(_EXIF_IFD))
        for tag, value in tags.items()
        if tag in _PERSONAL and str(value).strip(" \0")
    ]
    return tuple(dict.fromkeys(found))


def kinds_of_metadata(image: Image.Image) -> tuple[str, ...]:
    """What there is beside the pixels, in words, as far as the head of the file shows."""
    exif, info = image.getexif(), image.info
    kinds = ["EXIF"] if len(exif) else []
    kinds += ["the position"] if any(_positions(exif)) else []
    kinds += ["a thumbnail"] if len(exif) and exif.get_ifd(_THUMBNAIL_IFD) else []
    kinds += ["XMP"] if info.get("xmp") or info.get("XML:com.adobe.xmp") else []
    kinds += ["IPTC"] if _iptc(image) else []
    kinds += ["a comment"] if info.get("comment") or getattr(image, "text", None) else []
    return tuple(kinds)


def _exifs(content: bytes, image: Image.Image) -> Iterator[Image.Exif]:
    """The EXIF data of the picture, then that of every further picture in the file."""
    from PIL import Image

    yield image.getexif()
    for match in islice(re.finditer(re.escape(EXIF_MARK), content), MOST_PICTURES):
        exif = Image.Exif()
        try:
            exif.load(content[match.start() : match.start() + 0x10000])
            exif.get_ifd(_GPS_IFD)
        except Exception:  # noqa: BLE001, S112 - whatever stands there is no EXIF that a program could read
            continue
        yield exif


def _positions(exif: Image.Exif) -> Iterator[str]:
    for tag, value in exif.get_ifd(_GPS_IFD).items():
        if tag in _POSITIONS and _says_something(value):
            yield _POSITIONS[tag]


def _says_something(value: object) -> bool:
    """Whether a position is given: a camera without reception may leave it empty or write 0/0."""
    if isinstance(value, (str, bytes)):
        return bool(value.strip(" \0") if isinstance(value, str) else value.strip(b" \0"))
    numbers = value if isinstance(value, Iterable) else (value,)
    return any(getattr(number, "denominator", 1) != 0 for number in numbers)


def _texts(content: bytes, image: Image.Image) -> Iterator[bytes]:
    """The file itself, and texts in it that are packed."""
    yield content
    texts: Mapping[str, str] = getattr(image, "text", None) or {}
    yield from (text.encode("utf-8", "replace") for text in texts.values())


def _named(text: bytes) -> Iterator[bytes]:
    if _XMP_MARK in text:
        yield from (match[1] for match in _XMP_PLACE.finditer(text))


def _iptc(image: Image.Image) -> dict[int, bytes]:
    from PIL import IptcImagePlugin

    if image.format not in ("JPEG", "MPO", "TIFF"):
        return {}
    rows = IptcImagePlugin.getiptcinfo(image) or {}
    return {number: value for (record, number), value in rows.items() if record == 2 and value}
