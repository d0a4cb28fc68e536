"""``lidoff decode --from`` and ``--into`` from outside."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from lidoff.cli import main

# the message: README of usbpdpy 0.4.0, Quick start
LOG = """[12:00:01.3] RX SrcCap a1 61 2c 91 01 08 2c d1 02 00 2c c1 03 00 2c b1 04 00 45 41 06 00 3c 21 dc c0
[12:00:01.4] TX GoodCRC
junk de ad be ef 01 02 03 04
"""


def decode(*arguments: str, content: bytes = b""):
    return CliRunner().invoke(main, ["decode", *arguments], input=content)


@pytest.fixture
def log(tmp_path: Path) -> Path:
    file = tmp_path / "analyser.log"
    file.write_text(LOG, encoding="utf-8")
    return file


def record_of(base: Path) -> Path:
    return base / "entries" / "fernhollow" / "fh-65" / "record.yaml"


def test_a_log_is_searched(log: Path) -> None:
    result = decode("--from", str(log))
    assert result.exit_code == 0
    assert result.stdout.splitlines()[:2] == [
        "message 0x61A1  Source_Capabilities, id 0, from the source (DFP), revision 3.x, 6 objects, checksum not given",
        " 1  0x0801912C  fixed        5 V, 3 A, 15 W; unconstrained power",
    ]
    assert result.stderr == "line 3 passed over: 8 bytes that are no whole message\n"


@pytest.mark.parametrize("arguments", [("-",), ("--from", "-")])
def test_standard_input(arguments: tuple[str, ...]) -> None:
    result = decode(*arguments, "--format", "json", content=b"\xef\xbb\xbfPDO8: 0x0008C1F4\r\n")
    (fact,) = json.loads(result.stdout)
    assert (fact["position"], fact["voltage_v"], fact["line"]) == (8, 28, 1)


def test_a_capture_goes_into_the_record(log: Path, knowledge_base: Path) -> None:
    file = record_of(knowledge_base)
    file.chmod(0o640)
    before = file.read_text(encoding="utf-8")
    state = ("--port", "C1", "--beside", "A1", "--cable", "direct", "--sample", "s2")
    result = decode("--from", str(log), "--into", str(file.parent), *state)
    assert result.exit_code == 0, result.stderr
    assert result.stderr.splitlines()[-1] == f"{file.as_posix()}: added ports[0].advertised[2]"
    after = file.read_text(encoding="utf-8")
    assert after.count("beside: [A1]") == before.count("beside: [A1]") + 1
    assert after.count("0xC0DC213C") == before.count("0xC0DC213C") + 1
    assert file.stat().st_mode & 0o777 == 0o640
    assert sorted(path.name for path in file.parent.iterdir()) == ["logs", "photos", "record.yaml"]
    assert CliRunner().invoke(main, ["check", "--config", str(knowledge_base / "mkdocs.yml")]).exit_code == 0


def test_words_of_the_command_line_go_into_the_record(knowledge_base: Path) -> None:
    file = record_of(knowledge_base)
    result = decode("0x0801912C", "0x0002D12C", "--into", str(file), "--port", "A1", "--alone")
    assert (result.exit_code, result.stdout.count("\n")) == (0, 2)
    added = 'advertised: [{alone: true, message: spr, words: ["0x0801912C", "0x0002D12C"]}]'
    assert added in file.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("arguments", "exit_code", "message"),
    [
        (["--port", "C7"], 2, "found     the port C7"),
        (["--port", "C1", "--cable", "loose"], 2, "found     the cable loose"),
        (["--port", "C1", "--alone", "--beside", "A1"], 2, "found     --alone and --beside"),
        ([], 2, "--into needs --port"),
    ],
)
def test_a_refused_capture_leaves_the_record_as_it_is(
    log: Path, knowledge_base: Path, arguments: list[str], exit_code: int, message: str
) -> None:
    file = record_of(knowledge_base)
    before = file.read_bytes()
    result = decode("--from", str(log), "--into", str(file), *arguments)
    assert (result.exit_code, result.stdout, message in result.stderr) == (exit_code, "", True)
    assert file.read_bytes() == before


def test_a_record_with_errors_is_left_as_it_is(log: Path, knowledge_base: Path) -> None:
    file = record_of(knowledge_base)
    file.write_bytes(file.read_bytes().replace(b"status: published", b"status: done"))
    before = file.read_bytes()
    result = decode("--from", str(log), "--into", str(file), "--port", "C1")
    assert result.exit_code == 1
    assert "error[record-word] status" in result.stderr
    assert result.stderr.endswith("fix       correct these errors first, then try again\n")
    assert file.read_bytes() == before


@pytest.mark.parametrize(
    ("content", "found"),
    [
        (b"", "no USB PD object or message in standard input"),
        (b"attached\n5.02 V\n", "no USB PD object or message in standard input"),
        (b"\x00\x01\x02", "standard input, which is no text"),
        (b"0x0801912C\n" * 500_000, "standard input with more than 5,000,000 bytes"),
    ],
)
def test_bad_logs_get_one_message(content: bytes, found: str) -> None:
    result = decode("-", content=content)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.splitlines()[0] == f"found     {found}"
    assert len(result.stderr.splitlines()) == 3


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["0x0801912C", "--from", "x.log"], "Give either WORD or --from, not both."),
        (["0x0801912C", "--port", "C1"], "--port says what to write into a record: name the record with --into."),
        (["--from", "no-such.log"], "found     no-such.log, which can't be read: No such file or directory"),
        (["0x0801912C", "--into", "no-such", "--port", "C1"], "'no-such' does not exist"),
    ],
)
def test_wrong_usage_of_logs_and_records(arguments: list[str], message: str) -> None:
    result = decode(*arguments)
    assert result.exit_code == 2
    assert message in result.stderr
