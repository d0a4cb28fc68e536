"""``lidoff figures PATH``: text and JSON, assumptions of the knowledge base, and its exit codes."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from lidoff.figures.catalogue import KINDS, QUESTIONS

KEYS = ["id", "of", "value", "unit", "expanded_uncertainty", "inputs", "assumed", "method", "source", "absent"]
RECORD = "entries/fernhollow/fh-65/record.yaml"


def run(*arguments: object) -> Result:
    from lidoff.cli import main

    return CliRunner().invoke(main, ["figures", *map(str, arguments)])


@pytest.fixture
def record_file(knowledge_base: Path) -> Path:
    return knowledge_base / RECORD


def test_text(record_file):
    result = run(record_file)
    assert result.exit_code == 0, result.output
    assert result.stdout.startswith("Fernhollow FH-65 (invented data)\n")
    for heading in (*QUESTIONS.values(), "Caution"):
        assert f"\n{heading}\n" in result.stdout
    # by hand: 2 x 68 uF at 373.352 V
    assert "By computation its bulk capacitor can hold 9.48 J, and its voltage reaches 373 V." in result.stdout
    assert "No discharge path recorded: treat as charged until proved dead." in result.stdout


def test_json_is_that_of_the_design(record_file):
    result = run(record_file, "--format", "json")
    assert result.exit_code == 0, result.output
    figures = json.loads(result.stdout)
    assert {figure["id"] for figure in figures} == set(KINDS)
    for figure in figures:
        assert list(figure) == KEYS
        assert (figure["value"] is None) == isinstance(figure["absent"], str)
        assert set(figure["of"]) <= {"port", "mains_v", "mains_hz", "output_v"}
        assert all(list(one) == ["field", "value", "unit"] for one in figure["inputs"])
        assert all(list(one) == ["id", "value", "unit", "source"] for one in figure["assumed"])
    (peak,) = [figure for figure in figures if figure["id"] == "bulk_peak_v"]
    assert peak["value"] == pytest.approx(373.352, abs=1e-3)
    assert peak["inputs"] == [{"field": "label.input.voltage_max_v", "value": 240.0, "unit": "V"}]
    assert [one["id"] for one in peak["assumed"]] == ["mains_tolerance_pct"]


def test_the_folder_of_a_record_does_as_well(record_file):
    assert run(record_file.parent).stdout == run(record_file).stdout


def test_assumptions_of_the_knowledge_base_count(record_file, knowledge_base):
    config = knowledge_base / "mkdocs.yml"
    config.write_text(
        config.read_text(encoding="utf-8").replace(
            "  - lidoff\n", "  - lidoff:\n      assumptions: {bridge_drop_v: 0.9}\n"
        ),
        encoding="utf-8",
    )
    assert "bridge_drop_v 0.9 V: mkdocs.yml of this knowledge base" in run(record_file).stdout


def test_another_configuration_can_be_named(record_file, tmp_path_factory):
    other = tmp_path_factory.mktemp("other") / "mkdocs.yml"
    other.write_text(
        "site_name: Other\nplugins:\n  - lidoff:\n      assumptions: {bridge_drop_v: 1.1}\n", encoding="utf-8"
    )
    assert "bridge_drop_v 1.1 V" in run(record_file, "--config", other).stdout


def test_a_record_outside_a_knowledge_base_takes_the_defaults(record_file, tmp_path_factory):
    folder = tmp_path_factory.mktemp("alone") / "fernhollow" / "fh-65"
    folder.mkdir(parents=True)
    (folder / "record.yaml").write_bytes(record_file.read_bytes())
    result = run(folder)
    assert result.exit_code == 0 and "bridge_drop_v 1.7 V" in result.stdout


def test_a_readable_record_with_an_error_shows_both(record_file):
    misplaced = record_file.parent.rename(record_file.parent.with_name("elsewhere"))
    result = run(misplaced)
    assert result.exit_code == 1 and "error[entry-path]" in result.stderr and "373 V" in result.stdout


@pytest.mark.parametrize(
    ("assumptions", "words"),
    [
        ("{bridge_drop: 1}", "rename it to bridge_drop_v"),
        ("{turns_ratio: 6}", "it is never assumed"),
        ("{bridge_drop_v: 99}", "expected  0 to 10 V"),
    ],
)
def test_wrong_assumptions_are_wrong_usage(record_file, knowledge_base, assumptions, words):
    config = knowledge_base / "mkdocs.yml"
    config.write_text(f"site_name: T\nplugins:\n  - lidoff:\n      assumptions: {assumptions}\n", encoding="utf-8")
    result = run(record_file)
    assert result.exit_code == 2 and words in result.stderr and result.stdout == ""


def test_a_broken_record_shows_its_findings(record_file):
    record_file.write_text(
        record_file.read_text(encoding="utf-8").replace("rated_power_w: 65", 'rated_power_w: "65"'), encoding="utf-8"
    )
    result = run(record_file, "--format", "json")
    assert result.exit_code == 1 and result.stdout == ""
    assert f"{RECORD}:" in result.stderr and "product.rated_power_w" in result.stderr and "  fix  " in result.stderr


@pytest.mark.parametrize("arguments", [["nowhere.yaml"], [], [".", "--format", "xml"]])
def test_wrong_usage(arguments, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert run(*arguments).exit_code == 2


def test_a_folder_without_a_record(tmp_path):
    result = run(tmp_path)
    assert result.exit_code == 2 and f"found     no record.yaml in {tmp_path}" in result.stderr
