"""What a picture's file is: its true format, what it tells, and that no file whatever makes the reading fail."""

import random
import struct
import time
import zlib
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageEnhance
from PIL.PngImagePlugin import PngInfo

from lidoff.bench.picture_file import MOST_BYTES, MOST_PIXELS, READ_BYTES, facts_of, format_of, picture_facts
from lidoff.bench.picture_likeness import difference, fingerprint
from lidoff.bench.pictures import read_pictures
from lidoff.record.load import load_text

POSITION = {1: "N", 2: (48.0, 51.0, 30.0), 3: "E", 4: (2.0, 17.0, 40.0)}
PICTURE = Image.effect_mandelbrot((200, 150), (-2, -1.5, 1, 1.5), 60).convert("RGB")


def content(form: str, image: Image.Image = PICTURE, **options: object) -> bytes:
    stream = BytesIO()
    image.save(stream, form, **options)
    return stream.getvalue()


def exif(tags: dict | None = None, **directories: dict) -> Image.Exif:
    data = Image.Exif()
    for tag, value in (tags or {}).items():
        data[tag] = value
    for name, directory in directories.items():
        data[{"gps": 0x8825, "exif": 0x8769}[name]] = directory
    return data


SOUND = {form: content(form) for form in ("JPEG", "PNG", "WEBP")}
SOUND["JPEG with EXIF"] = content("JPEG", exif=exif({0x013B: "Ida Quell"}, gps=POSITION, exif={0xA431: "0012"}))


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP", "GIF", "TIFF", "BMP", "AVIF", "JPEG2000"])
def test_the_format_is_that_of_the_content(form: str) -> None:
    name = {"JPEG2000": "jpeg-2000"}.get(form, form.lower())
    assert format_of(content(form)) == name
    facts = facts_of(content(form), "photos/a.txt")
    assert facts.format == name
    assert (facts.fault is None) == (form in ("JPEG", "PNG", "WEBP"))
    if facts.fault is None:
        assert (facts.width, facts.height, facts.can_be_shown) == (200, 150, True)


@pytest.mark.parametrize(
    "head", [b"", b"\xff\xd8", b"{}", b"<html>", b"RIFF\0\0\0\0WAVE", b"# svg", b"BM is a text", b"II", b"\0" * 40]
)
def test_what_is_no_picture_has_no_format(head: bytes) -> None:
    assert format_of(head) == "" and facts_of(head, "a.jpg").fault is not None


def told(data: bytes) -> tuple[tuple[str, ...], tuple[str, ...]]:
    facts = facts_of(data, "a.jpg")
    assert facts.fault is None
    return facts.places, facts.persons


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_a_position_in_exif_is_found(form: str) -> None:
    assert told(content(form, exif=exif(gps=POSITION))) == (("EXIF latitude", "EXIF longitude"), ())
    assert told(content(form, exif=exif({0x010F: "Camera"}))) == ((), ())


def test_a_gps_directory_without_a_position_tells_nothing() -> None:
    """Cameras without reception write the version and the time, some an empty position."""
    assert told(content("JPEG", exif=exif(gps={0: b"\2\3\0\0", 7: (10.0, 1.0, 2.0), 29: "2026:03:09"}))) == ((), ())
    rational = "<8sIH"  # a directory by hand: GPSLatitude of 0/0, three times
    by_hand = b"Exif\0\0" + struct.pack(rational, b"II*\0\x08\0\0\0", 0, 0)[:8]
    by_hand += struct.pack("<HHHI4sI", 1, 0x8825, 4, 1, struct.pack("<I", 26), 0)
    by_hand += struct.pack("<HHHI4sI", 1, 2, 5, 3, struct.pack("<I", 44), 0) + bytes(24)
    assert told(content("JPEG", exif=by_hand)) == ((), ())
    filled = by_hand[:-24] + struct.pack("<6I", 48, 1, 51, 1, 30, 1)
    assert told(content("JPEG", exif=filled)) == (("EXIF latitude",), ())


@pytest.mark.parametrize(
    ("inner", "places"),
    [
        (
            '<rdf:Description exif:GPSLatitude="48,51.5N" exif:GPSLongitude="2,17.6E"/>',
            ("XMP GPSLatitude", "XMP GPSLongitude"),
        ),
        ("<rdf:Description><exif:GPSLatitude>48,51.5N</exif:GPSLatitude></rdf:Description>", ("XMP GPSLatitude",)),
        ("<photoshop:City>Paris</photoshop:City>", ("XMP City",)),
        (
            '<Iptc4xmpExt:LocationCreated><rdf:Bag><rdf:li Iptc4xmpExt:City="Paris"/></rdf:Bag></Iptc4xmpExt:LocationCreated>',
            ("XMP LocationCreated", "XMP City"),
        ),
        ("<photoshop:City/>", ()),
        ('<rdf:Description photoshop:City="" dc:title="A board"/>', ()),
        ("<photoshop:City></photoshop:City><dc:title>A board</dc:title>", ()),
        ("<dc:description>GPSLatitude is a word</dc:description>", ()),
    ],
)
def test_a_place_in_xmp_is_found(inner: str, places: tuple[str, ...]) -> None:
    xmp = f"<x:xmpmeta xmlns:x='adobe:ns:meta/'><rdf:RDF>{inner}</rdf:RDF></x:xmpmeta>".encode()
    assert told(content("JPEG", xmp=xmp))[0] == places
    assert told(content("WEBP", xmp=xmp))[0] == places
    packed = PngInfo()
    packed.add_itxt("XML:com.adobe.xmp", xmp.decode(), zip=True)
    assert told(content("PNG", pnginfo=packed))[0] == places


def test_a_place_in_iptc_is_found() -> None:
    def with_city(city: bytes) -> bytes:
        dataset = b"\x1c\x02\x5a" + struct.pack(">H", len(city)) + city
        block = (
            b"Photoshop 3.0\x008BIM\x04\x04\0\0" + struct.pack(">I", len(dataset)) + dataset + bytes(len(dataset) % 2)
        )
        return SOUND["JPEG"][:2] + b"\xff\xed" + struct.pack(">H", 2 + len(block)) + block + SOUND["JPEG"][2:]

    assert told(with_city(b"Paris"))[0] == ("IPTC city",)
    assert told(with_city(b""))[0] == ()


def test_what_lies_behind_the_picture_is_looked_at_too() -> None:
    further = content("JPEG", exif=exif(gps=POSITION))
    assert told(SOUND["JPEG"] + further)[0] == ("EXIF latitude", "EXIF longitude")
    film = b"\0\0\0\x18ftypmp42" + bytes(20) + b"moov\xa9xyz\0\x12\x15\xc7+48.8577+002.295/"
    assert told(SOUND["JPEG"] + film)[0] == ("the place of a film behind the picture",)
    assert told(SOUND["JPEG"] + film.replace(b"\xa9xyz", b"meta"))[0] == ()


def test_persons_and_devices_are_found() -> None:
    assert told(SOUND["JPEG with EXIF"])[1] == ("artist", "serial number of the camera")
    assert told(content("JPEG", exif=exif({0x013B: " \0"}, exif={0xA431: ""})))[1] == ()


def test_exif_behind_the_pixels_of_a_png_counts() -> None:
    png = content("PNG")
    data = exif({0x0112: 6}, gps=POSITION).tobytes().removeprefix(b"Exif\0\0")
    chunk = b"eXIf" + data
    end = png.index(b"IEND") - 4
    facts = facts_of(
        png[:end] + struct.pack(">I", len(data)) + chunk + struct.pack(">I", zlib.crc32(chunk)) + png[end:], "a.png"
    )
    assert (facts.width, facts.height, facts.orientation) == (150, 200, 6)
    assert facts.places == ("EXIF latitude", "EXIF longitude")


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize("share", [0.001, 0.01, 0.1, 0.3, 0.5, 0.7, 0.9])
def test_a_cut_file_is_told_as_such(form: str, share: float) -> None:
    facts = facts_of(SOUND[form][: max(16, int(len(SOUND[form]) * share))], "a")
    assert facts.format == form.lower() and not facts.can_be_shown
    assert "damaged" in facts.fault.found


def bomb(width: int, height: int, extra: bytes = b"") -> bytes:
    parts = [
        (b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)),
        (b"IDAT", zlib.compress(bytes(1000))),
        (b"IEND", b""),
    ]
    if extra:
        parts.insert(1, (b"zTXt", b"note\0\0" + zlib.compress(extra, 9)))
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body)) for kind, body in parts
    )


@pytest.mark.parametrize(("width", "height"), [(60_000, 60_000), (2**31 - 1, 2**31 - 1), (12_000, 9_000)])
def test_a_bomb_is_measured_and_not_opened(width: int, height: int) -> None:
    started = time.process_time()
    facts = facts_of(bomb(width, height), "a.png")
    assert (facts.width, facts.height) == (width, height)
    assert facts.is_too_large and not facts.can_be_shown and facts.fingerprint == b"" and facts.fault is None
    assert time.process_time() - started < 0.5


def test_a_packed_text_that_grows_is_a_fault_and_no_more() -> None:
    facts = facts_of(bomb(40, 30, bytes(5_000_000)), "a.png")
    assert facts.fault is not None


def test_a_jpeg_of_endless_passes_is_a_fault() -> None:
    """Each pass of a progressive JPEG goes over all pixels, and a file of little length may hold thousands of them."""
    stream = content("JPEG", Image.new("L", (2000, 2000), 100), progressive=True)
    last = stream.rindex(b"\xff\xda")
    facts = facts_of(stream[:last] + stream[last:-2] * 5000 + stream[-2:], "a.jpg")
    assert "drawn in 50" in facts.fault.found and not facts.can_be_shown
    assert facts_of(stream, "a.jpg").fault is None


@pytest.mark.parametrize("piece", [b"GPSLatitude ", b"GPSLatitude a", b"Exif\0\0", b"<exif:GPSLatitude" + b" " * 1000])
def test_a_file_full_of_beginnings_takes_no_time(piece: bytes) -> None:
    data = SOUND["JPEG"] + b"rdf:RDF" + piece * (2_000_000 // len(piece))
    started = time.process_time()
    assert facts_of(data, "a.jpg").places == ()
    assert time.process_time() - started < 3


def test_an_empty_picture_of_a_png_is_a_fault() -> None:
    assert facts_of(bomb(0, 30), "a.png").fault is not None


@pytest.mark.parametrize("form", ["PNG", "WEBP", "GIF"])
def test_a_moving_picture_is_a_fault(form: str) -> None:
    other = PICTURE.rotate(90)
    facts = facts_of(content(form, save_all=True, append_images=[other, PICTURE.rotate(10)]), "a")
    assert not facts.can_be_shown
    if form != "GIF":
        assert facts.fault.found == "an animated picture of 3 frames"


def test_a_jpeg_of_two_pictures_is_a_still_one() -> None:
    """Phones put a second picture, such as one of brightness, behind the first (multi-picture format)."""
    facts = facts_of(content("MPO", save_all=True, append_images=[PICTURE.rotate(180)]), "a.jpg")
    assert (facts.format, facts.fault, facts.can_be_shown) == ("jpeg", None, True)


@settings(max_examples=150)
@given(st.sampled_from(sorted(SOUND)), st.randoms(use_true_random=False), st.integers(1, 40))
def test_no_damage_makes_the_reading_fail(form: str, chance: random.Random, times: int) -> None:
    data = bytearray(SOUND[form])
    for _ in range(times):
        place = chance.randrange(len(data)) if chance.random() < 0.5 else chance.randrange(min(400, len(data)))
        match chance.randrange(3):
            case 0:
                data[place] = chance.randrange(256)
            case 1:
                del data[place : place + chance.randrange(1, 50)]
            case 2:
                data[place:place] = bytes(chance.randrange(256) for _ in range(chance.randrange(1, 30)))
        if not data:
            break
    facts = facts_of(bytes(data), "a.jpg")
    assert facts.size_bytes == len(data)
    assert facts.fault is not None or facts.format in ("jpeg", "png", "webp")


@given(
    st.binary(max_size=300),
    st.sampled_from([b"", b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"RIFF\0\0\0\0WEBP", b"GIF89a"]),
)
def test_no_bytes_make_the_reading_fail(data: bytes, head: bytes) -> None:
    assert facts_of(head + data, "a.jpg").fault is not None


def test_a_file_that_can_t_be_read_is_told(tmp_path: Path) -> None:
    assert picture_facts(tmp_path, "photos/a.jpg").fault.found.startswith("a file that can't be read: No such file")
    (tmp_path / "photos").mkdir()
    assert picture_facts(tmp_path, "photos").fault.found.startswith("a file that can't be read")
    with (tmp_path / "a.jpg").open("wb") as stream:
        stream.truncate(READ_BYTES + 1)
    facts = picture_facts(tmp_path, "a.jpg")
    assert (facts.size_bytes, facts.is_too_large, facts.can_be_shown) == (READ_BYTES + 1, True, False)


def test_the_bounds_of_size() -> None:
    assert not facts_of(content("JPEG", Image.new("L", (3266, 2449))), "a").is_too_large
    assert facts_of(content("JPEG", Image.new("L", (3000, MOST_PIXELS // 3000 + 1))), "a").is_too_large
    assert facts_of(SOUND["JPEG"] + bytes(MOST_BYTES), "a").is_too_large


def test_the_library_s_bound_is_as_it_was() -> None:
    before = Image.MAX_IMAGE_PIXELS
    facts_of(bomb(60_000, 60_000), "a.png")
    assert before == Image.MAX_IMAGE_PIXELS


def hash_of(image: Image.Image) -> bytes:
    return facts_of(content("PNG", image), "a.png").fingerprint


def test_a_picture_is_known_again_however_it_was_saved() -> None:
    blocks = Image.fromarray(np.random.default_rng(3).integers(0, 200, (6, 8, 3), np.uint8))
    picture = blocks.resize((200, 150), Image.Resampling.NEAREST)
    base = hash_of(picture)
    variants = {
        "another format": facts_of(content("JPEG", picture, quality=40), "a").fingerprint,
        "half the size": hash_of(picture.resize((100, 75))),
        "brighter": hash_of(ImageEnhance.Brightness(picture).enhance(1.15)),
        "grey": hash_of(picture.convert("L")),
        "stored on its side": facts_of(
            content("PNG", picture.transpose(Image.Transpose.ROTATE_90), exif=exif({0x0112: 6})), "a"
        ).fingerprint,
    }
    assert {name: difference(base, one) for name, one in variants.items() if difference(base, one) > 6} == {}
    assert difference(base, hash_of(picture.rotate(180))) > 16


def test_different_pictures_differ() -> None:
    pictures = [
        hash_of(
            Image.fromarray(np.random.default_rng(seed).integers(0, 255, (6, 8, 3), np.uint8)).resize((320, 240), 0)
        )
        for seed in range(40)
    ]
    nearest = min(difference(one, other) for place, one in enumerate(pictures) for other in pictures[:place])
    assert nearest > 8


def test_a_fingerprint_is_the_cosine_transform_s_by_an_independent_library() -> None:
    from scipy.fft import dctn

    greys = np.random.default_rng(7).integers(0, 256, (32, 32))
    low = dctn(greys.astype(float))[:8, :8].ravel()
    bits = "".join("1" if value > np.median(low[1:]) else "0" for value in low)
    assert fingerprint(greys.astype(np.uint8).tobytes()).hex() == f"{int(bits, 2):016x}"


def test_every_picture_in_the_folder_is_read_named_or_not(tmp_path: Path, sample_text: str) -> None:
    record = load_text(sample_text, "record.yaml").record
    (tmp_path / "photos").mkdir()
    files = {
        "photos/board-top.jpg": SOUND["JPEG"], "photos/IMG_1.JPG": SOUND["JPEG"], "photos/old.bak": SOUND["PNG"],
        "photos/notes.txt": b"a text", "logs/phone.csv": b"t,v", "spare.png": SOUND["PNG"], "photos/film.heic": b"",
    }  # fmt: skip
    (tmp_path / "logs").mkdir()
    for name, data in files.items():
        (tmp_path / name).write_bytes(data)
    found = read_pictures(tmp_path, record, frozenset(files))
    assert list(found) == [
        "photos/IMG_1.JPG",
        "photos/board-top.jpg",
        "photos/film.heic",
        "photos/old.bak",
        "spare.png",
    ]
