"""``lidoff label`` from outside: what it prints, its exit codes, and that its YAML is that of a record."""

import json
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner

from lidoff.bench.label_text import read_label
from lidoff.bench.label_text.record_form import record_form
from lidoff.cli import main
from lidoff.commands.label import record_text
from lidoff.record.load import load_text
from lidoff.reports.pointed import pointed

CORPUS = Path(__file__).parents[1] / "bench_data" / "labels"
LABELS = [yaml.safe_load(file.read_text(encoding="utf-8")) for file in sorted(CORPUS.glob("*.yaml"))]
TEXTS = [one["text"] for labels in LABELS for one in labels]


@pytest.fixture(autouse=True)
def no_knowledge_base_around(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def label(*arguments: str, content: bytes = b""):
    return CliRunner().invoke(main, ["label", *arguments], input=content)


def test_all_is_understood() -> None:
    result = label("INPUT 100-240V~ 50/60Hz 0.6A OUTPUT C1 5V⎓3A / 9V⎓2.22A A1 5V⎓2.4A C1+A1 10W+12W Total 22W VI")
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout == (
        "label:\n"
        '  printed: "INPUT 100-240V~ 50/60Hz 0.6A OUTPUT C1 5V⎓3A / 9V⎓2.22A A1 5V⎓2.4A C1+A1 10W+12W Total 22W VI"\n'
        "  input: {voltage_min_v: 100, voltage_max_v: 240, frequencies_hz: [50, 60], current_a: 0.6}\n"
        "  total_power_w: 22\n"
        "  marks: [efficiency-level-vi]\n"
        "ports:\n"
        "  - id: C1\n"
        "    connector: usb-c\n"
        "    printed_name: C1\n"
        "    label:\n"
        "      - {kind: fixed, voltage_v: 5, current_a: 3}\n"
        "      - {kind: fixed, voltage_v: 9, current_a: 2.22}\n"
        "  - id: A1\n"
        "    connector: usb-a\n"
        "    printed_name: A1\n"
        "    label:\n"
        "      - {kind: fixed, voltage_v: 5, current_a: 2.4}\n"
        "port_sharing:\n"
        "  - {ports: {C1: 10, A1: 12}, basis: label}\n"
    )


def test_what_is_not_understood_is_shown_at_its_place() -> None:
    result = label("OUTPUT USB1: 5V⎓3A / 9V⎓2A Turbo C1+C2: 45W+20W C2+C3: 65W LPS")
    assert result.exit_code == 1
    _, _, told = result.stdout.partition("# ")
    assert told == (
        "the label does not say the connector of USB1: add it\n"
        "# C2 and C3 have 65 W together: port_sharing takes one power a port\n"
        "\n"
        "Not understood, so not in the fields above: 1 piece\n"
        "\n"
        "OUTPUT USB1: 5V⎓3A / 9V⎓2A Turbo C1+C2: 45W+20W C2+C3: 65W LPS\n"
        "                     ^^^^^^^^^^^\n"
        "words that are no port and no known protocol; they may change what the output is\n"
        "\n"
        "Left aside:\n"
        '  "LPS" says nothing of input or outputs\n'
    )


def test_a_port_without_a_name_and_the_limit_of_one_among_several() -> None:
    assert label("5V⎓3A").stdout.endswith(
        "ports:\n  - id: P1\n    label:\n      - {kind: fixed, voltage_v: 5, current_a: 3}\n"
        "# the label names no port: write its id, such as C1 or A1, for P1, and its connector\n"
    )
    assert label("C1: 65W C2: 20W").stdout.endswith(
        "# C1 is limited to 65 W, for which a port has no field\n"
        "# C2 is limited to 20 W, for which a port has no field\n"
    )


def test_names_may_be_given() -> None:
    text = "OUTPUT: 9V⎓2A Turbo Quillstone"
    assert label(text).exit_code == 1
    result = label(text, "--protocol", "Turbo", "--name", "Quillstone", "--format", "json")
    assert result.exit_code == 0
    (offer,) = json.loads(result.stdout)["ports"][0]["label"]
    assert offer == {"kind": "proprietary", "voltage_v": 9, "current_a": 2, "protocol": "Turbo"}


def test_names_come_from_the_knowledge_base_around(knowledge_base: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(knowledge_base)
    protocols = knowledge_base / "entries" / "other-protocols.yaml"
    protocols.write_text("other_protocols:\n  - {name: Turbo, aliases: [TRB]}\n", encoding="utf-8")
    result = CliRunner().invoke(main, ["label", "OUTPUT 9V⎓2A TRB / 5V⎓3A Pell Lane Electronics", "--format", "json"])
    assert result.exit_code == 0, result.stdout
    assert json.loads(result.stdout)["left_aside"][0]["text"] == "Pell Lane Electronics"


def test_json_and_yaml() -> None:
    result = label("5V⎓3A\n5-20V⎓3A", "--format", "json")
    assert result.exit_code == 1
    data = json.loads(result.stdout)
    assert list(data) == ["label", "ports", "port_sharing", "remarks", "not_understood", "left_aside"]
    reason = "a range of voltages without its protocol, such as PPS or AVS"
    place = {"line": 2, "column": 1, "start": 6, "end": 14}
    assert data["not_understood"] == [{"text": "5-20V⎓3A", **place, "reason": reason}]
    result = label("5V⎓3A\n5-20V⎓3A", "--format", "yaml")
    assert yaml.safe_load(result.stdout)["ports"][0]["label"] == [{"kind": "fixed", "voltage_v": 5, "current_a": 3}]
    assert result.stderr.splitlines()[3:5] == ["5-20V⎓3A", "^^^^^^^^"]


def test_standard_input() -> None:
    result = label("-", content="\ufeff输出：5V⎓3A\r\n神速 9V⎓2A\r\n".encode())
    assert result.exit_code == 1
    assert "神速 9V⎓2A\n^^^^^^^^^^\nwords" in result.stdout


@pytest.mark.parametrize(
    ("arguments", "content", "found"),
    [
        (["-"], b"", "no text"),
        ([" "], b"", "no text"),
        (["-"], b"\x89PNG\r\n", "the byte 0x89 at 1, which is no UTF-8"),
        (["-"], b"5V\x003A", "a NUL sign in the text"),
        (["-"], b"5V 3A " * 100_000, "a text of more than 2,000 characters"),
        (["-"], b"\x89" * 100_000, "a text of more than 2,000 characters"),
    ],
)
def test_bad_input_gets_one_message(arguments: list[str], content: bytes, found: str) -> None:
    result = label(*arguments, content=content)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.splitlines()[0] == f"found     {found}"
    assert [line[:10] for line in result.stderr.splitlines()] == ["found     ", "expected  ", "fix       "]


@pytest.mark.parametrize("text", TEXTS)
def test_the_yaml_is_that_of_a_record(text: str) -> None:
    """Once the connector is added that some labels do not tell."""
    fields = record_text(record_form(read_label(text, ["Gallop Charge", "Slipstream"]), text))
    head = "schema: 1\nstatus: draft\nteardown: {date: 2026-03-09}\n"
    head += "product: {brand: Fernhollow, model: FH-65, kind: wall-charger}\n"
    ports = "" if "\nports:" in fields else "ports: [{id: C1, connector: usb-c}]\n"
    findings = load_text(head + fields + ports, "record.yaml").findings
    assert {finding.found for finding in findings} <= {"no connector"}, findings
    if '"' not in fields:
        assert yaml.safe_load(fields)["label"]["printed"].split() == text.split()


@pytest.mark.parametrize(
    ("text", "start", "end", "shown"),
    [
        ("abc def", 4, 7, "abc def\n    ^^^"),
        ("一二 def", 3, 6, "一二 def\n     ^^^"),
        ("first\nsecond line\nthird", 6, 12, "second line\n^^^^^^"),
        ("first\nsecond", 2, 9, "first\n  ^^^"),
        ("a\u200bb\u00a0c", 4, 5, "ab c\n   ^"),
        ("x" * 60 + "here" + "y" * 60, 60, 64, "..." + "x" * 40 + "here" + "y" * 40 + "...\n" + " " * 43 + "^^^^"),
    ],
)
def test_carets(text: str, start: int, end: int, shown: str) -> None:
    assert pointed(text, start, end) == shown
