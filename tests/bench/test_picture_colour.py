"""Colours of pictures against published matrices, and every kind of pixel that a file may hold."""

import struct
from io import BytesIO

import numpy as np
import pytest
from PIL import Image, ImageCms

from lidoff.bench.picture_colour import (
    ColourSource,
    NoColours,
    colour_source,
    flattened,
    in_srgb,
    matrix_profile,
    plain_picture,
)

# CSS Color Module Level 4, "Sample code for Color Conversions" (conversions.js): linear light -> CIE XYZ with D65 white,
# and back to linear sRGB; the transfer curves of the same code. Adobe RGB (1998) is its a98-rgb.
ADOBE_TO_XYZ = [
    [573536 / 994567, 263643 / 1420810, 187206 / 994567],
    [591459 / 1989134, 6239551 / 9945670, 374412 / 4972835],
    [53769 / 1989134, 351524 / 4972835, 4929758 / 4972835],
]
P3_TO_XYZ = [
    [608311 / 1250200, 189793 / 714400, 198249 / 1000160],
    [35783 / 156275, 247089 / 357200, 198249 / 2500400],
    [0, 32229 / 714400, 5220557 / 5000800],
]
XYZ_TO_SRGB = [
    [12831 / 3959, -329 / 214, -1974 / 3959],
    [-851781 / 878810, 1648619 / 878810, 36519 / 878810],
    [705 / 12673, -2585 / 12673, 705 / 667],
]
# ICC colorants of Display P3 under D50, as systems ship its profile: from memory
P3_COLORANTS = ((0.51512, 0.24120, -0.00105), (0.29198, 0.69225, 0.04189), (0.15710, 0.06657, 0.78407))
ADOBE_COLORANTS = ((0.60974, 0.31111, 0.01947), (0.20528, 0.62567, 0.06087), (0.14919, 0.06322, 0.74457))
COLOURS = [
    (128, 100, 90),
    (200, 200, 200),
    (40, 90, 60),
    (220, 180, 150),
    (70, 80, 120),
    (150, 160, 90),
    (0, 0, 0),
    (255, 255, 255),
]


def from_srgb(value: float) -> float:
    return value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4


def to_srgb(value: float) -> float:
    return 12.92 * value if value <= 0.0031308 else 1.055 * value ** (1 / 2.4) - 0.055


def expected(colour: tuple[int, int, int], matrix: list, linear) -> list[float]:
    """The colour in sRGB by the published matrices alone."""
    light = np.array(XYZ_TO_SRGB) @ np.array(matrix) @ [linear(part / 255) for part in colour]
    return [255 * to_srgb(part) for part in light.clip(0, 1)]


def display_p3() -> bytes:
    """A profile of Display P3: its colorants, with the curve of sRGB as a table of 1024 values."""
    profile = matrix_profile("Display P3", P3_COLORANTS, 1.0)
    count = struct.unpack(">I", profile[128:132])[0]
    tags = [struct.unpack(">4sII", profile[132 + 12 * number : 144 + 12 * number]) for number in range(count)]
    values = [round(65535 * from_srgb(step / 1023)) for step in range(1024)]
    curve = struct.pack(">4sII1024H", b"curv", 0, 1024, *values)
    head = profile[128:132] + b"".join(
        struct.pack(">4sII", sign, *((len(profile), len(curve)) if sign.endswith(b"TRC") else (start, size)))
        for sign, start, size in tags
    )
    return struct.pack(">I", len(profile) + len(curve)) + profile[4:128] + head + profile[132 + 12 * count :] + curve


def as_read(image: Image.Image, form: str, **options: object) -> Image.Image:
    stream = BytesIO()
    image.save(stream, form, **options)
    return Image.open(stream)


@pytest.mark.parametrize("colour", COLOURS)
@pytest.mark.parametrize(
    ("profile", "matrix", "linear"),
    [
        (matrix_profile("Adobe RGB", ADOBE_COLORANTS, 563 / 256), ADOBE_TO_XYZ, lambda part: part ** (563 / 256)),
        (display_p3(), P3_TO_XYZ, from_srgb),
    ],
    ids=["Adobe RGB", "Display P3"],
)
def test_wide_colours_become_srgb_as_css_color_4_has_them(colour, profile, matrix, linear) -> None:
    picture = as_read(Image.new("RGB", (4, 4), colour), "PNG", icc_profile=profile)
    found = plain_picture(picture).getpixel((1, 1))
    assert found == pytest.approx(expected(colour, matrix, linear), abs=1.5)


def test_the_conversion_changes_what_it_should() -> None:
    """The test above would pass on unchanged numbers only if the colours were alike in both spaces: they are not."""
    assert expected((128, 100, 90), ADOBE_TO_XYZ, lambda part: part ** (563 / 256))[0] == pytest.approx(138.5, abs=0.2)
    assert expected((40, 90, 60), P3_TO_XYZ, from_srgb)[0] < 25


def test_adobe_rgb_is_known_by_the_mark_of_cameras() -> None:
    """A camera that writes Adobe RGB without a profile names interoperability R03 in EXIF."""
    directory = "<HHHI4sI"
    exif = b"Exif\0\0II*\0\x08\0\0\0" + struct.pack(directory, 1, 0x8769, 4, 1, struct.pack("<I", 26), 0)
    exif += struct.pack(directory, 1, 0xA005, 4, 1, struct.pack("<I", 44), 0) + struct.pack(
        directory, 1, 1, 2, 4, b"R03\0", 0
    )
    marked = as_read(Image.new("RGB", (8, 8), (128, 100, 90)), "JPEG", quality=100, exif=exif)
    assert colour_source(marked).name == "Adobe RGB"
    found = plain_picture(marked).getpixel((4, 4))
    assert found == pytest.approx(expected((128, 100, 90), ADOBE_TO_XYZ, lambda part: part ** (563 / 256)), abs=2.5)
    plain = as_read(Image.new("RGB", (8, 8), (128, 100, 90)), "JPEG", quality=100, exif=exif.replace(b"R03", b"R98"))
    assert colour_source(plain) == ColourSource()


def test_srgb_stays_as_it_is() -> None:
    srgb = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    for colour in COLOURS:
        picture = as_read(Image.new("RGB", (2, 2), colour), "PNG", icc_profile=srgb)
        assert plain_picture(picture).getpixel((0, 0)) == pytest.approx(colour, abs=1)


def test_a_profile_of_another_kind_or_none_at_all_is_told() -> None:
    picture = Image.new("RGB", (2, 2), (10, 20, 30))
    for profile in (b"no profile", b"", matrix_profile("Adobe RGB", ADOBE_COLORANTS, 2.2)[:200]):
        plain, name = in_srgb(picture, ColourSource(profile))
        assert plain.getpixel((0, 0)) == (10, 20, 30) and "can't be used" in name
    cmyk = Image.new("CMYK", (2, 2), (0, 255, 255, 0))
    plain, name = in_srgb(cmyk, ColourSource(matrix_profile("Adobe RGB", ADOBE_COLORANTS, 2.2)))
    assert plain.mode == "RGB" and "can't be used" in name


def test_a_grey_picture_with_a_profile_for_colours_stays_grey() -> None:
    grey = as_read(
        Image.new("L", (2, 2), 128), "PNG", icc_profile=matrix_profile("Adobe RGB", ADOBE_COLORANTS, 563 / 256)
    )
    plain = plain_picture(grey)
    wanted = expected((128, 128, 128), ADOBE_TO_XYZ, lambda part: part ** (563 / 256))[0]
    assert plain.mode == "L" and plain.getpixel((0, 0)) == pytest.approx(wanted, abs=1.5)


def test_cmyk_of_a_jpeg_is_not_turned_inside_out() -> None:
    """Programs of one maker store CMYK inverted and say so in a segment of their own; the library does as they do."""
    picture = as_read(Image.new("CMYK", (16, 16), (0, 255, 255, 0)), "JPEG", quality=100)
    assert b"Adobe" in picture.fp.getvalue()
    assert plain_picture(picture).getpixel((8, 8)) == pytest.approx((255, 0, 0), abs=4)


def test_sixteen_bits_become_eight_over_the_whole_range() -> None:
    values = np.array([[0, 257 * 64, 257 * 128, 65535]], np.uint16)
    found = np.asarray(plain_picture(as_read(Image.fromarray(values), "PNG"))).ravel()
    assert found.tolist() == [0, 64, 128, 255]


def test_transparency_lies_on_white() -> None:
    half = as_read(Image.new("RGBA", (2, 2), (0, 0, 0, 128)), "PNG")
    assert plain_picture(half).getpixel((0, 0)) == pytest.approx((127, 127, 127), abs=1)
    grey = as_read(Image.new("LA", (2, 2), (0, 0)), "PNG")
    assert (plain_picture(grey).mode, plain_picture(grey).getpixel((0, 0))) == ("L", 255)
    palette = Image.new("P", (2, 1))
    palette.putpalette([10, 20, 30, 200, 100, 50])
    palette.putpixel((1, 0), 1)
    clear = plain_picture(as_read(palette, "PNG", transparency=0))
    assert (clear.getpixel((0, 0)), clear.getpixel((1, 0))) == ((255, 255, 255), (200, 100, 50))
    keyed = plain_picture(as_read(Image.new("RGB", (2, 1), (1, 2, 3)), "PNG", transparency=(1, 2, 3)))
    assert keyed.getpixel((0, 0)) == (255, 255, 255)


MODES = {
    "PNG": ("1", "L", "LA", "P", "RGB", "RGBA", "I;16"),
    "JPEG": ("1", "L", "RGB", "CMYK", "YCbCr"),
    "TIFF": ("1", "L", "LA", "P", "RGB", "RGBA", "I;16", "CMYK"),
    "WEBP": ("L", "LA", "P", "RGB", "RGBA"),
    "GIF": ("1", "L", "LA", "P", "RGB", "RGBA"),
}


@pytest.mark.parametrize(("form", "mode"), [(form, mode) for form, modes in MODES.items() for mode in modes])
def test_any_mode_comes_out_plain_and_bare(form: str, mode: str) -> None:
    plain = plain_picture(as_read(Image.new(mode, (6, 4)), form))
    assert plain.mode in ("L", "RGB") and plain.size == (6, 4) and not plain.info


def test_measured_values_are_no_colours() -> None:
    with pytest.raises(NoColours):
        flattened(Image.new("F", (2, 2)))
