"""Plays the worked example in an empty folder: each command as typed, each edit as an editor would make it."""

import json
import os
import shlex
import shutil
import sys
from dataclasses import dataclass
from pathlib import Path

import yaml
from click.testing import CliRunner, Result
from PIL import Image, ImageDraw

from lidoff.cli import main
from lidoff.record.edit import inserted

EXAMPLE = Path(__file__).resolve().parent
RECORD = Path("entries/hazelmere/hz-65/record.yaml")
CONFIG = "site_name: Worked example\nsite_url: https://example.org/\ntheme: {name: material}\nplugins:\n  - lidoff\n"
sys.path.insert(0, str(EXAMPLE.parent / "bench"))

from keystrokes import Step, read_session  # noqa: E402


@dataclass(frozen=True, slots=True)
class Played:
    """The finished record, its number of parts, and what each command gave."""

    record: str
    parts: int
    results: tuple[tuple[str, Result], ...]


def play(folder: Path) -> Played:
    """Do every step of the session; the current folder is the given one meanwhile."""
    _prepare(folder)
    before = Path.cwd()
    os.chdir(folder)
    try:
        results: list[tuple[str, Result]] = []
        for step in read_session((EXAMPLE / "session.txt").read_text(encoding="utf-8")):
            _do(step, results)
        record = RECORD.read_text(encoding="utf-8")
    finally:
        os.chdir(before)
    parts = sum(part.get("quantity", 1) for part in yaml.safe_load(record)["components"])
    return Played(record, parts, tuple(results))


def _prepare(folder: Path) -> None:
    """What is there before anything is typed: a base with one record, the instruments' files, a picture."""
    (folder / "mkdocs.yml").write_text(CONFIG, encoding="utf-8")
    (folder / "docs").mkdir()
    (folder / "docs" / "bench.md").write_text("# The bench\n", encoding="utf-8")
    former = folder / "entries" / "fernhollow" / "fh-65"
    (former / "photos").mkdir(parents=True)
    (former / "logs").mkdir()
    shutil.copy(EXAMPLE.parent / "record" / "sample.yaml", former / "record.yaml")
    _picture(former / "photos" / "board-top.jpg")
    (former / "logs" / "phone.csv").write_text("t,v,i\n0,20.0,3.0\n60,20.0,2.9\n", encoding="utf-8")
    shutil.copy(EXAMPLE / "parts.tsv", folder)
    shutil.copy(EXAMPLE / "c1.log", folder)
    logs = folder / RECORD.parent / "logs"
    logs.mkdir(parents=True)
    for name in ("laptop.csv", "sweep.csv"):
        shutil.copy(EXAMPLE / name, logs)
    _picture(folder / "board.png")


def _picture(file: Path) -> None:
    picture = Image.new("RGB", (1200, 800), "#2f6b4f")
    draw = ImageDraw.Draw(picture)
    draw.rectangle((100, 100, 500, 700), fill="#202020")
    draw.rectangle((700, 200, 1000, 500), fill="#c9b37a")
    picture.save(file)


def _do(step: Step, results: list[tuple[str, Result]]) -> None:
    if step.kind == "command":
        arguments = shlex.split(step.text)[1:]
        if arguments[0] == "part":
            arguments += ["--format", "json"]
        given = "\n".join(step.typed)
        results.append((step.text, CliRunner().invoke(main, arguments, input=given.encode() if given else None)))
    elif step.kind == "edit":
        text = RECORD.read_text(encoding="utf-8")
        line = (
            f"{step.text}\n"
            if f"\n{step.text}\n" in text
            else next(one for one in text.splitlines(keepends=True) if one.startswith(step.text))
        )
        RECORD.write_text(text.replace(line, "\n".join(step.typed) + "\n", 1), encoding="utf-8")
    else:
        block = yaml.safe_load(json.loads(results[-1][1].stdout)["block"])[0]
        RECORD.write_bytes(inserted(RECORD.read_bytes(), "components", [{**block, "ref": step.text}]))
