"""``lidoff photo add`` from outside."""

import hashlib
import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from PIL import Image
from ruamel.yaml import YAML

from lidoff.cli import main
from lidoff.commands.photo import OWN_NUMBERS
from lidoff.record.load import load_file
from lidoff.record.schema import field_schema

CREDIT = ("--credit", "Ida Quell", "--license", "CC-BY-4.0")
PICTURE = Image.effect_mandelbrot((320, 240), (-2, -1.5, 1, 1.5), 60).convert("RGB")


def add(base: Path, *arguments: object, entry: str = "") -> Result:
    folder = entry or str(record_of(base).parent)
    return CliRunner().invoke(main, ["photo", "add", folder, *map(str, arguments)])


def record_of(base: Path) -> Path:
    return base / "entries" / "fernhollow" / "fh-65" / "record.yaml"


def photos_of(base: Path) -> list[dict]:
    return YAML(typ="safe", pure=True).load(record_of(base).read_text(encoding="utf-8"))["photos"]


def state_of(base: Path) -> dict[str, bytes]:
    return {path.relative_to(base).as_posix(): path.read_bytes() for path in base.rglob("*") if path.is_file()}


@pytest.fixture
def original(tmp_path: Path) -> Path:
    """A picture as a camera delivers it: on its side, with its position."""
    exif = Image.Exif()
    exif[0x0112] = 6
    exif[0x8825] = {1: "N", 2: (48.0, 51.0, 30.0), 3: "E", 4: (2.0, 17.0, 40.0)}
    path = tmp_path / "from the camera" / "IMG_2034.JPG"
    path.parent.mkdir()
    PICTURE.save(path, exif=exif, quality=95)
    return path


def test_a_picture_goes_beside_the_record_and_into_it(knowledge_base: Path, original: Path) -> None:
    before = record_of(knowledge_base).read_text(encoding="utf-8")
    options = ("--board", "main", "--side", "top", "--caption", "Before potting", "--sample", "s2")
    result = add(knowledge_base, original, "--alt", "The board: its upper side", *options, *CREDIT)
    assert result.exit_code == 0, result.output
    folder = record_of(knowledge_base).parent
    lines = result.stdout.splitlines()
    assert lines[0].startswith(f"{folder.as_posix()}/photos/board-main-top.jpg: 240 x 320 pixels, ")
    assert lines[1] == f"  from {original}, 240 x 320 pixels"
    assert lines[2] == "  turned upright; removed: EXIF, the position"
    assert lines[3].endswith("record.yaml as photos[1]")
    assert photos_of(knowledge_base)[1] == {
        "file": "photos/board-main-top.jpg", "kind": "photo", "board": "main", "side": "top",
        "alt": "The board: its upper side", "caption": "Before potting", "credit": "Ida Quell", "license": "CC-BY-4.0",
        "original_sha256": hashlib.sha256(original.read_bytes()).hexdigest(), "sample": "s2",
    }  # fmt: skip
    after = record_of(knowledge_base).read_text(encoding="utf-8")
    kept = iter(after.splitlines())
    assert all(line in kept for line in before.splitlines()), "a line of the record, or a comment, is gone"
    with Image.open(folder / "photos/board-main-top.jpg") as image:
        assert image.size == (240, 320) and not image.getexif()
    assert not list(folder.rglob(".*")), "a temporary file is left"
    assert load_file(record_of(knowledge_base), knowledge_base).findings == ()


def test_names_are_free_and_nothing_is_written_over(knowledge_base: Path, original: Path, tmp_path: Path) -> None:
    other = tmp_path / "b.png"
    PICTURE.rotate(180).save(other)
    shows = ("--board", "main", "--side", "top", "--alt", "One", "--alt", "Two", *CREDIT)
    result = add(knowledge_base, original, other, *shows)
    assert result.exit_code == 0, result.output
    assert [photo["file"] for photo in photos_of(knowledge_base)][1:] == [
        "photos/board-main-top.jpg",
        "photos/board-main-top-2.jpg",
    ]
    again = tmp_path / "c.png"
    PICTURE.rotate(90).save(again)
    kept = (record_of(knowledge_base).parent / "photos/board-main-top.jpg").read_bytes()
    assert add(knowledge_base, again, *shows[:4], "--alt", "Three", *CREDIT).exit_code == 0
    assert photos_of(knowledge_base)[-1]["file"] == "photos/board-main-top-3.jpg"
    assert (record_of(knowledge_base).parent / "photos/board-main-top.jpg").read_bytes() == kept


def test_a_file_that_fails_is_named_and_the_others_are_added(
    knowledge_base: Path, original: Path, tmp_path: Path
) -> None:
    cut, text, gone = tmp_path / "cut.jpg", tmp_path / "text.jpg", tmp_path / "gone.jpg"
    cut.write_bytes(original.read_bytes()[:4000])
    text.write_text("no picture", encoding="utf-8")
    good = tmp_path / "good.png"
    PICTURE.rotate(90).save(good)
    files = (cut, original, text, gone, good)
    result = add(knowledge_base, *files, *(part for name in "abcde" for part in ("--alt", name)), *CREDIT)
    assert result.exit_code == 1 and "Traceback" not in result.output
    for file in (cut, text, gone):
        assert f"{file}: not added\nfound     a" in result.stderr
    assert result.stderr.endswith("3 of 5 not added\n")
    assert [(photo["file"], photo["alt"]) for photo in photos_of(knowledge_base)[1:]] == [
        ("photos/img-2034.jpg", "b"), ("photos/good.jpg", "e"),
    ]  # fmt: skip


def test_an_original_is_added_once(knowledge_base: Path, original: Path) -> None:
    assert add(knowledge_base, original, "--alt", "One", *CREDIT).exit_code == 0
    before = state_of(knowledge_base)
    result = add(knowledge_base, original, "--alt", "Two", *CREDIT)
    assert result.exit_code == 1 and "in the record already: photos[1], photos/img-2034.jpg" in result.stderr
    assert state_of(knowledge_base) == before


@pytest.mark.parametrize(
    ("kind", "options", "field"),
    [
        (
            "thermal",
            ("--emissivity", "0.95", "--scale-min-c", "22.5", "--scale-max-c", "80", "--ambient-c", "24"),
            "emissivity",
        ),
        ("x-ray", ("--tube-kv", "60", "--magnification", "4"), "tube_kv"),
        ("microscope", ("--magnification", "50"), "magnification"),
        ("waveform", ("--node", "drain of Q1", "--volts-per-division-v", "100", "--time-per-division-us", "2"), "node"),
    ],
)
def test_every_kind_has_its_own_fields(
    kind: str, options: tuple, field: str, knowledge_base: Path, original: Path
) -> None:
    result = add(knowledge_base, original, "--alt", "Seen", "--kind", kind, *options, *CREDIT)
    assert result.exit_code == 0, result.output
    photo = photos_of(knowledge_base)[1]
    assert photo["kind"] == kind and photo["file"] == f"photos/{kind}-img-2034.jpg"
    assert {key: photo[key] for key in photo if f"--{key.replace('_', '-')}" in options}[field]
    assert len([key for key in photo if f"--{key.replace('_', '-')}" in options]) == len(options) // 2
    assert load_file(record_of(knowledge_base), knowledge_base).findings == ()


def test_every_field_of_a_kind_has_an_option() -> None:
    others = {"file", "kind", "alt", "illustration", "shows", "board", "side", "caption", "credit", "license", "original_sha256",
              "sample", "node", "callouts", "scale", "card", "camera_mm"}  # fmt: skip
    assert set(field_schema("photos[0]")["properties"]) - others == set(OWN_NUMBERS)


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ((), "found     no --credit, --license, --alt"),
        (("--alt", "a", "--credit", "me"), "found     no --license"),
        (("--alt", "a", "--alt", "b", *CREDIT), "found     1 files and 2 alt texts"),
        (("--alt", "a", "--credit", "me", "--license", "CC BY"), "expected  an SPDX identifier, such as CC-BY-4.0"),
        (("--alt", "a", *CREDIT, "--kind", "thermal"), "found     no --emissivity"),
        (
            ("--alt", "a", *CREDIT, "--kind", "thermal", "--emissivity", "2"),
            "found     --emissivity: 2\nexpected  a number, 0.01 to 1",
        ),
        (("--alt", "a", *CREDIT, "--emissivity", "0.9"), "found     --emissivity: emissivity beside kind: photo"),
        (
            ("--alt", "a", *CREDIT, "--board", "mian"),
            "found     --board mian\nexpected  one of main\nfix       write main",
        ),
        (("--alt", "a", *CREDIT, "--side", "top"), "found     --side without --board"),
        (("--alt", "a", *CREDIT, "--sample", "s9"), "found     --sample s9"),
        (("--alt", " a", *CREDIT), "found     --alt: "),
        (("--alt", "a" * 601, *CREDIT), "found     --alt: "),
        (("--alt", "", *CREDIT), "found     --alt: "),
        (("--alt", "a", *CREDIT, "--megapixels", "40"), "found     --megapixels 40"),
        (("--alt", "a", *CREDIT, "--megapixels", "nan"), "found     --megapixels nan"),
    ],
)
def test_wrong_options_are_told_before_anything_is_read(
    options: tuple, said: str, knowledge_base: Path, original: Path
) -> None:
    before = state_of(knowledge_base)
    result = add(knowledge_base, original, *options)
    assert result.exit_code == 2, result.output
    assert said in result.stderr
    assert state_of(knowledge_base) == before


def test_a_record_with_errors_takes_no_picture(knowledge_base: Path, original: Path) -> None:
    file = record_of(knowledge_base)
    file.write_text(file.read_text(encoding="utf-8").replace("schema: 1", "schema: one"), encoding="utf-8")
    before = state_of(knowledge_base)
    result = add(knowledge_base, original, "--alt", "a", *CREDIT)
    assert result.exit_code == 1 and "record.yaml:" in result.stderr and "a record without errors" in result.stderr
    assert state_of(knowledge_base) == before


def test_more_megapixels_on_demand(knowledge_base: Path, tmp_path: Path) -> None:
    large = tmp_path / "large.jpg"
    Image.linear_gradient("L").resize((3000, 2000)).save(large)
    assert add(knowledge_base, large, "--alt", "a", *CREDIT).exit_code == 0
    other = tmp_path / "other.jpg"
    Image.linear_gradient("L").resize((3600, 3000)).save(other)
    assert add(knowledge_base, other, "--alt", "a", "--megapixels", "8", *CREDIT).exit_code == 0
    folder = record_of(knowledge_base).parent / "photos"
    sizes = [Image.open(folder / name).size for name in ("large.jpg", "other.jpg")]
    assert [round(across * down / 1e6, 1) for across, down in sizes] == [4.0, 8.0]


def test_a_record_without_photos_gets_them(knowledge_base: Path, original: Path) -> None:
    file = record_of(knowledge_base)
    text = file.read_text(encoding="utf-8")
    head, tail = text.split("photos:\n")[0], text.split("answered:")[1]
    file.write_text(f"{head}answered:{tail}", encoding="utf-8")
    (file.parent / "photos/board-top.jpg").unlink()
    (file.parent / "photos").rmdir()
    assert add(knowledge_base, original, "--alt", "a", *CREDIT, entry=str(file)).exit_code == 0
    assert [photo["file"] for photo in photos_of(knowledge_base)] == ["photos/img-2034.jpg"]


def test_a_folder_that_can_t_be_made_is_told(knowledge_base: Path, original: Path) -> None:
    folder = record_of(knowledge_base).parent / "photos"
    (folder / "board-top.jpg").unlink()
    folder.rmdir()
    folder.write_text("a file in its place", encoding="utf-8")
    result = add(knowledge_base, original, "--alt", "a", *CREDIT)
    assert result.exit_code == 1 and f"{folder} can't be written" in result.stderr


def test_a_record_that_can_t_be_written_leaves_no_picture(
    knowledge_base: Path, original: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(file: Path, content: bytes) -> None:
        raise OSError(28, "No space left on device", str(file))

    monkeypatch.setattr("lidoff.record.files.write_atomically", full)
    before = state_of(knowledge_base)
    result = add(knowledge_base, original, "--alt", "a", *CREDIT)
    assert result.exit_code == 1 and "No space left on device" in result.stderr
    assert state_of(knowledge_base) == before


def test_on_a_terminal_what_is_missing_is_asked_for(knowledge_base: Path, original: Path) -> None:
    """The credit of the last picture is offered; an empty answer takes it."""
    file = record_of(knowledge_base)
    assert "credit: Ida Quell" in file.read_text(encoding="utf-8")
    ours, theirs = pty.openpty()
    arguments = [sys.executable, "-m", "lidoff", "photo", "add", str(file.parent), str(original), "--kind", "thermal"]
    process = subprocess.Popen(arguments, stdin=theirs, stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
    os.write(ours, b"\n\n0.95\nThe unit at full load\n")
    said, _ = process.communicate(timeout=60)
    os.close(ours)
    os.close(theirs)
    assert process.returncode == 0, said.decode()
    photo = photos_of(knowledge_base)[1]
    assert (photo["credit"], photo["emissivity"], photo["alt"]) == ("Ida Quell", 0.95, "The unit at full load")
    assert b"Emissivity that the camera assumed" in said
