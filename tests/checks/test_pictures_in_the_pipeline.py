"""Hostile pictures beside records: each is named at its line, everything else is told too, and a build goes on."""

import os
import shutil
import struct
import zlib
from io import BytesIO
from pathlib import Path

import pytest
from click.testing import CliRunner
from PIL import Image

from lidoff.bench import pictures
from lidoff.cli import main
from lidoff.finding import Finding
from lidoff.pipeline import check
from lidoff.settings import read_settings

PICTURE = Image.effect_mandelbrot((160, 120), (-2, -1.5, 1, 1.5), 60).convert("RGB")


def content(form: str, image: Image.Image = PICTURE, **options: object) -> bytes:
    stream = BytesIO()
    image.save(stream, form, **options)
    return stream.getvalue()


def with_position() -> bytes:
    exif = Image.Exif()
    exif[0x8825] = {1: "N", 2: (48.0, 51.0, 30.0), 3: "E", 4: (2.0, 17.0, 40.0)}
    return content("JPEG", exif=exif)


def bomb() -> bytes:
    parts = [
        (b"IHDR", struct.pack(">IIBBBBB", 60_000, 60_000, 8, 6, 0, 0, 0)),
        (b"IDAT", zlib.compress(bytes(100_000))),
        (b"IEND", b""),
    ]
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body)) for kind, body in parts
    )


def moving(form: str) -> bytes:
    return content(form, save_all=True, append_images=[PICTURE.rotate(90)])


# file name, its content, and the rule that refuses it; None where nothing is wrong with it
HOSTILE = {
    "bomb": (".png", bomb(), "picture-size"),
    "cut": (".jpg", content("JPEG")[:1500], "picture-readable"),
    "cut-late": (".png", content("PNG")[:-2000], "picture-readable"),
    "nothing": (".jpg", b"", "picture-readable"),
    "text": (".webp", b"no picture", "picture-readable"),
    "script": (".jpg", b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>", "picture-readable"),
    "moving": (".gif", moving("GIF"), "picture-readable"),
    "moving-png": (".png", moving("PNG"), "picture-readable"),
    "moving-webp": (".webp", moving("WEBP"), "picture-readable"),
    "ending": (".jpg", content("PNG", PICTURE.rotate(3)), "picture-ending"),
    "with_underscore": (".jpg", content("JPEG", PICTURE.rotate(5)), "picture-name"),
    "place": (".jpg", with_position(), "picture-metadata"),
    "large": (".jpg", content("JPEG", Image.new("L", (4000, 3000))), "picture-size"),
    "long": (".jpg", content("JPEG", PICTURE.rotate(7)) + bytes(6_000_000), "picture-size"),
    "cmyk": (".jpg", content("JPEG", PICTURE.rotate(9).convert("CMYK")), None),
    "sixteen-bit": (".png", content("PNG", Image.new("I;16", (90, 70), 40_000)), None),
    "grey-alpha": (".png", content("PNG", PICTURE.rotate(11).convert("LA")), None),
    "palette": (".webp", content("WEBP", PICTURE.rotate(13)), None),
}


def with_pictures(base: Path, files: dict[str, bytes]) -> Path:
    """The record of a base with these pictures, each named in a line of its own."""
    record = base / "entries/fernhollow/fh-65/record.yaml"
    text = record.read_text(encoding="utf-8")
    head, tail = text.split("answered:")[0], text.split("answered:")[1]
    lines = [f"  - {{file: photos/{name}, kind: photo, alt: Picture {number}}}" for number, name in enumerate(files)]
    record.write_text("\n".join([head.rstrip("\n"), *lines, f"answered:{tail}"]), encoding="utf-8")
    for name, data in files.items():
        (record.parent / "photos" / name).write_bytes(data)
    return record


def told(base: Path, *paths: Path) -> list[Finding]:
    findings = check(read_settings(base / "mkdocs.yml"), paths).findings
    return [one for one in findings if one.rule.startswith(("picture-", "entry-", "record-", "missing-"))]


def test_every_hostile_picture_is_named_at_its_line(knowledge_base: Path) -> None:
    files = {name + ending: data for name, (ending, data, _) in HOSTILE.items()}
    record = with_pictures(knowledge_base, files)
    lines = record.read_text(encoding="utf-8").splitlines()
    expected = {(name + ending, rule) for name, (ending, _, rule) in HOSTILE.items() if rule is not None}
    found = told(knowledge_base)
    assert {
        (lines[one.line - 1].split("photos/")[1].split(",")[0], one.rule) for one in found if one.severity == "error"
    } == expected
    assert len([one for one in found if one.severity == "error"]) == len(expected), "one clear finding each"
    for one in found:
        named = lines[one.line - 1].split("photos/")[1].split(",")[0]
        assert f"photos/{named}" in one.found and lines[one.line - 1][one.column - 1 :].startswith(("photos/", "{file"))


def test_the_command_tells_of_them_and_does_not_fail(knowledge_base: Path) -> None:
    with_pictures(knowledge_base, {name + ending: data for name, (ending, data, _) in HOSTILE.items()})
    result = CliRunner().invoke(main, ["check", "--config", str(knowledge_base / "mkdocs.yml")])
    assert result.exit_code == 1 and isinstance(result.exception, SystemExit)
    assert result.output.count("error[picture-") == sum(rule is not None for _, _, rule in HOSTILE.values())
    assert "Warning" not in result.output


def test_pictures_of_a_draft_hold_up_nothing(knowledge_base: Path) -> None:
    record = with_pictures(knowledge_base, {"bomb.png": bomb()})
    record.write_text(
        record.read_text(encoding="utf-8").replace("status: published", "status: draft"), encoding="utf-8"
    )
    result = check(read_settings(knowledge_base / "mkdocs.yml"))
    assert [one.rule for one in result.findings if one.severity == "error"] == ["picture-size"]
    assert not result.failed


def test_a_picture_that_is_not_named_counts(knowledge_base: Path) -> None:
    folder = knowledge_base / "entries/fernhollow/fh-65/photos"
    (folder / "spare.jpg").write_bytes(with_position())
    (folder / "board-top.jpg.orig").write_bytes(with_position() + b"\0")
    found = {
        (one.rule, one.found.split(":")[0].split(" ")[0]) for one in told(knowledge_base) if one.severity == "error"
    }
    assert found == {
        ("picture-metadata", "photos/spare.jpg"), ("picture-metadata", "photos/board-top.jpg.orig"),
        ("picture-ending", "photos/board-top.jpg.orig"), ("picture-name", "photos/board-top.jpg.orig"),
    }  # fmt: skip


@pytest.mark.parametrize(
    "path",
    ["../secret.jpg", "/etc/secret.jpg", "photos/../../secret.jpg", "photos/./a.jpg", "photos//a.jpg", "c:/a.jpg"],
)
def test_a_path_that_leads_out_of_the_entry_is_refused(path: str, knowledge_base: Path) -> None:
    record = with_pictures(knowledge_base, {})
    (record.parents[1] / "secret.jpg").write_bytes(content("JPEG"))
    text = record.read_text(encoding="utf-8").replace(
        "answered:", f"  - {{file: '{path}', kind: photo, alt: Mine}}\nanswered:"
    )
    record.write_text(text, encoding="utf-8")
    (found,) = [one for one in told(knowledge_base, record)]
    assert (found.rule, found.severity) == ("record-form", "error") and path in found.found


def test_a_link_is_refused_wherever_it_leads(knowledge_base: Path, tmp_path: Path) -> None:
    record = with_pictures(knowledge_base, {"other.jpg": b""})
    outside = tmp_path / "outside.jpg"
    outside.write_bytes(with_position())
    (record.parent / "photos/other.jpg").unlink()
    os.symlink(outside, record.parent / "photos/other.jpg")
    assert {(one.rule, one.path.rpartition("/")[2]) for one in told(knowledge_base)} == {
        ("entry-link", "other.jpg"), ("missing-file", "record.yaml"),
    }  # fmt: skip
    shutil.move(record.parent / "photos", tmp_path / "elsewhere")
    os.symlink(tmp_path / "elsewhere", record.parent / "photos")
    assert {one.rule for one in told(knowledge_base)} == {"entry-link", "missing-file"}


@pytest.mark.parametrize("alt", ["", "alt: '', ", "alt: ' ', "])
def test_a_missing_alt_text_is_refused(alt: str, knowledge_base: Path) -> None:
    record = with_pictures(knowledge_base, {})
    text = record.read_text(encoding="utf-8").replace(
        "answered:", f"  - {{file: photos/a.jpg, {alt}kind: photo}}\nanswered:"
    )
    record.write_text(text, encoding="utf-8")
    (found,) = told(knowledge_base, record)
    assert found.severity == "error" and "alt" in f"{found.found} {found.field}"


def test_the_same_file_in_two_entries_is_refused_whichever_is_asked_for(knowledge_base: Path) -> None:
    folder = knowledge_base / "entries/fernhollow"
    shutil.copytree(folder / "fh-65", folder / "fh-66")
    record = folder / "fh-66/record.yaml"
    record.write_text(record.read_text(encoding="utf-8").replace("model: FH-65", "model: FH-66", 1), encoding="utf-8")
    for paths in ((), (record,), (folder / "fh-65",)):
        (found,) = [one for one in told(knowledge_base, *paths) if one.rule == "picture-twice"]
        assert found.path.endswith("fh-66/record.yaml") and found.related[0].path.endswith("fh-65/record.yaml")


def test_pictures_are_read_again_only_when_they_change(knowledge_base: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    record = with_pictures(knowledge_base, {"other.jpg": content("JPEG")})
    assert told(knowledge_base) == []

    def no_reading(folder: Path, name: str) -> None:
        raise AssertionError(f"{name} is read again")

    monkeypatch.setattr(pictures, "picture_facts", no_reading)
    assert told(knowledge_base) == []
    monkeypatch.undo()
    (record.parent / "photos/other.jpg").write_bytes(with_position())
    assert [one.rule for one in told(knowledge_base)] == ["picture-metadata"]
