"""A picture from a camera or an instrument -> the master that lies beside a record: upright, sRGB, bare and modest.

Memory stays within ``MOST_MEMORY`` and some 100 MB for the rest: a JPEG is made smaller while it is read, any other
format is held once and brought down in bands. What would need more is refused before a pixel is made.
"""

from __future__ import annotations

import hashlib
import math
import struct
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from lidoff.bench.picture_colour import NO_COLOURS, colour_source, flattened, in_srgb
from lidoff.bench.picture_file import MOST_BYTES, NAMES, SIDEWAYS, format_of, opened, orientation_of, upright
from lidoff.bench.picture_metadata import kinds_of_metadata

if TYPE_CHECKING:
    from PIL import Image

MEGAPIXELS = 4.0
MOST_ORIGINAL_PIXELS = 210_000_000
"""200 megapixels, as makers of sensors count them."""
MOST_MEMORY = 1_300_000_000
_BYTES_A_PIXEL = {"png": 4, "bmp": 4, "tiff": 10, "gif": 4, "webp": 16, "avif": 12}
"""What the library needs for a pixel of each format at most; measured, see tests/bench/bench_pictures.py."""
_JPEG_ROWS = 100_000_000
"""What a JPEG needs once it is made smaller while it is read."""
_BAND_PIXELS = 4_000_000
_SPARE = 1.5
"""How much larger than the master a picture stays until the last, best step of making it smaller."""
_QUALITIES = ((90, "4:4:4"), (85, "4:2:0"), (75, "4:2:0"), (60, "4:2:0"), (40, "4:2:0"))
"""What a JPEG is saved with: the first that keeps within MOST_BYTES."""
_LOSSLESS = frozenset(("png", "gif", "bmp"))
_RAW_ENDINGS = frozenset((".dng", ".nef", ".cr2", ".arw", ".pef", ".srw", ".orf", ".rw2"))
_DNG_VERSION = 0xC612


class RefusedPicture(Exception):
    """The file can't become a master: found, expected and fix."""

    def __init__(self, found: str, expected: str, fix: str) -> None:
        super().__init__(f"found     {found}\nexpected  {expected}\nfix       {fix}")


@dataclass(frozen=True, slots=True)
class Master:
    """The master's file and what was done to come to it, in words."""

    content: bytes
    ending: str
    width: int
    height: int
    original_size: tuple[int, int]
    original_sha256: str
    done: tuple[str, ...]


def make_master(path: Path, megapixels: float = MEGAPIXELS) -> Master:
    """The master of an original; raises RefusedPicture with the reason in words."""
    form, digest = _form_and_digest(path)
    try:
        with opened(path, form) as image:
            _refuse(image, form)
            return _master(image, form, digest, megapixels)
    except RefusedPicture:
        raise
    except (OSError, ValueError, SyntaxError, KeyError, IndexError, TypeError, OverflowError, struct.error) as error:
        found = f"{NAMES[form]} that breaks off or is damaged ({error})"
        raise RefusedPicture(found, "a whole picture", "copy it again from where it comes") from error
    except MemoryError as error:
        found = f"{NAMES[form]} for which this machine has not enough memory"
        raise RefusedPicture(found, "a picture that fits", "make it smaller first") from error


def _form_and_digest(path: Path) -> tuple[str, str]:
    """Format and digest of the original, read piece by piece."""
    try:
        with path.open("rb") as stream:
            form = format_of(stream.read(1000))
            stream.seek(0)
            digest = hashlib.file_digest(stream, "sha256").hexdigest()
            empty = stream.tell() == 0
    except OSError as error:
        reason = error.strerror or "no reason given"
        raise RefusedPicture(
            f"a file that can't be read: {reason}", "a picture", "check that it is there and may be read"
        ) from error
    expected = "a picture in JPEG, PNG, TIFF, WebP, GIF, BMP or AVIF"
    if path.suffix.lower() in _RAW_ENDINGS:
        raise RefusedPicture(
            "a camera's raw file", expected, "develop it, and export it in full size as JPEG or 16-bit TIFF"
        )
    if form != "jpeg" and form not in _BYTES_A_PIXEL:
        raise RefusedPicture("an empty file" if empty else NAMES[form], expected, "export the picture as JPEG or PNG")
    return form, digest


def _refuse(image: Image.Image, form: str) -> None:
    """Stop at what can't be one still picture, and at what would need too much memory."""
    pixels = image.width * image.height
    frames = getattr(image, "n_frames", 1)
    if frames > 1 and image.format != "MPO":
        found = f"{NAMES[form]} of {frames} {'pages' if form == 'tiff' else 'frames'}"
        raise RefusedPicture(found, "one still picture", "export the one that is meant")
    if form == "tiff" and _DNG_VERSION in image.tag_v2:
        raise RefusedPicture(
            "a camera's raw file (DNG)", "a developed picture", "export it in full size as JPEG or TIFF"
        )
    if image.mode in NO_COLOURS:
        raise RefusedPicture(
            "32-bit values and no colours", "a picture of 8 or 16 bits", "export it as it is shown on the screen"
        )
    size = f"{image.width} by {image.height} pixels ({pixels / 1e6:.0f} megapixels)"
    if pixels > MOST_ORIGINAL_PIXELS:
        raise RefusedPicture(size, "at most 200 megapixels", "make it smaller, or cut out what is meant")
    if memory_needed(image, form) > MOST_MEMORY:
        kind = f"progressive {form.upper()}" if form == "jpeg" else form.upper()
        most = MOST_MEMORY * pixels / memory_needed(image, form)
        fix = "save it as a JPEG that is not progressive, which is read piece by piece"
        raise RefusedPicture(f"{size} in {kind}", f"at most {most / 1e6:.0f} megapixels in this format", fix)


def memory_needed(image: Image.Image, form: str) -> int:
    """The most bytes that reading this picture may take."""
    pixels = image.width * image.height
    if form != "jpeg":
        return pixels * _BYTES_A_PIXEL[form]
    if not image.info.get("progressive"):
        return _JPEG_ROWS
    # a progressive JPEG is whole only at its end: all coefficients are held, two bytes each
    sampling = [(across, down) for _, across, down, _ in image.layer]
    widest, highest = max(across for across, _ in sampling), max(down for _, down in sampling)
    share = sum(across * down for across, down in sampling) / (widest * highest)
    return _JPEG_ROWS + int(2 * pixels * share)


def _master(image: Image.Image, form: str, digest: str, megapixels: float) -> Master:
    size = image.size
    was_turned = form == "tiff" and orientation_of(image) > 1  # the library turns it while it reads
    if form == "jpeg":
        wanted = master_size(*size, megapixels)
        image.draft(None, (math.ceil(wanted[0] * _SPARE), math.ceil(wanted[1] * _SPARE)))
    image.load()
    size = size if form == "jpeg" else image.size
    width, height = master_size(*size, megapixels)
    orientation, source, kinds = orientation_of(image), colour_source(image), kinds_of_metadata(image)
    small = _scaled(image, width, height)
    colours, converted_from = in_srgb(small, source)
    picture = upright(colours, orientation)
    content, ending = _encoded(picture, form)
    done = ["turned upright"] if orientation > 1 or was_turned else []
    done += ["made smaller"] if (width, height) != size else []
    done += [f"colours converted to sRGB from {converted_from}"] if converted_from else []
    done += [f"removed: {', '.join(kinds)}"] if kinds else []
    original = size if orientation < SIDEWAYS else size[::-1]
    return Master(content, ending, *picture.size, original, digest, tuple(done))


def master_size(width: int, height: int, megapixels: float) -> tuple[int, int]:
    """The size of a master that has the shape of its original; never larger.

    Examples
    --------
    >>> master_size(16320, 12240, 4.0), master_size(640, 480, 4.0)
    ((2309, 1732), (640, 480))
    """
    factor = min(1.0, math.sqrt(megapixels * 1e6 / (width * height)))
    return max(1, round(width * factor)), max(1, round(height * factor))


def _scaled(image: Image.Image, width: int, height: int) -> Image.Image:
    """The flattened picture in its final size: by a whole number first, band by band, then with the best filter."""
    from PIL import Image
    from PIL.Image import Resampling

    factor = max(1, int(min(image.width / width, image.height / height) / _SPARE))
    rows = factor * max(1, _BAND_PIXELS // (image.width * factor))
    smaller = None
    for top in range(0, image.height, rows):
        band = flattened(image.crop((0, top, image.width, min(top + rows, image.height))))
        band = band.reduce(factor) if factor > 1 else band
        if smaller is None:
            smaller = Image.new(band.mode, (band.width, math.ceil(image.height / factor)))
        smaller.paste(band, (0, top // factor))
    return smaller if smaller.size == (width, height) else smaller.resize((width, height), Resampling.LANCZOS)


def _encoded(picture: Image.Image, form: str) -> tuple[bytes, str]:
    """The master's file: JPEG, or PNG where the original was of that sort and the file comes out smaller."""
    for quality, subsampling in _QUALITIES:
        jpeg = _saved(picture, "JPEG", quality=quality, subsampling=subsampling)
        if len(jpeg) <= MOST_BYTES:
            break
    if form in _LOSSLESS:
        png = _saved(picture, "PNG", compress_level=9)
        if len(png) <= len(jpeg):
            return png, ".png"
    return jpeg, ".jpg"


def _saved(picture: Image.Image, form: str, **options: object) -> bytes:
    stream = BytesIO()
    picture.save(stream, form, **options)
    return stream.getvalue()
