"""One picture's file -> what it is: its true format, size, digest, likeness to others, and what else it tells.

A file is read whole only up to a bound, and its pixels are made only up to another. Whatever a file holds, the outcome
is a description, never an exception.
"""

from __future__ import annotations

import hashlib
import re
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from lidoff.bench.picture_likeness import EDGE, fingerprint

if TYPE_CHECKING:
    from PIL import Image

MOST_MEGAPIXELS = 8
MOST_PIXELS = int(MOST_MEGAPIXELS * 1e6 * 1.05)
MOST_BYTES = 6_000_000
"""What a picture beside a record may have; the twentieth leaves room for the rounding of its edges."""
READ_BYTES = 16_000_000
MOST_SCANS = 100
"""Passes over the pixels that a JPEG may ask for: programs write some ten, and each costs as much as a picture."""
DECODED_PIXELS = 50_000_000
SIDEWAYS = 5
"""The least of EXIF's orientations in which rows are stored as columns."""

START_OF_SCAN = b"\xff\xda"

SIGNATURES = (
    (re.compile(rb"\xff\xd8\xff"), "jpeg"),
    (re.compile(rb"\x89PNG\r\n\x1a\n"), "png"),
    (re.compile(rb"RIFF....WEBP", re.DOTALL), "webp"),
    (re.compile(rb"GIF8[79]a"), "gif"),
    (re.compile(rb"II[*+]\0|MM\0[*+]"), "tiff"),
    (re.compile(rb"BM.{4}\0\0\0\0", re.DOTALL), "bmp"),
    (re.compile(rb"....ftypavi[fs]", re.DOTALL), "avif"),
    (re.compile(rb"....ftyp(?:hei[cxms]|hev[cxms]|mif1|msf1)", re.DOTALL), "heic"),
    (re.compile(rb"....ftyp", re.DOTALL), "film"),
    (re.compile(rb"\0\0\0\x0cjP  "), "jpeg-2000"),
    (
        re.compile(rb"(?:\xef\xbb\xbf)?\s*(?:<\?xml[^>]*>\s*)?(?:<!--.*?-->\s*|<!DOCTYPE[^>]*>\s*)*<svg", re.DOTALL),
        "svg",
    ),
    (re.compile(rb"%PDF"), "pdf"),
    (re.compile(rb"8BPS"), "psd"),
)
NAMES = {
    "jpeg": "a JPEG picture", "png": "a PNG picture", "webp": "a WebP picture", "gif": "a GIF picture",
    "tiff": "a TIFF picture", "bmp": "a BMP picture", "avif": "an AVIF picture", "heic": "an HEIC picture",
    "jpeg-2000": "a JPEG 2000 picture", "svg": "an SVG drawing", "pdf": "a PDF document", "psd": "a PSD picture",
    "film": "a film", "": "a file that is no picture",
}  # fmt: skip
MASTER_FORMATS = ("jpeg", "png", "webp")
ENDINGS = {
    ".jpg": "jpeg", ".jpeg": "jpeg", ".png": "png", ".webp": "webp", ".gif": "gif", ".tif": "tiff", ".tiff": "tiff",
    ".bmp": "bmp", ".avif": "avif", ".heic": "heic", ".heif": "heic", ".jp2": "jpeg-2000", ".svg": "svg",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class PictureFault:
    """Why a picture can't be shown: what its file is, what was expected, how to mend it."""

    found: str
    expected: str
    fix: str


@dataclass(frozen=True, slots=True)
class PictureFacts:
    """What one file is.

    ``format`` is that of its content, whatever the name says, and empty where it is no picture. ``width`` and
    ``height`` are those of the upright picture; ``orientation`` is the number by which EXIF says how it was stored, 1
    for upright. ``places`` and ``persons`` are the ways in which it tells where and by whom it was taken.
    ``fingerprint`` is what it can be known again by, empty where there is nothing of the kind.
    """

    file: str
    size_bytes: int = 0
    sha256: str = ""
    format: str = ""
    width: int = 0
    height: int = 0
    orientation: int = 1
    places: tuple[str, ...] = ()
    persons: tuple[str, ...] = ()
    fingerprint: bytes = b""
    fault: PictureFault | None = None

    @property
    def pixels(self) -> int:
        """How many pixels it has."""
        return self.width * self.height

    @property
    def is_too_large(self) -> bool:
        """Whether it is larger than what may lie beside a record."""
        return self.pixels > MOST_PIXELS or self.size_bytes > MOST_BYTES

    @property
    def can_be_shown(self) -> bool:
        """Whether a page may show it: whole, of a known format, and not too large to be opened."""
        return self.fault is None and not self.is_too_large


def picture_facts(folder: Path, name: str) -> PictureFacts:
    """What the file ``name`` of an entry's folder is. What can't be read has a fault, with the reason in words."""
    try:
        size = (folder / name).stat().st_size
        content = (folder / name).read_bytes() if size <= READ_BYTES else b""
    except OSError as error:
        reason = error.strerror or "no reason given"
        fault = PictureFault(
            f"a file that can't be read: {reason}", "a readable file", "check that it is there and may be read"
        )
        return PictureFacts(name, fault=fault)
    if size > READ_BYTES:
        return PictureFacts(name, size)
    return facts_of(content, name)


def facts_of(content: bytes, name: str) -> PictureFacts:
    """What a file of this content is."""
    known = {"file": name, "size_bytes": len(content), "sha256": hashlib.sha256(content).hexdigest()}
    form = format_of(content)
    if form not in MASTER_FORMATS:
        found = NAMES[form] if content else "an empty file"
        is_convertible = form in ("gif", "tiff", "bmp", "avif")
        fix = "lidoff photo add makes one of it" if is_convertible else "put the picture itself there"
        return PictureFacts(**known, format=form, fault=PictureFault(found, "a JPEG, PNG or WebP picture", fix))
    try:
        with opened(BytesIO(content), form) as image:
            return _facts_of_picture(image, content, known | {"format": form})
    except Exception:  # noqa: BLE001 - a hostile file makes the library fail in any way it likes
        fault = PictureFault(
            f"{NAMES[form]} that is damaged at its beginning",
            "a whole picture",
            "copy it again from where it comes, or take it out",
        )
        return PictureFacts(**known, format=form, fault=fault)


def _facts_of_picture(image: Image.Image, content: bytes, known: dict) -> PictureFacts:
    from lidoff.bench.picture_metadata import told_by

    size = {"width": image.width, "height": image.height}
    if image.width * image.height > DECODED_PIXELS:
        return PictureFacts(**known, **size)
    if known["format"] == "jpeg" and content.count(START_OF_SCAN) > MOST_SCANS:
        found = f"a JPEG picture that is drawn in {content.count(START_OF_SCAN)} passes"
        fault = PictureFault(found, f"at most {MOST_SCANS} passes", "save it anew, as one that is not progressive")
        return PictureFacts(**known, **size, fault=fault)
    if image.format != "MPO" and getattr(image, "n_frames", 1) > 1:
        fault = PictureFault(
            f"an animated picture of {image.n_frames} frames", "a still picture", "save the one frame that is meant"
        )
        return PictureFacts(**known, **size, fault=fault)
    greys = _greys(image)
    orientation = orientation_of(image)
    if orientation >= SIDEWAYS:
        size = {"width": size["height"], "height": size["width"]}
    known |= size | {"orientation": orientation}
    if greys is None:
        found = f"{NAMES[known['format']]} that breaks off or is damaged"
        fault = PictureFault(found, "a whole picture", "copy it again from where it comes, or take it out")
        return PictureFacts(**known, fault=fault)
    places, persons = told_by(content, image)
    known |= {"places": places, "persons": persons}
    return PictureFacts(**known, fingerprint=fingerprint(upright(greys, orientation).tobytes()))


def format_of(head: bytes) -> str:
    """The format that the first bytes of a file show; empty where they show none."""
    start = head[:1000]
    return next((name for signature, name in SIGNATURES if signature.match(start)), "")


@contextmanager
def opened(source: Path | BinaryIO, form: str) -> Iterator[Image.Image]:
    """The picture in a file, its head read and no pixel made yet.

    The library's own bound on pixels is lifted: whoever calls looks at the size before any pixel is made. It is given a
    stream and no path, as it mistakes rows for columns in a turned TIFF that it maps into memory.
    """
    from PIL import Image

    if isinstance(source, Path):
        with source.open("rb") as stream, opened(stream, form) as image:
            yield image
        return
    bound, Image.MAX_IMAGE_PIXELS = Image.MAX_IMAGE_PIXELS, None
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # what the library warns of is found out here in other ways
            with Image.open(source, formats=(form.upper(),)) as image:
                yield image
    finally:
        Image.MAX_IMAGE_PIXELS = bound


def orientation_of(image: Image.Image) -> int:
    """EXIF's number for how a picture is stored, 1 to 8; 1 where it says nothing of use.

    To be asked for once the pixels are made: a PNG may say so behind them, and the library turns a TIFF by itself.
    """
    value = image.getexif().get(0x0112, 1)
    return value if isinstance(value, int) and 1 <= value <= 8 else 1


def upright(image: Image.Image, orientation: int) -> Image.Image:
    """The picture turned and mirrored as EXIF's orientation asks for."""
    from PIL.Image import Transpose

    turns = (
        None, Transpose.FLIP_LEFT_RIGHT, Transpose.ROTATE_180, Transpose.FLIP_TOP_BOTTOM,
        Transpose.TRANSPOSE, Transpose.ROTATE_270, Transpose.TRANSVERSE, Transpose.ROTATE_90,
    )  # fmt: skip
    turn = turns[orientation - 1]
    return image if turn is None else image.transpose(turn)


def _greys(image: Image.Image) -> Image.Image | None:
    """The picture as a few greys, as it is stored; None where its pixels can't be made."""
    from PIL.Image import Resampling

    try:
        image.draft("L", (EDGE * 4, EDGE * 4))
        image.load()
        grey = image.point(lambda value: value / 256).convert("L") if image.mode.startswith("I") else image.convert("L")
        return grey.resize((EDGE, EDGE), Resampling.BOX)
    except Exception:  # noqa: BLE001 - as above
        return None
