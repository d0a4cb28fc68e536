"""``lidoff part``: what a print was taken for before, in part readable too, disagreement, and the block to reuse."""

import json
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from lidoff.cli import main
from lidoff.record.load import load_text
from lidoff.reports.former_parts import fit_of

SECOND = """schema: 1
status: published
product: {{brand: Hazelmere, model: HZ-30, kind: wall-charger}}
teardown: {{date: 2026-03-09}}
ports: [{{id: C1, connector: usb-c}}]
components:
  - ref: Q7
    roles: [primary-switch]
    marking: {{lines: [{lines}], state: legible}}
    maker: Tarn Semiconductor
    part_number: {number}
    identified_by: printed-code
    strength: certain
"""


@pytest.fixture
def base(knowledge_base: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(knowledge_base)
    return knowledge_base


def add(base: Path, lines: str, number: str) -> None:
    folder = base / "entries" / "hazelmere" / "hz-30"
    folder.mkdir(parents=True)
    (folder / "record.yaml").write_text(SECOND.format(lines=lines, number=number), encoding="utf-8")


def part(*arguments: str):
    return CliRunner().invoke(main, ["part", *arguments])


def test_a_print_with_its_unreadable_sign(base: Path) -> None:
    result = part("QS65", "?150")
    assert result.exit_code == 0
    assert result.stdout.splitlines()[:3] == [
        "Quillstone QS650-R150",
        "  Fernhollow FH-65 Q1, primary-switch: whole print QS65 / ?150; printed-code, likely",
        "    entries/fernhollow/fh-65/record.yaml:161",
    ]
    (block,) = yaml.safe_load(result.stdout.partition("\n\n")[2])
    assert block == {
        "ref": "<ref>", "roles": ["primary-switch"], "technology": "gan-enhancement", "maker": "Quillstone",
        "part_number": "QS650-R150", "marking": {"lines": ["QS65", "?150"], "state": "partial"},
        "identified_by": "printed-code", "strength": "likely", "package": "DFN 8x8",
        "ratings": {"voltage_v": 650, "voltage_transient_v": 800, "current_a": 11, "rds_on_mohm": 150},
    }  # fmt: skip


def test_the_block_can_go_into_a_record(base: Path, sample_text: str) -> None:
    block = part("QS2210").stdout.partition("\n\n")[2].replace('"<ref>"', "U99")
    assert "2538" not in block  # the date code of another part is no print of this one
    lines = [f"  {line}" for line in block.splitlines()]
    text = sample_text.replace("\ncomponents:\n", "\ncomponents:\n" + "\n".join(lines) + "\n")
    loaded = load_text(text, "record.yaml")
    assert loaded.findings == ()
    assert loaded.record.components[0].part_number == "QS2210"


def test_what_fits_only_in_part_is_no_surer_than_that(base: Path) -> None:
    for wanted in ("QS65R150", "QS650-R15?"):
        result = part(wanted)
        assert "as far as it can be read" in result.stdout, wanted
        (block,) = yaml.safe_load(result.stdout.partition("\n\n")[2])
        assert "strength" not in block and "identified_by" not in block and "marking" not in block
        assert "say what yours rests on" in result.stdout


def test_records_that_disagree(base: Path) -> None:
    add(base, '"QS22", "10"', "TN-9")
    result = part("QS2210")
    assert "Records disagree: it was taken for Quillstone QS2210; Tarn Semiconductor TN-9" in result.stdout
    data = json.loads(part("QS2210", "--format", "json").stdout)
    assert data["conflict"] is True
    assert [(place["product"], place["ref"], place["strength"]) for place in data["places"]] == [
        ("Fernhollow FH-65", "U1", "certain"), ("Hazelmere HZ-30", "Q7", "certain"),
    ]  # fmt: skip
    (block,) = yaml.safe_load(data["block"])
    assert [one["part_number"] for one in block["candidates"]] == ["QS2210", "TN-9"]
    assert "part_number" not in block and "strength" not in block


def test_candidates_and_other_samples_are_told_as_such_and_give_no_block(base: Path) -> None:
    text = part("TN100-4").stdout
    assert "part number that it could be TN100-4; guess" in text
    assert text.endswith("No identification to reuse.\n")
    assert "line of the print TN 68 400; on another sample" in part("TN 68 400").stdout.replace(
        "whole print", "line of the print"
    )


def test_a_piece_of_a_longer_text(base: Path) -> None:
    result = part("65?150")
    assert "QS65 / ?150, as a piece of it" in result.stdout
    assert result.stdout.endswith("No identification to reuse.\n")


def test_drafts_unreadable_records_and_nothing_found(base: Path) -> None:
    add(base, '"ZZ9"', "ZZ9")
    file = base / "entries" / "hazelmere" / "hz-30" / "record.yaml"
    file.write_text(file.read_text(encoding="utf-8").replace("published", "draft"), encoding="utf-8")
    assert "Hazelmere HZ-30 (draft) Q7" in part("zz-9").stdout
    file.write_text(file.read_text(encoding="utf-8").replace("primary-switch", "primary-swich"), encoding="utf-8")
    result = part("zz-9")
    assert (result.exit_code, result.stdout) == (0, "zz-9 was not seen before, in 2 records\n")
    assert result.stderr == "passed over for errors, which `lidoff check` tells: entries/hazelmere/hz-30/record.yaml\n"


@pytest.mark.parametrize("wanted", ["?", "a", "??", "--", "?1?"])
def test_too_little_to_look_for(base: Path, wanted: str) -> None:
    result = part("--", wanted)
    assert result.exit_code == 2
    assert "at least two letters or digits" in result.stderr


SIGNS = st.text(st.sampled_from("AB1?"), min_size=1, max_size=6)


@given(SIGNS, SIGNS)
def test_fitting_is_the_same_seen_from_either_side(one: str, other: str) -> None:
    if len(one) == len(other):
        assert fit_of(one, other) == fit_of(other, one)
    if fit_of(one, other) == "unreadable":
        assert all(a == b or "?" in (a, b) for a, b in zip(one, other, strict=True))
        assert sum(a == b != "?" for a, b in zip(one, other, strict=True)) >= 2


@given(st.text(st.sampled_from("ABC12"), min_size=3, max_size=8), st.data())
def test_a_print_fits_itself_with_signs_hidden_and_any_piece_of_it(text: str, data: st.DataObject) -> None:
    hidden = data.draw(st.integers(0, len(text) - 1))
    assert fit_of(text[:hidden] + "?" + text[hidden + 1 :], text) == "unreadable"
    start = data.draw(st.integers(0, len(text) - 3))
    assert fit_of(text[start : start + 3], text) == ("exact" if len(text) == 3 else "inside")
