"""Every rule on files and folders is broken once, and the whole message is pinned with its line and column."""

import os
import re
from collections.abc import Callable, Iterable
from pathlib import Path

import pytest

from lidoff.finding import Finding
from lidoff.pipeline import check
from lidoff.record.load import load_file
from lidoff.record.rules import FILE_RULES
from lidoff.reports import as_text
from lidoff.settings import read_settings

RECORD = "entries/fernhollow/fh-65/record.yaml"


def wrong_folder(base: Path) -> None:
    (base / "entries/fernhollow/fh-65").rename(base / "entries/fernhollow/fh-66")


def name_of_windows(base: Path) -> None:
    copied(base, "entries/aux/fh-65/record.yaml", "brand: Fernhollow", "brand: Aux")


def two_cases(base: Path) -> None:
    copied(base, "entries/Fernhollow/fh-70/record.yaml", "model: FH-65", "model: FH-70")


def two_unicode_forms(base: Path) -> None:
    for name in ("e\u0301.jpg", "\u00e9.jpg"):
        (base / "entries/fernhollow/fh-65/photos" / name).write_bytes(b"")


def stray_file(base: Path) -> None:
    (base / "entries/fernhollow/notes.csv").write_text("", encoding="utf-8")


def photo_that_windows_cannot_have(base: Path) -> None:
    (base / "entries/fernhollow/fh-65/photos/con.jpg").write_bytes(b"")


def photos_of_one_name(base: Path) -> None:
    (base / "entries/fernhollow/fh-65/photos/Board-Top.jpg").write_bytes(b"")


def symbolic_link(base: Path) -> None:
    os.symlink(base / RECORD, base / "entries/fernhollow/fh-65/photos/record.jpg")


def protocol_without_name(base: Path) -> None:
    (base / "entries/other-protocols.yaml").write_text("other_protocols:\n  - {nam: Gallop}\n", encoding="utf-8")


def folder_without_record(base: Path) -> None:
    (base / "entries/fernhollow/fh-70").mkdir()


def copied(base: Path, path: str, old: str, new: str) -> None:
    """The sound record at another place, with one thing changed."""
    text = (base / RECORD).read_text(encoding="utf-8")
    file = base / path
    file.parent.mkdir(parents=True)
    file.write_text(text.replace(old, new), encoding="utf-8")


def told(findings: Iterable[Finding]) -> str:
    """What is said of files and folders, without the checks of what stands in the records and the line that counts."""
    return as_text([one for one in findings if one.rule.startswith("entry-")], 1).rpartition("1 record:")[0]


CASES: tuple[tuple[Callable[[Path], None], str], ...] = (
    (
        wrong_folder,
        """\
entries/fernhollow/fh-66/record.yaml:8:10: error[entry-path] product.model
  found     the folder fernhollow/fh-66
  expected  the folder fernhollow/fh-65 for this brand and model
  fix       rename the folder to fernhollow/fh-65, or correct brand and model
""",
    ),
    (
        name_of_windows,
        """\
entries/aux:1:1: error[entry-name]
  found     aux, which Windows keeps for itself
  expected  a name that every system can have
  fix       name it as lidoff new BRAND MODEL would
""",
    ),
    (
        two_cases,
        """\
entries/Fernhollow:1:1: error[entry-name]
  found     the folder Fernhollow
  expected  lower-case letters, digits and single hyphens
  fix       name it as lidoff new BRAND MODEL would
entries/fernhollow:1:1: error[entry-clash]
  found     fernhollow beside Fernhollow
  expected  names that differ on every system
  fix       merge the two under the lower-case name, or take one away
  see       entries/Fernhollow:1:1
""",
    ),
    (
        two_unicode_forms,
        """\
entries/fernhollow/fh-65/photos/é.jpg:1:1: error[entry-clash]
  found     é.jpg (\\xe9.jpg) beside é.jpg (e\\u0301.jpg)
  expected  names that differ on every system
  fix       merge the two under the lower-case name, or take one away
  see       entries/fernhollow/fh-65/photos/é.jpg:1:1
""",
    ),
    (
        stray_file,
        """\
entries/fernhollow/notes.csv:1:1: error[entry-stray]
  found     a file outside a product's folder
  expected  records at brand/model/record.yaml, files of a product beside its record
  fix       move it into the folder of its product, or out of the entries
""",
    ),
    (
        photo_that_windows_cannot_have,
        """\
entries/fernhollow/fh-65/photos/con.jpg:1:1: error[entry-name]
  found     con.jpg, which Windows keeps for itself
  expected  a name that every system can have
  fix       give it another name
""",
    ),
    (
        photos_of_one_name,
        """\
entries/fernhollow/fh-65/photos/board-top.jpg:1:1: error[entry-clash]
  found     board-top.jpg beside Board-Top.jpg
  expected  names that differ on every system
  fix       merge the two under the lower-case name, or take one away
  see       entries/fernhollow/fh-65/photos/Board-Top.jpg:1:1
""",
    ),
    (
        symbolic_link,
        """\
entries/fernhollow/fh-65/photos/record.jpg:1:1: error[entry-link]
  found     a symbolic link
  expected  a file or folder of its own
  fix       put the file itself here
""",
    ),
    (
        protocol_without_name,
        """\
entries/other-protocols.yaml:2:5: error[entry-protocols] other_protocols[0]
  found     no key name
  expected  the keys name, aliases, note
  fix       add name
entries/other-protocols.yaml:2:11: error[entry-protocols] other_protocols[0].nam
  found     the key nam
  expected  the keys name, aliases, note
  fix       correct the key, or delete the line
""",
    ),
    (
        folder_without_record,
        """\
entries/fernhollow/fh-70:1:1: error[entry-missing]
  found     a folder without record.yaml
  expected  record.yaml in the folder of every product
  fix       add record.yaml, or take the folder away
""",
    ),
)  # fmt: skip


@pytest.mark.parametrize(("breaking", "expected"), CASES, ids=[breaking.__name__ for breaking, _ in CASES])
def test_a_fault_of_files_is_told_as_pinned(
    knowledge_base: Path, breaking: Callable[[Path], None], expected: str
) -> None:
    breaking(knowledge_base)
    assert told(check(read_settings(knowledge_base / "mkdocs.yml")).findings) == expected


def test_a_sound_base_is_told_of_nothing(knowledge_base: Path) -> None:
    assert told(check(read_settings(knowledge_base / "mkdocs.yml")).findings) == ""


def test_a_record_that_cannot_be_opened_is_told_as_pinned(tmp_path: Path) -> None:
    assert (
        as_text(load_file(tmp_path / "record.yaml", tmp_path).findings, 1)
        == """\
record.yaml:1:1: error[record-file]
  found     a file that can't be read: No such file or directory
  expected  a readable file
  fix       check that the file is there and may be read
1 record: 1 error
"""
    )


def test_every_rule_on_files_and_folders_is_pinned() -> None:
    pinned = {rule for _, expected in CASES for rule in re.findall(r"error\[(.*?)\]", expected)}
    assert pinned == {rule.id for rule in FILE_RULES if rule.id.startswith("entry-")}
