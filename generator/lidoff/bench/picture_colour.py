"""Pixels of any kind -> 8-bit sRGB without transparency: what every screen shows alike and every page can hold."""

from __future__ import annotations

import struct
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING

from lidoff.bench.picture_file import orientation_of, upright

if TYPE_CHECKING:
    from PIL import Image

PAPER = 255
"""What shows through where a picture is transparent: white."""
NO_COLOURS = frozenset(("F", "I"))
_EXIF_IFD, _INTEROPERABILITY_IFD, _INTEROPERABILITY_INDEX = 0x8769, 0xA005, 1
_ADOBE_RGB = "R03"
_ADOBE_GAMMA = 563 / 256
_ADOBE_PRIMARIES = ((0.60974, 0.31111, 0.01947), (0.20528, 0.62567, 0.06087), (0.14919, 0.06322, 0.74457))
"""XYZ of red, green and blue under D50, the white of ICC profiles. Adobe RGB (1998), from memory; a test holds it
against the matrix of CSS Color Module Level 4."""
_D50 = (0.9642, 1.0, 0.8249)
_MODE_OF_SPACE = {"RGB": "RGB", "GRAY": "L", "CMYK": "CMYK"}


class NoColours(ValueError):
    """The picture holds measured values and no colours."""


@dataclass(frozen=True, slots=True)
class ColourSource:
    """What the numbers of a picture's pixels mean: an ICC profile, or None for sRGB; and its name in words."""

    profile: bytes | None = None
    name: str = ""


def plain_picture(image: Image.Image) -> Image.Image:
    """A picture as a page shows it: upright, 8 bits, sRGB, on white where it was transparent, and nothing beside it.

    Raises NoColours for 32-bit values, and what the library raises for a damaged file.
    """
    image.load()
    source, orientation = colour_source(image), orientation_of(image)
    return upright(in_srgb(flattened(image), source)[0], orientation)


def flattened(image: Image.Image) -> Image.Image:
    """The picture in 8 bits without palette and transparency: mode L, RGB or CMYK. Raises NoColours."""
    from PIL import Image

    if image.mode in NO_COLOURS:
        raise NoColours("32-bit values and no colours")
    if image.mode.startswith("I;16"):
        return image.point(lambda value: value / 257 + 0.5).convert("L")
    if image.mode in ("L", "RGB", "CMYK") and "transparency" not in image.info:
        return image
    if image.has_transparency_data:
        clear = image.convert("RGBA")
        paper = Image.new("RGBA", clear.size, (PAPER, PAPER, PAPER, 255))
        return Image.alpha_composite(paper, clear).convert("L" if image.mode in ("L", "LA") else "RGB")
    return image.convert("L" if image.mode in ("1", "L") else "RGB")


def colour_source(image: Image.Image) -> ColourSource:
    """What the file says about its colours: its profile, or the sign by which cameras mark Adobe RGB without one."""
    profile = image.info.get("icc_profile")
    if profile:
        return ColourSource(profile)
    exif = image.getexif()
    marked = _INTEROPERABILITY_IFD in exif.get_ifd(_EXIF_IFD)
    index = exif.get_ifd(_INTEROPERABILITY_IFD).get(_INTEROPERABILITY_INDEX) if marked else None
    if isinstance(index, str) and index.strip(" \0") == _ADOBE_RGB:
        return ColourSource(matrix_profile("Adobe RGB", _ADOBE_PRIMARIES, _ADOBE_GAMMA), "Adobe RGB")
    return ColourSource()


def in_srgb(image: Image.Image, source: ColourSource) -> tuple[Image.Image, str]:
    """A flattened picture in sRGB, grey where it was grey, and what its colours were converted from, in words.

    Without a profile, or with one that can't be used, the numbers stay as they are; the words say so.
    """
    from PIL import ImageCms

    wanted, name = "L" if image.mode == "L" else "RGB", ""
    if source.profile is not None:
        try:
            profile = ImageCms.ImageCmsProfile(BytesIO(source.profile))
            name = source.name or ImageCms.getProfileDescription(profile).strip()
            return _bare(_converted(image, profile).convert(wanted)), name
        except (ImageCms.PyCMSError, OSError, ValueError, KeyError):
            name = "a profile that can't be used: the numbers of the colours are kept"
    elif image.mode == "CMYK":
        name = "CMYK without a profile: the colours are about right only"
    return _bare(image.convert(wanted)), name


def _converted(image: Image.Image, profile: object) -> Image.Image:
    """The picture in sRGB through a profile; raises where the profile is for another kind of picture."""
    from PIL import ImageCms

    mode = _MODE_OF_SPACE[profile.profile.xcolor_space.strip()]
    if image.mode != mode and not (image.mode == "L" and mode == "RGB"):
        raise ValueError(f"a profile for {mode} in a picture of {image.mode}")
    return ImageCms.profileToProfile(
        image if image.mode == mode else image.convert(mode),
        profile,
        ImageCms.createProfile("sRGB"),
        renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
        outputMode="RGB",
        flags=ImageCms.Flags.BLACKPOINTCOMPENSATION,
    )


def _bare(image: Image.Image) -> Image.Image:
    """The pixels alone: nothing that the library would write into a new file."""
    from PIL import Image

    bare = Image.new(image.mode, image.size)
    bare.paste(image)
    return bare


def matrix_profile(name: str, primaries: tuple[tuple[float, float, float], ...], gamma: float) -> bytes:
    """An ICC profile of three primaries (XYZ under D50) and one gamma.

    Source: ICC.1:2001-04 (version 2.4), sections 6.1 to 6.5, from memory; the library reads it.
    """
    text = name.encode("ascii") + b"\0"
    xyz = [b"XYZ \0\0\0\0" + struct.pack(">3i", *(round(part * 65536) for part in row)) for row in (_D50, *primaries)]
    curve = struct.pack(">4sIIHH", b"curv", 0, 1, round(gamma * 256), 0)
    description = struct.pack(">4sII", b"desc", 0, len(text)) + text + bytes(78 + -len(text) % 4)
    tags = [(b"desc", description), (b"cprt", b"text\0\0\0\0none"), (b"wtpt", xyz[0])]
    tags += list(zip((b"rXYZ", b"gXYZ", b"bXYZ"), xyz[1:], strict=True))
    tags += [(sign, curve) for sign in (b"rTRC", b"gTRC", b"bTRC")]
    table, body, start = struct.pack(">I", len(tags)), b"", 132 + 12 * len(tags)
    for sign, data in tags:
        table += sign + struct.pack(">II", start + len(body), len(data))
        body += data + bytes(-len(data) % 4)
    white = struct.pack(">3i", *(round(part * 65536) for part in _D50))
    form, size = ">I4sI4s4s4s12x4s28x12s48x", start + len(body)
    head = struct.pack(form, size, b"", 0x02400000, b"mntr", b"RGB ", b"XYZ ", b"acsp", white)
    return head + table + body
