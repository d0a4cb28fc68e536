"""The record files of a knowledge base are found in order, and what does not belong there is told."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from lidoff.record.collection import find_records
from lidoff.record.files import record_files
from lidoff.record.rules import FILE_RULES


def told(base: Path) -> list[tuple[str, str]]:
    return [(finding.rule, finding.path) for finding in find_records(base / "entries", base)[1]]


def touch(base: Path, name: str) -> None:
    file = base / "entries" / name
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text("", encoding="utf-8")


def test_records_are_found_in_the_order_of_their_paths(knowledge_base: Path) -> None:
    for name in ("pell-lane/a-2/record.yaml", "pell-lane/a-10/record.yaml", "arden/z/record.yaml"):
        touch(knowledge_base, name)
    records, findings = find_records(knowledge_base / "entries", knowledge_base)
    assert [record.relative for record in records] == [
        "entries/arden/z/record.yaml",
        "entries/fernhollow/fh-65/record.yaml",
        "entries/pell-lane/a-10/record.yaml",
        "entries/pell-lane/a-2/record.yaml",
    ]
    assert [record.slug for record in records][1:3] == ["fernhollow/fh-65", "pell-lane/a-10"]
    assert records[1].companions == {"photos/board-top.jpg", "logs/phone.csv"}
    assert findings == ()


def test_what_may_lie_among_the_entries_is_let_pass(knowledge_base: Path) -> None:
    for name in (
        "other-protocols.yaml",
        "README.md",
        ".DS_Store",
        "fernhollow/.hidden",
        "fernhollow/README.md",
        "fernhollow/fh-65/notes.txt",
    ):
        touch(knowledge_base, name)
    assert told(knowledge_base) == []


@pytest.mark.parametrize(
    "name",
    [
        "fh-65.yaml",
        "fernhollow/record.yaml",
        "fernhollow/photo.jpg",
        "fernhollow/fh-65/record.yml",
        "fernhollow/fh-65/photos/other.yaml",
    ],
)
def test_a_file_at_the_wrong_place_is_told(knowledge_base: Path, name: str) -> None:
    touch(knowledge_base, name)
    assert told(knowledge_base) == [("entry-stray", f"entries/{name}")]


@pytest.mark.parametrize("name", ["Fernhollow-2", "aux", "a_b", "a.b", "a--b", "-a", "é"])
def test_a_folder_name_that_not_every_system_has_is_told(knowledge_base: Path, name: str) -> None:
    touch(knowledge_base, f"{name}/m/record.yaml")
    assert told(knowledge_base) == [("entry-name", f"entries/{name}")]


def test_names_that_differ_by_case_or_unicode_form_are_told_together(knowledge_base: Path) -> None:
    touch(knowledge_base, "Fernhollow/fh-70/record.yaml")
    findings = find_records(knowledge_base / "entries", knowledge_base)[1]
    clash = next(finding for finding in findings if finding.rule == "entry-clash")
    assert clash.path == "entries/fernhollow" and clash.related[0].path == "entries/Fernhollow"
    touch(knowledge_base, "caf\u00e9/m/record.yaml")
    touch(knowledge_base, "cafe\u0301/m/record.yaml")
    assert sum(1 for rule, _ in told(knowledge_base) if rule == "entry-clash") == 2


def test_a_link_is_told_and_not_followed(knowledge_base: Path) -> None:
    os.symlink(knowledge_base / "entries/fernhollow/fh-65", knowledge_base / "entries/fernhollow/fh-66")
    os.symlink(knowledge_base, knowledge_base / "entries/fernhollow/fh-65/photos/up")
    records, findings = find_records(knowledge_base / "entries", knowledge_base)
    assert len(records) == 1
    assert [(finding.rule, finding.path) for finding in findings] == [
        ("entry-link", "entries/fernhollow/fh-65/photos/up"),
        ("entry-link", "entries/fernhollow/fh-66"),
    ]


@pytest.mark.parametrize("name", ["record.yaml", "photos/board-top.jpg", "logs/phone.csv"])
def test_a_pipe_is_told_and_never_opened(knowledge_base: Path, name: str) -> None:
    file = knowledge_base / "entries/fernhollow/fh-65" / name
    file.unlink()
    os.mkfifo(file)
    records, findings = find_records(knowledge_base / "entries", knowledge_base)
    assert ("record-file", f"entries/fernhollow/fh-65/{name}") in [(one.rule, one.path) for one in findings]
    assert all(name not in record.companions for record in records)
    assert list(record_files([knowledge_base / "entries"])) == [record.path for record in records]
    command = [sys.executable, "-m", "lidoff", "check", "--config", str(knowledge_base / "mkdocs.yml")]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=False)  # it would wait for ever
    assert done.returncode == 1 and f"{name}:1:1: error[record-file]" in done.stdout, done.stdout + done.stderr


def test_a_product_without_a_record_is_told(knowledge_base: Path) -> None:
    (knowledge_base / "entries/fernhollow/fh-66/photos").mkdir(parents=True)
    assert told(knowledge_base) == [("entry-missing", "entries/fernhollow/fh-66")]


def test_a_base_without_entries_is_told(tmp_path: Path) -> None:
    assert told(tmp_path) == [("entry-missing", "entries")]


def test_every_rule_of_entries_is_tested_here_or_beside() -> None:
    tests = ("test_collection.py", "test_load.py", "test_other_protocols.py")
    text = "".join(Path(__file__).with_name(name).read_text(encoding="utf-8") for name in tests)
    assert [rule.id for rule in FILE_RULES if rule.id.startswith("entry-") and f'"{rule.id}"' not in text] == []
