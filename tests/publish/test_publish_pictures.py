"""Variants of pictures: made once, kept by content, made anew when the kept file is damaged, never under a foreign path."""

import errno
import hashlib
import io
import os
import platform
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass, replace
from importlib.metadata import version
from pathlib import Path
from typing import Any

import pytest
from fsspec.implementations.memory import MemoryFileSystem
from PIL import Image, ImageDraw

from lidoff.cache.shared_place import SharedPlace
from lidoff.pages.picture_plan import RECIPE
from lidoff.publish import pictures as making
from lidoff.publish.build import build_preview, build_site
from lidoff.publish.picture_cache import PictureCache, key_of, picture_cache
from lidoff.publish.picture_encoder import encode
from lidoff.publish.pictures import PictureMaker
from lidoff.publish.preview import Preview
from lidoff.publish.shell import ShellError
from lidoff.publish.writer import Writer
from lidoff.settings import Settings, SettingsError, checked_options, read_settings
from lidoff.website import PictureFile, SiteFile, Website

SIZE = (300, 200)
LEFT, RIGHT = (200, 30, 30), (30, 30, 200)


def draw(path: Path, size: tuple[int, int] = SIZE, **options: Any) -> Path:
    """A picture that is red on its left and blue on its right half."""
    image = Image.new("RGB", size, LEFT)
    ImageDraw.Draw(image).rectangle((size[0] // 2, 0, *size), fill=RIGHT)
    path.parent.mkdir(parents=True, exist_ok=True)
    image.save(path, **options)
    return path


def wanted(
    source: Path, path: str = "pictures/b/m/top-1-150.webp", size: tuple[int, int] = (150, 100), **more: Any
) -> PictureFile:
    return PictureFile(path, str(source), hashlib.sha256(source.read_bytes()).hexdigest(), size, **more)


def opened(content: bytes) -> Image.Image:
    return Image.open(io.BytesIO(content))


@pytest.fixture
def cache(tmp_path: Path) -> PictureCache:
    return PictureCache(tmp_path / "cache")


@pytest.fixture
def master(tmp_path: Path) -> Path:
    return draw(tmp_path / "entry" / "photos" / "top.png")


@pytest.fixture
def written(cache: PictureCache) -> Callable[..., dict[str, bytes]]:
    """What one run over some pictures writes, by path."""

    def written(*pictures: PictureFile, **options: Any) -> dict[str, bytes]:
        files: list[SiteFile] = []
        PictureMaker(cache, **options).write(pictures, files.append)
        assert len({file.path for file in files}) == len(files)
        return {file.path: file.content for file in files}

    return written


def test_each_variant_has_its_format_and_size(master: Path, written: Callable) -> None:
    webp, jpeg = wanted(master), wanted(master, "pictures/b/m/top-1-150.jpg")
    files = written(webp, jpeg)
    assert {path: (opened(content).format, opened(content).size) for path, content in files.items()} == {
        webp.path: ("WEBP", (150, 100)),
        jpeg.path: ("JPEG", (150, 100)),
    }
    assert not opened(files[jpeg.path]).getexif() and "icc_profile" not in opened(files[jpeg.path]).info


def test_a_piece_is_cut_out_of_the_master(master: Path, written: Callable) -> None:
    piece = wanted(master, "pictures/b/m/top-1-close.jpg", (100, 100), box=(200, 0, 300, 100))
    image = opened(written(piece)[piece.path])
    assert image.size == (100, 100)
    assert all(abs(seen - meant) < 12 for seen, meant in zip(image.getpixel((50, 50)), RIGHT, strict=True))


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_turned_picture_is_cut_as_it_is_seen(orientation: int, tmp_path: Path, written: Callable) -> None:
    """EXIF 3.0 (CIPA DC-008), tag 274: which corner of the scene the first row and column are; from memory."""
    upright = Image.new("RGB", (120, 80), LEFT)
    ImageDraw.Draw(upright).rectangle((90, 0, 120, 30), fill=(250, 250, 250))
    turns = {
        2: Image.Transpose.FLIP_LEFT_RIGHT, 3: Image.Transpose.ROTATE_180, 4: Image.Transpose.FLIP_TOP_BOTTOM,
        5: Image.Transpose.TRANSPOSE, 6: Image.Transpose.ROTATE_90, 7: Image.Transpose.TRANSVERSE, 8: Image.Transpose.ROTATE_270,
    }  # fmt: skip
    stored = upright.transpose(turns[orientation]) if orientation > 1 else upright
    exif = Image.Exif()
    exif[274] = orientation
    stored.save(tmp_path / "turned.jpg", exif=exif, quality=95)
    corner = wanted(tmp_path / "turned.jpg", "pictures/b/m/c.jpg", (20, 20), box=(95, 5, 115, 25))
    assert min(opened(written(corner)[corner.path]).getpixel((10, 10))) > 220


def test_an_unchanged_picture_is_not_encoded_again(
    master: Path, written: Callable, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = written(wanted(master))
    monkeypatch.setattr(making, "make", lambda job: pytest.fail(f"{job.source} was made again"))
    master.unlink()  # not even read
    picture = PictureFile(
        "pictures/b/m/top-1-150.webp", str(master), hashlib.sha256(draw(master).read_bytes()).hexdigest(), (150, 100)
    )
    assert written(picture) == first


def test_with_everything_kept_the_library_is_not_loaded(master: Path, written: Callable, cache: PictureCache) -> None:
    picture = wanted(master)
    written(picture)
    code = (
        "import sys; from pathlib import Path; from lidoff.publish.picture_cache import *; from lidoff.publish.pictures import *\n"
        f"picture = PictureFile({picture.path!r}, {str(master)!r}, {picture.sha256!r}, {picture.size})\n"
        f"files = []; PictureMaker(PictureCache(Path({str(cache.folder)!r}))).write([picture], files.append)\n"
        "assert len(files) == 1; sys.exit('PIL' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


@pytest.mark.parametrize("damage", [b"", b"x", None], ids=["empty", "other content", "cut short"])
def test_a_damaged_cache_file_is_made_anew(
    damage: bytes | None, master: Path, written: Callable, cache: PictureCache
) -> None:
    picture = wanted(master)
    first = written(picture)
    (kept,) = [path for path in cache.folder.rglob("*") if path.is_file()]
    whole = kept.read_bytes()
    kept.write_bytes(whole[:-1] if damage is None else damage)
    assert cache.get(key_of(picture)) is None
    assert written(picture) == first
    assert kept.read_bytes() == whole


def test_a_cache_that_breaks_off_leaves_nothing_behind(cache: PictureCache, monkeypatch: pytest.MonkeyPatch) -> None:
    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr("os.replace", stop)
        with pytest.raises(KeyboardInterrupt):
            cache.put("ab" + "0" * 62, b"content")
    assert [path for path in cache.folder.rglob("*") if path.is_file()] == []


def test_what_a_variant_is_kept_under_changes_with_all_that_decides_it(master: Path) -> None:
    one = wanted(master)
    others = [
        replace(one, sha256="0" * 64), replace(one, size=(151, 100)), replace(one, box=(0, 0, 9, 9)),
        replace(one, path=one.path.replace("webp", "jpg")),
    ]  # fmt: skip
    assert len({key_of(picture) for picture in (one, *others)}) == 5
    assert key_of(replace(one, path="pictures/b/m/another.webp", source="elsewhere")) == key_of(one)


def test_the_same_master_gives_the_same_bytes(master: Path, tmp_path: Path, written: Callable) -> None:
    picture = wanted(master)
    again = PictureMaker(PictureCache(tmp_path / "other-cache"))
    files: list[SiteFile] = []
    again.write([picture], files.append)
    assert {file.path: file.content for file in files} == written(picture)


def test_names_of_variants_change_when_the_encoder_makes_other_pictures(tmp_path: Path) -> None:
    """A regression value, not a published one. Where it differs, raise RECIPE in picture_plan.py and renew both numbers."""
    if (platform.machine(), version("pillow")) != ("x86_64", "12.3.0"):
        pytest.skip("the bytes are the same under one lock and architecture only")
    drawn = Image.radial_gradient("L").resize((160, 120))
    content = io.BytesIO()
    Image.merge("RGB", (drawn, drawn.rotate(90), drawn.rotate(180))).save(content, "PNG")
    (tmp_path / "gradient.png").write_bytes(content.getvalue())
    pictures = [wanted(tmp_path / "gradient.png", f"pictures/a.{ending}", (80, 60)) for ending in ("webp", "jpg")]
    made = encode(Path(pictures[0].source).read_bytes(), pictures[0].sha256, pictures)
    digests = [hashlib.sha256(one).hexdigest()[:16] for one in made]
    assert (RECIPE, digests) == (1, ["4121815529ef7eda", "3eed0c0ea256f849"])


def test_a_bad_picture_is_named_and_the_others_are_made(master: Path, tmp_path: Path, cache: PictureCache) -> None:
    broken = tmp_path / "entry" / "photos" / "broken.jpg"
    broken.write_bytes(draw(tmp_path / "whole.jpg", (900, 900)).read_bytes()[:2000])
    text = tmp_path / "entry" / "photos" / "text.png"
    text.write_text("no picture")
    pictures = [wanted(broken, "pictures/b/m/broken.webp"), wanted(text, "pictures/b/m/text.webp"), wanted(master)]
    files: list[SiteFile] = []
    with pytest.raises(ShellError) as raised:
        PictureMaker(cache).write(pictures, files.append)
    assert [file.path for file in files] == [pictures[2].path]
    assert all(f"{path}: this picture can't be used" in str(raised.value) for path in (broken, text))
    faults = PictureMaker(cache, is_forgiving=True).write(pictures, lambda file: None)
    assert len(faults) == 2


def test_a_picture_that_changed_meanwhile_is_not_kept_under_the_old_digest(master: Path, cache: PictureCache) -> None:
    picture = wanted(master)
    draw(master, (310, 200))
    (fault,) = PictureMaker(cache, is_forgiving=True).write([picture], lambda file: None)
    assert "changed since its record was read" in fault
    assert cache.get(key_of(picture)) is None


@pytest.mark.parametrize(
    "path", ["../out.webp", "pictures/../../out.webp", "/etc/out.webp", "pictures\\out.webp", "pictures//x.webp"]
)
def test_no_name_leads_out_of_the_site(path: str, master: Path, tmp_path: Path, cache: PictureCache) -> None:
    site = tmp_path / "deep" / "site"
    site.mkdir(parents=True)
    before = {file for file in tmp_path.rglob("*") if cache.folder not in file.parents}
    with pytest.raises(ShellError):
        PictureMaker(cache).write([wanted(master, path)], Writer(site).file)
    assert {file for file in tmp_path.rglob("*") if cache.folder not in file.parents} - before <= {cache.folder}


def test_both_processors_work_and_the_progress_is_told(tmp_path: Path, cache: PictureCache) -> None:
    masters = [draw(tmp_path / f"{number}.png", (100 + number, 90)) for number in range(3)]
    pictures = [wanted(master, f"pictures/b/m/{master.stem}.webp", (50, 40)) for master in masters]
    told: list[tuple[int, int]] = []
    files: list[SiteFile] = []
    PictureMaker(cache, lambda done, total: told.append((done, total))).write([*pictures, pictures[0]], files.append)
    assert told == [(1, 3), (2, 3), (3, 3)]
    assert [file.path for file in files] == [picture.path for picture in pictures]


class Full(MemoryFileSystem):
    """A place that takes one file and is full then."""

    cachable = False
    store: dict = {}

    def pipe_file(self, path: str, value: bytes, **options: Any) -> None:
        if self.store:
            raise OSError(errno.ENOSPC, "No space left on device")
        super().pipe_file(path, value, **options)


def test_with_a_full_place_every_picture_is_in_the_site_and_it_is_told(tmp_path: Path, written: Callable) -> None:
    masters = [draw(tmp_path / f"{number}.png", (100 + number, 90)) for number in range(14)]
    pictures = [wanted(master, f"pictures/b/m/{master.stem}.webp", (50, 40)) for master in masters]
    files: list[SiteFile] = []
    told: list[str] = []
    assert PictureMaker(SharedPlace(Full(), "/kept"), tell=told.append).write(pictures, files.append) == ()
    assert {file.path: file.content for file in files} == written(*pictures)
    (text,) = told
    assert "could not be kept: " in text and "No space left on device" in text and "makes them again" in text


def test_pictures_at_a_shared_place_are_not_encoded_again(
    master: Path, written: Callable, monkeypatch: pytest.MonkeyPatch
) -> None:
    pictures = [wanted(master, f"pictures/b/m/top-1-{width}.webp", (width, 20)) for width in range(20, 120)]
    settings = Settings(master.parent / "mkdocs.yml", picture_cache=f"file://{master.parent}/shared")
    first: list[SiteFile] = []
    PictureMaker(picture_cache(settings)).write(pictures, first.append)
    assert {file.path: file.content for file in first} == written(*pictures)
    monkeypatch.setattr(making, "make", lambda order: pytest.fail("it was made again"))
    again: list[SiteFile] = []
    PictureMaker(picture_cache(settings)).write(pictures, again.append)
    assert again == first


def test_the_place_is_a_folder_unless_it_is_a_url(tmp_path: Path) -> None:
    settings = Settings(tmp_path / "mkdocs.yml")
    assert picture_cache(settings) == PictureCache(tmp_path / ".lidoff" / "cache" / "pictures")
    assert picture_cache(replace(settings, picture_cache="kept")) == PictureCache(tmp_path / "kept")
    assert picture_cache(replace(settings, picture_cache="memory://a/kept")).root == "/a/kept"
    for wrong in ("", "  ", 5, ["a"]):
        with pytest.raises(SettingsError, match="picture_cache: "):
            checked_options({"picture_cache": wrong})


def test_what_is_of_no_use_any_more_leaves_the_drawers_that_grow(
    cache: PictureCache, master: Path, written: Callable
) -> None:
    picture = wanted(master)
    drawer = key_of(picture)[:2]
    other = "00" if drawer != "00" else "01"
    for name in (drawer, other):
        cache.put(name + "f" * 62, b"old")
        os.utime(cache.folder / name / (name + "f" * 62), (0, 0))
    written(picture)
    assert os.listdir(cache.folder / drawer) == [key_of(picture)]
    assert os.listdir(cache.folder / other) == [other + "f" * 62], "it did not grow, so it is let alone"


@dataclass
class PicturedSource:
    """An invented source with pictures."""

    source: Any
    pictures: tuple[PictureFile, ...]

    @property
    def findings(self) -> tuple:
        return self.source.findings

    @property
    def newest(self) -> Any:
        return self.source.newest

    def website(self) -> Website:
        return replace(self.source.website(), pictures=self.pictures)


@pytest.fixture
def pictured(project: Any) -> PicturedSource:
    return PicturedSource(project.source, (wanted(draw(project.folder / "entries" / "top.png")),))


def test_a_build_publishes_the_pictures_and_keeps_them(project: Any, pictured: PicturedSource) -> None:
    assert build_site(project.settings, pictured).is_good
    (picture,) = pictured.pictures
    assert opened((project.site / picture.path).read_bytes()).size == (150, 100)
    assert PictureCache(project.folder / ".lidoff" / "cache" / "pictures").get(key_of(picture))
    headers = (project.site / "_headers").read_text(encoding="utf-8")
    for folder in ("assets", "pictures"):
        assert f"\n/{folder}/*\n  Cache-Control: public, max-age=31536000, immutable\n" in headers


def test_a_picture_that_fails_the_encoder_leaves_the_last_good_site(project: Any, pictured: PicturedSource) -> None:
    assert build_site(project.settings, pictured).is_good
    before = (project.site / pictured.pictures[0].path).read_bytes()
    bad = replace(pictured.pictures[0], path="pictures/b/m/bad.webp", sha256="0" * 64)
    result = build_site(project.settings, PicturedSource(project.source, (bad,)))
    assert not result.is_good and any("top.png: this picture can't be used" in message for message in result.messages)
    assert (project.site / pictured.pictures[0].path).read_bytes() == before


def test_a_place_that_can_not_be_used_stops_the_build_and_leaves_the_site(
    project: Any, pictured: PicturedSource
) -> None:
    assert build_site(project.settings, pictured).is_good
    before = (project.site / pictured.pictures[0].path).read_bytes()
    project.with_config("{entries: entries}", "{entries: entries, picture_cache: 'nosuchkind://a/b'}")
    result = build_site(read_settings(project.folder / "mkdocs.yml"), pictured)
    assert not result.is_good and any("found     picture_cache: nosuchkind://a/b" in text for text in result.messages)
    assert (project.site / pictured.pictures[0].path).read_bytes() == before


@dataclass
class PicturedLive:
    """Records as they are now: one wants a picture."""

    picture_file: PictureFile

    def look(self, address: str) -> bool:
        return False

    def is_ahead(self, address: str) -> bool:
        return False

    def refresh(self) -> frozenset[str]:
        return frozenset()

    def page(self, address: str) -> None:
        return None

    def earlier_page(self, address: str) -> None:
        return None

    def moved(self, address: str) -> None:
        return None

    def file(self, path: str) -> None:
        return None

    def findings(self, address: str) -> tuple:
        return ()

    def picture(self, path: str) -> PictureFile | None:
        return self.picture_file if path == self.picture_file.path else None


def test_the_preview_makes_a_picture_when_it_is_asked_for(
    project: Any, pictured: PicturedSource, tmp_path: Path
) -> None:
    result = build_preview(project.settings, pictured, tmp_path / "preview")
    (picture,) = pictured.pictures
    assert result.is_good and not (result.site / picture.path).exists()
    cache = PictureCache(tmp_path / "cache")
    preview = Preview((result.site,), result.frames, PicturedLive(picture), PictureMaker(cache))
    answer = preview.answer(f"/{picture.path}")
    assert (answer.status, answer.headers["Content-Type"]) == (200, "image/webp")
    assert opened(answer.content).size == (150, 100) and cache.get(key_of(picture)) == answer.content
    assert preview.answer("/pictures/b/m/other.webp").status == 404
    Path(picture.source).write_bytes(b"damaged")
    unmade = replace(picture, size=(40, 30))
    assert (
        Preview((result.site,), result.frames, PicturedLive(unmade), PictureMaker(cache))
        .answer(f"/{unmade.path}")
        .status
        == 404
    )
