"""``lidoff paste`` from outside: into a fresh record, into one with comments, from a clipboard, and what it refuses."""

import json
import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from lidoff.cli import main
from lidoff.record.load import load_file

TABLE = "Ref\tRole\tMaker\tPackage\tValue\nC21-C22\toutput cap\tMarrow Bay\tradial 8x12\t680uF 25V\n"


@pytest.fixture
def record(knowledge_base: Path) -> Path:
    return knowledge_base / "entries" / "fernhollow" / "fh-65" / "record.yaml"


def paste(record: Path, table: str, *options: str):
    return CliRunner().invoke(main, ["paste", str(record), *options], input=table.encode())


def test_parts_go_behind_those_that_are_there_and_all_else_stays(record: Path) -> None:
    before = record.read_text(encoding="utf-8")
    result = paste(record.parent, TABLE)
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout.splitlines() == [
        "1 row read, cells apart by tab", f"{record.as_posix()}: 2 parts added: C21, C22",
    ]  # fmt: skip
    after = record.read_text(encoding="utf-8")
    added = [line for line in after.splitlines() if line not in before.splitlines()]
    assert [line for line in after.splitlines() if line not in added] == before.splitlines()
    loaded = load_file(record, record.parents[3])
    assert [part.ref for part in loaded.record.components][-2:] == ["C21", "C22"]
    assert loaded.record.components[-1].ratings.capacitance_uf == 680


def test_into_a_fresh_draft_at_the_place_that_it_keeps_for_parts(
    knowledge_base: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(knowledge_base)
    runner = CliRunner()
    path = Path(runner.invoke(main, ["new", "Hazelmere", "HZ-30"]).stdout.strip())
    assert paste(path, TABLE).exit_code == 0
    lines = path.read_text(encoding="utf-8").splitlines()
    at = lines.index("components:")
    assert lines[at - 1].startswith("## Parts.")
    assert "# components:" in lines[at + 1 :]
    ports = lines.index("ports:")
    assert lines[ports + 3].startswith("#     label:")


def test_parts_that_are_there_are_refused(record: Path) -> None:
    before = record.read_bytes()
    result = paste(record, "Ref\tRole\tValue\nQ1-Q2\tprimary switch\t650V\nX9\tcrystal\t5MHz\n")
    assert result.exit_code == 1
    assert result.stderr.startswith(
        f"standard input:2:1: ref\n  found     Q1, Q2, already there: {record.as_posix()}:161\n"
    )
    assert "--update" in result.stderr
    assert record.read_bytes() == before


def test_update_changes_what_the_table_says_and_tells_it(record: Path) -> None:
    text = record.read_text(encoding="utf-8").replace(
        "    strength: likely\n    package: DFN 8x8", "    strength: likely  # seen twice\n    package: DFN 8x8"
    )
    record.write_text(text, encoding="utf-8")
    table = (
        "Ref\tRole\tStrength\tValue\tNotes\nQ1\tprimary switch\tcertain\t650V 12A Qg 2nC\t\n"
        "F1\tfuse\t\tT3.15AH\tglass\n"
    )
    result = paste(record, table, "--update")
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout.splitlines()[1:] == [
        "  Q1 strength: likely -> certain", "  Q1 ratings.current_a: 11 -> 12", "  Q1 ratings.gate_charge_nc: added 2",
        "  F1 note: added glass", f"{record.as_posix()}: 4 values changed",
    ]  # fmt: skip
    after = record.read_text(encoding="utf-8")
    assert "    strength: certain  # seen twice\n" in after
    assert paste(record, table, "--update").stdout.splitlines()[1:] == [
        f"{record.as_posix()}: all of it is there already"
    ]
    assert record.read_text(encoding="utf-8") == after


def test_a_dry_run_and_json(record: Path) -> None:
    before = record.read_bytes()
    result = paste(record, TABLE, "--dry-run", "--format", "json")
    assert json.loads(result.stdout) == {
        "rows": 1, "separator": "tab", "added": ["C21", "C22"], "changes": [], "written": False, "remarks": [],
    }  # fmt: skip
    assert record.read_bytes() == before
    data = json.loads(paste(record, "Ref\tRole\nC21\tfuze\n", "--format", "json").stdout)
    assert [(one["line"], one["column"], one["found"]) for one in data["remarks"]] == [(2, 5, '"fuze"')]


def test_what_the_record_does_not_know_or_allow_stands_at_its_cell(record: Path) -> None:
    before = record.read_bytes()
    table = "Ref\tRole\tBoard\tPort\tDate code\tValue\nC21\tcapacitor\tmian\tC9\t\t\nC22\tcapacitor\tmain\t\t\t30000V\n"
    result = paste(record, table)
    assert result.exit_code == 1
    assert 'standard input:2:15: board\n  found     the board "mian"\n' in result.stderr
    assert "  fix       write main\n" in result.stderr
    assert 'standard input:2:20: port\n  found     the port "C9"\n' in result.stderr
    result = paste(record, "Ref\tRole\tValue\nC22\tcapacitor\t30000V\n")
    assert "standard input:2:15: ratings\n  found     30000\n" in result.stderr
    assert record.read_bytes() == before


@pytest.mark.parametrize(
    ("content", "found"),
    [
        (b"", "standard input: an empty file"),
        (b"\x89PNG\r\n", "standard input: a picture"),
        (b"\x00\x01" * 900, "standard input: a file that is not text"),
        (b"a" * 21_000_000, "standard input: a file of more than 200,000 bytes"),
    ],
)
def test_what_is_no_table(record: Path, content: bytes, found: str) -> None:
    result = CliRunner().invoke(main, ["paste", str(record)], input=content)
    assert result.exit_code == 2
    assert result.stderr.startswith(f"found     {found}\n")


def test_a_record_that_can_not_be_read_stays(record: Path) -> None:
    record.write_text("product: [\n", encoding="utf-8")
    result = paste(record, TABLE)
    assert result.exit_code == 1
    assert "error[record-syntax]" in result.stderr
    assert record.read_text(encoding="utf-8") == "product: [\n"


def on_a_terminal(record: Path, folder: Path) -> subprocess.CompletedProcess:
    """The command with a terminal for standard input, and the programs of one folder alone."""
    master, slave = pty.openpty()
    try:
        return subprocess.run(
            [sys.executable, "-m", "lidoff", "paste", str(record)], stdin=slave, capture_output=True, text=True,
            env={**os.environ, "PATH": str(folder)}, check=False, timeout=60,
        )  # fmt: skip
    finally:
        os.close(master)
        os.close(slave)


@pytest.mark.skipif(os.name != "posix", reason="a terminal of POSIX")
def test_the_clipboard_is_read_on_a_terminal(record: Path, tmp_path: Path) -> None:
    folder = tmp_path / "programs"
    folder.mkdir()
    result = on_a_terminal(record, folder)
    assert (result.returncode, result.stdout) == (2, "")
    assert result.stderr.startswith("found     no program that reads the clipboard\nexpected  one of wl-paste, xclip, ")
    program = folder / "wl-paste"
    table = TABLE.replace("\t", "\\t").replace("\n", "\\n")
    program.write_text(f"#!/bin/sh\nprintf '{table}'\n")
    program.chmod(0o755)
    result = on_a_terminal(record, folder)
    assert (result.returncode, result.stderr) == (0, "")
    assert "2 parts added: C21, C22" in result.stdout
