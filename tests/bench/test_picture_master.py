"""Masters: upright in all eight ways, bare to an independent reader, of modest size, and named after what they show."""

import struct
import subprocess
import sys
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageOps, JpegImagePlugin

from lidoff.bench import picture_master
from lidoff.bench.picture_entry import file_name
from lidoff.bench.picture_file import MOST_BYTES, facts_of, picture_facts
from lidoff.bench.picture_master import MOST_MEMORY, RefusedPicture, make_master, master_size, memory_needed

# TIFF 6.0, tag Orientation, taken over by Exif: where the 0th row and the 0th column of what is stored are seen
SEEN = {
    1: ("top", "left"), 2: ("top", "right"), 3: ("bottom", "right"), 4: ("bottom", "left"),
    5: ("left", "top"), 6: ("right", "top"), 7: ("right", "bottom"), 8: ("left", "bottom"),
}  # fmt: skip
POSITION = {1: "N", 2: (48.0, 51.0, 30.0), 3: "E", 4: (2.0, 17.0, 40.0)}
XMP = (
    b"<x:xmpmeta xmlns:x='adobe:ns:meta/'><rdf:RDF><rdf:Description exif:GPSLatitude='48,51.5N'/></rdf:RDF></x:xmpmeta>"
)


def stored(orientation: int) -> tuple[Image.Image, np.ndarray]:
    """A picture of four blocks as it is stored, and as it is to be seen by the words of the standard."""
    blocks = np.array([[30, 90, 150], [210, 60, 120]], np.uint8)
    row, column = SEEN[orientation]
    seen = blocks
    if row in ("left", "right"):
        seen = seen.T
    for edge in (row, column):
        if edge == "bottom":
            seen = seen[::-1]
        if edge == "right":
            seen = seen[:, ::-1]
    return Image.fromarray(blocks.repeat(16, 0).repeat(16, 1)), seen.repeat(16, 0).repeat(16, 1)


def saved(path: Path, image: Image.Image, **options: object) -> Path:
    image.save(path, **options)
    return path


def exif(orientation: int = 1, position: bool = False, serial: bool = False) -> Image.Exif:
    data = Image.Exif()
    data[0x0112] = orientation
    if position:
        data[0x8825] = POSITION
    if serial:
        data[0x8769] = {0xA431: "SN-0012345"}
    return data


def segments(content: bytes) -> Iterator[tuple[int, bytes]]:
    """The marker segments of a JPEG, by this test's own reading (ITU-T T.81, annex B)."""
    assert content[:2] == b"\xff\xd8"
    place = 2
    while content[place + 1] != 0xDA:
        assert content[place] == 0xFF
        (length,) = struct.unpack(">H", content[place + 2 : place + 4])
        yield content[place + 1], content[place + 4 : place + 2 + length]
        place += 2 + length
    assert content.endswith(b"\xff\xd9")


def chunks(content: bytes) -> list[bytes]:
    """The kinds of chunks of a PNG, by this test's own reading (ISO/IEC 15948, clause 5)."""
    place, found = 8, []
    while place < len(content):
        (length,) = struct.unpack(">I", content[place : place + 4])
        found.append(content[place + 4 : place + 8])
        place += 12 + length
    return found


@pytest.mark.parametrize("form", ["jpg", "png", "webp", "tif"])
@pytest.mark.parametrize("orientation", SEEN)
def test_every_orientation_comes_out_upright(orientation: int, form: str, tmp_path: Path) -> None:
    image, seen = stored(orientation)
    options = {"lossless": True} if form == "webp" else {"quality": 100} if form == "jpg" else {}
    path = saved(tmp_path / f"a.{form}", image, exif=exif(orientation), **options)
    master = make_master(path)
    found = np.asarray(Image.open(BytesIO(master.content)).convert("L"))
    assert found.shape == seen.shape and np.abs(found.astype(int) - seen).max() <= 6
    with Image.open(BytesIO(path.read_bytes())) as original:
        turned = np.asarray(ImageOps.exif_transpose(original).convert("L"))
    assert np.abs(found.astype(int) - turned).max() <= 6
    assert ("turned upright" in master.done) == (orientation > 1)
    facts = picture_facts(tmp_path, path.name)
    if form != "tif":
        assert (facts.height, facts.width, facts.orientation) == (*seen.shape, orientation)


@pytest.mark.parametrize("value", [0, 9, 300])
def test_an_orientation_that_means_nothing_is_passed_over(value: int, tmp_path: Path) -> None:
    image, _ = stored(1)
    assert "turned upright" not in make_master(saved(tmp_path / "a.jpg", image, exif=exif(value))).done


def test_a_master_of_a_camera_s_jpeg_is_bare(tmp_path: Path) -> None:
    image = Image.effect_mandelbrot((600, 400), (-2, -1.5, 1, 1.5), 60).convert("RGB")
    data = exif(6, position=True, serial=True)
    iptc = b"Photoshop 3.0\x008BIM\x04\x04\0\0\0\0\0\x0a\x1c\x02\x5a\0\x05Paris"
    path = tmp_path / "IMG_2034.JPG"
    image.save(path, "JPEG", exif=data, xmp=XMP, comment=b"Mine", quality=95)
    content = path.read_bytes()
    photoshop = b"\xff\xed" + struct.pack(">H", 2 + len(iptc)) + iptc
    path.write_bytes(content[:2] + photoshop + content[2:] + content)  # and a second picture behind the first
    kinds = {marker for marker, _ in segments(content)}
    assert {0xE1, 0xFE} <= kinds and b"GPSLatitude" in content and b"SN-0012345" in content

    master = make_master(path)
    found = list(segments(master.content))
    assert {marker for marker, _ in found} == {0xE0, 0xDB, 0xC0, 0xC4}
    assert [body for marker, body in found if marker == 0xE0] == [b"JFIF\0\x01\x01\0\0\x01\0\x01\0\0"]
    for trace in (b"Exif", b"GPS", b"SN-0012345", b"Mine", b"Paris", b"xmpmeta", b"ICC_PROFILE", b"Photoshop"):
        assert trace not in master.content
    assert master.done[-1].startswith("removed: EXIF, the position") and "IPTC" in master.done[-1]
    facts = facts_of(master.content, "a.jpg")
    assert (facts.places, facts.persons, facts.fault) == ((), (), None)


def test_a_master_of_a_png_is_bare(tmp_path: Path) -> None:
    from PIL.PngImagePlugin import PngInfo

    notes = PngInfo()
    notes.add_text("Author", "Somebody")
    notes.add_itxt("XML:com.adobe.xmp", XMP.decode())
    srgb = picture_master.colour_source(Image.new("L", (1, 1))).profile
    path = tmp_path / "Screen 1.png"
    Image.new("RGB", (300, 200), "navy").save(
        path, pnginfo=notes, exif=exif(position=True), dpi=(300, 300), icc_profile=srgb
    )
    assert {b"tEXt", b"iTXt", b"eXIf", b"pHYs"} <= set(chunks(path.read_bytes()))
    master = make_master(path)
    assert master.ending == ".png" and set(chunks(master.content)) == {b"IHDR", b"IDAT", b"IEND"}


def test_a_screenshot_stays_sharp_and_a_photograph_small(tmp_path: Path) -> None:
    trace = Image.new("P", (800, 480))
    trace.putpalette([0, 0, 0, 255, 255, 0])
    trace.paste(1, (100, 200, 700, 202))
    kept = make_master(saved(tmp_path / "trace.png", trace))
    assert kept.ending == ".png"
    assert set(Image.open(BytesIO(kept.content)).convert("RGB").get_flattened_data()) == {(0, 0, 0), (255, 255, 0)}
    noise = Image.fromarray(np.random.default_rng(1).integers(0, 255, (300, 400, 3), np.uint8))
    assert make_master(saved(tmp_path / "photo.png", noise)).ending == ".jpg"


@given(st.integers(1, 30_000), st.integers(1, 30_000), st.floats(0.1, 8))
def test_a_master_has_its_pixels_and_its_shape(width: int, height: int, megapixels: float) -> None:
    across, down = master_size(width, height, megapixels)
    assert 1 <= across <= width and 1 <= down <= height
    assert across * down <= max(megapixels * 1e6 * 1.05, across, down)
    assert across * height == pytest.approx(width * down, abs=max(width, height))


def test_a_large_original_is_made_smaller_without_a_shift(tmp_path: Path) -> None:
    """Each quarter keeps its colour and its place, whatever the steps of making it smaller."""
    image = Image.new("RGB", (2503, 1501), "white")
    image.paste((200, 30, 30), (0, 0, 1251, 750))
    image.paste((30, 30, 200), (1251, 750, 2503, 1501))
    for form in ("jpg", "png", "tif"):
        master = make_master(saved(tmp_path / f"a.{form}", image), 0.2)
        found = Image.open(BytesIO(master.content)).convert("RGB")
        assert found.size == master_size(2503, 1501, 0.2) == (master.width, master.height)
        assert found.getpixel((found.width // 2 - 9, found.height // 2 - 9)) == pytest.approx((200, 30, 30), abs=4)
        assert found.getpixel((found.width // 2 + 9, found.height // 2 + 9)) == pytest.approx((30, 30, 200), abs=4)
        assert found.getpixel((found.width - 1, 0)) == pytest.approx((255, 255, 255), abs=4)
        assert found.getpixel((found.width - 1, found.height - 1)) == pytest.approx((30, 30, 200), abs=4)
        assert master.original_size == (2503, 1501)


def test_even_noise_keeps_within_the_bound(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(picture_master, "MOST_BYTES", MOST_BYTES // 4)  # as for 8 megapixels, with a quarter of them
    noise = Image.fromarray(np.random.default_rng(1).integers(0, 255, (1200, 1650, 3), np.uint8))
    master = make_master(saved(tmp_path / "a.jpg", noise, quality=98, subsampling=0), 8)
    assert MOST_BYTES // 8 < len(master.content) <= MOST_BYTES // 4


def test_the_same_original_gives_the_same_bytes(tmp_path: Path) -> None:
    path = saved(tmp_path / "a.jpg", Image.effect_mandelbrot((300, 200), (-2, -1.5, 1, 1.5), 60), exif=exif(3))
    assert make_master(path) == make_master(path)


@pytest.mark.parametrize(
    ("name", "content", "found"),
    [
        ("a.jpg", b"", "an empty file"),
        ("a.jpg", b"no picture at all", "a file that is no picture"),
        ("a.heic", b"\0\0\0\x18ftypheic\0\0\0\0", "an HEIC picture"),
        ("a.mp4", b"\0\0\0\x18ftypisom\0\0\0\0", "a film"),
        ("a.svg", b"<svg xmlns='http://www.w3.org/2000/svg'/>", "an SVG drawing"),
        ("a.nef", b"MM\0*\0\0\0\x08", "a camera's raw file"),
        ("a.png", b"\x89PNG\r\n\x1a\n", "a PNG picture that breaks off or is damaged"),
    ],
)
def test_what_is_no_picture_is_refused_in_words(name: str, content: bytes, found: str, tmp_path: Path) -> None:
    (tmp_path / name).write_bytes(content)
    with pytest.raises(RefusedPicture, match=f"found     {found}"):
        make_master(tmp_path / name)


def test_a_file_that_is_not_there_is_refused_in_words(tmp_path: Path) -> None:
    with pytest.raises(RefusedPicture, match="can't be read: No such file"):
        make_master(tmp_path / "a.jpg")


def test_a_cut_or_moving_or_measured_picture_is_refused(tmp_path: Path) -> None:
    image, other = Image.effect_mandelbrot((300, 200), (-2, -1.5, 1, 1.5), 60), Image.new("L", (300, 200))
    content = saved(tmp_path / "a.jpg", image).read_bytes()
    (tmp_path / "a.jpg").write_bytes(content[: len(content) // 2])
    cases = {
        "a.jpg": "breaks off",
        saved(tmp_path / "a.gif", image, save_all=True, append_images=[other]).name: "2 frames",
        saved(tmp_path / "a.png", image, save_all=True, append_images=[other]).name: "2 frames",
        saved(tmp_path / "a.webp", image, save_all=True, append_images=[other]).name: "2 frames",
        saved(tmp_path / "a.tif", image, save_all=True, append_images=[other]).name: "2 pages",
        saved(tmp_path / "b.tif", Image.new("F", (3, 3))).name: "32-bit",
    }
    for name, words in cases.items():
        with pytest.raises(RefusedPicture, match=words):
            make_master(tmp_path / name)


def test_a_bomb_is_refused_before_a_pixel_is_made(tmp_path: Path) -> None:
    (tmp_path / "a.png").write_bytes(bomb(60_000, 60_000))
    with pytest.raises(RefusedPicture, match=r"60000 by 60000 pixels \(3600 megapixels\)\nexpected  at most 200"):
        make_master(tmp_path / "a.png")


def bomb(width: int, height: int) -> bytes:
    """A PNG of a few bytes that says it has these many pixels."""
    import zlib

    parts = [
        (b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)),
        (b"IDAT", zlib.compress(bytes(1000))),
        (b"IEND", b""),
    ]
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body)) for kind, body in parts
    )


def test_what_would_need_too_much_memory_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    image = Image.new("RGB", (400, 300))
    plain, progressive = (
        saved(tmp_path / "a.jpg", image),
        saved(tmp_path / "b.jpg", image, progressive=True, subsampling=0),
    )
    with Image.open(plain) as one, Image.open(progressive) as other:
        assert isinstance(other, JpegImagePlugin.JpegImageFile)
        # three components in full resolution, two bytes a coefficient
        assert memory_needed(other, "jpeg") - memory_needed(one, "jpeg") == 400 * 300 * 3 * 2
    monkeypatch.setattr(picture_master, "MOST_MEMORY", memory_needed(Image.open(plain), "jpeg"))
    make_master(plain)
    with pytest.raises(RefusedPicture, match="in progressive JPEG"):
        make_master(progressive)


@pytest.mark.parametrize(
    ("item", "source", "taken", "name"),
    [
        ({"kind": "photo", "shows": "board", "board": "main", "side": "top"}, "a.jpg", (), "photos/board-main-top.jpg"),
        ({"kind": "x-ray", "board": "Main_2", "side": "top"}, "a.jpg", (), "photos/x-ray-board-main-2-top.jpg"),
        ({"kind": "photo", "shows": "label"}, "a.jpg", ("label.png", "LABEL-2.JPG"), "photos/label-3.jpg"),
        ({"kind": "photo"}, "IMG_2034 (1).JPG", (), "photos/img-2034-1.jpg"),
        ({"kind": "photo"}, "../été à Zürich.jpg", (), "photos/ete-a-zurich.jpg"),
        ({"kind": "photo"}, "照片.jpg", (), "photos/picture.jpg"),
        ({"kind": "photo"}, "con.jpg", (), "photos/con-picture.jpg"),
        ({"kind": "photo"}, "x" * 200 + ".jpg", (), f"photos/{'x' * 60}.jpg"),
    ],
)
def test_names_say_what_is_seen_and_are_free(item: dict, source: str, taken: tuple, name: str) -> None:
    assert file_name(item, source, ".jpg", taken) == name


PEAK = """
import re, sys
from pathlib import Path
from lidoff.bench.picture_master import make_master
master = make_master(Path(sys.argv[1]))
# the peak of this program alone: getrusage counts that of the process that started it as well
peak = re.search(r"VmHWM:\\s+(\\d+) kB", Path("/proc/self/status").read_text())
print(master.width, master.height, int(peak[1]) * 1024)
"""


@pytest.mark.long
@pytest.mark.parametrize(
    ("form", "options", "bound"),
    [
        ("jpg", {"quality": 85}, 300_000_000),
        ("jpg", {"quality": 85, "progressive": True}, MOST_MEMORY),
        ("png", {"compress_level": 1}, MOST_MEMORY),
    ],
    ids=["JPEG", "progressive JPEG", "PNG"],
)
def test_two_hundred_megapixels_fit_into_the_stated_memory(
    form: str, options: dict, bound: int, tmp_path: Path
) -> None:
    """Peak resident memory of the whole process, as the system counts it; measured 167, 642 and 879 MB."""
    path = tmp_path / f"large.{form}"
    make = (
        "import numpy as np, sys; from PIL import Image\n"
        "tile = np.random.default_rng(1).integers(0, 255, (765, 1020, 3)).astype(np.uint8)\n"
        f"Image.fromarray(np.tile(tile, (16, 16, 1))).save(sys.argv[1], **{options!r})"
    )
    subprocess.run([sys.executable, "-c", make, str(path)], check=True)
    said = subprocess.run([sys.executable, "-c", PEAK, str(path)], check=True, capture_output=True, text=True).stdout
    width, height, peak = map(int, said.split())
    assert (width, height) == (2309, 1732)
    assert peak <= bound
