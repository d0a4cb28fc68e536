"""Logs on their way through a build: read once for each record, given to figures, checks and pages, never in the way of others."""

import json
import os
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from lidoff.cli import main
from lidoff.live import LiveCollection
from lidoff.pipeline import check, prepare
from lidoff.settings import read_settings

RECORD = "entries/fernhollow/fh-65/record.yaml"
LOG = "entries/fernhollow/fh-65/logs/phone.csv"
AT = "measured.charging[0]"
GOOD = "t,v,i\n" + "".join(f"{second},20.0,3.0\n" for second in range(61))


@pytest.fixture
def base(knowledge_base: Path) -> Path:
    (knowledge_base / LOG).write_text(GOOD, encoding="utf-8")
    return knowledge_base


def findings(base: Path) -> list[tuple[str, str, str, list[tuple[str, int]]]]:
    found = check(read_settings(base / "mkdocs.yml")).findings
    return [
        (one.severity, one.field, one.found, [(place.path, place.line) for place in one.related])
        for one in found
        if one.rule == "log-readable"
    ]


def test_an_entry_has_what_its_logs_say(base: Path) -> None:
    (entry,) = prepare(read_settings(base / "mkdocs.yml")).shown
    assert entry.logs[AT].charge.energy == pytest.approx(3600)
    assert entry.figures.value("charge_energy_wh") == pytest.approx(1.0)
    assert entry.figures.value("charge_peak_w") == pytest.approx(60)
    assert findings(base) == []


def test_the_assumptions_of_the_knowledge_base_hold(base: Path) -> None:
    (base / LOG).write_text(GOOD + "66,20.0,3.0\n", encoding="utf-8")
    config = base / "mkdocs.yml"
    assert prepare(read_settings(config)).shown[0].figures.value("charge_energy_wh") == pytest.approx(1.0)
    config.write_text(
        config.read_text().replace("  - lidoff\n", "  - lidoff:\n      assumptions: {log_gap_ratio: 10}\n")
    )
    assert prepare(read_settings(config)).shown[0].figures.value("charge_energy_wh") == pytest.approx(1.1)


@pytest.mark.parametrize(
    ("content", "found", "line"),
    [
        (b"", "an empty file", 1),
        (b"PK\x03\x04", "a spreadsheet or another archive", 1),
        (b"t,volts,i\n0,5,1\n", 'no column "v"; the headings are "t", "volts", "i"', 1),
        (b"t,v,i\n", "no row below the headings", 1),
        (b"t,v,i\n0,a,1\n1,b,1\n2,c,1\n", 'text in most cells of "v"', 2),
    ],
)
def test_a_bad_file_gives_one_finding_and_hides_no_other(base: Path, content: bytes, found: str, line: int) -> None:
    other = base / "entries" / "fernhollow" / "fh-66"
    shutil.copytree(base / "entries" / "fernhollow" / "fh-65", other)
    record = other / "record.yaml"
    record.write_text(
        record.read_text(encoding="utf-8")
        .replace("model: FH-65", "model: FH-66")
        .replace("rated_power_w: 65", "rated_power_w: x")
    )
    (base / LOG).write_bytes(content)
    ((severity, field, said, places),) = findings(base)
    assert severity == "error" and said == f"logs/phone.csv: {found}" and places == [(LOG, line)]
    assert field in (f"{AT}.log", f"{AT}.columns.voltage_v")
    result = check(read_settings(base / "mkdocs.yml"))
    assert result.failed and result.records == 2
    assert any(one.path.endswith("fh-66/record.yaml") and one.severity == "error" for one in result.findings)


def test_a_file_of_200_mb_is_told_and_not_read(base: Path) -> None:
    with (base / LOG).open("wb") as file:
        file.truncate(200_000_000)
    assert [found for _, _, found, _ in findings(base)] == ["logs/phone.csv: a file of 200 MB"]


def test_a_missing_file_is_told_once_by_its_own_check(base: Path) -> None:
    (base / LOG).unlink()
    found = check(read_settings(base / "mkdocs.yml")).findings
    assert [one.rule for one in found if one.severity == "error"] == ["missing-file"]


def test_no_link_is_followed(base: Path) -> None:
    outside = base / "outside.csv"
    outside.write_text(GOOD, encoding="utf-8")
    (base / LOG).unlink()
    os.symlink(outside, base / LOG)
    prepared = prepare(read_settings(base / "mkdocs.yml"))
    assert [dict(one.entry().logs) for one in prepared.collection.examined] == [{}]
    assert "entry-link" in {one.rule for one in prepared.findings}


def test_a_preview_reads_a_log_again_that_was_edited(base: Path) -> None:
    live = LiveCollection(prepare(read_settings(base / "mkdocs.yml")))
    assert live.refresh() == frozenset()
    (base / LOG).write_text(GOOD + "61,20.0,3.0\n", encoding="utf-8")
    assert live.refresh() == {"/products/fernhollow/fh-65/"}
    assert live.prepared.shown[0].figures.value("charge_energy_wh") == pytest.approx(61 / 60)
    assert live.refresh() == frozenset()


def test_the_command_figures_reads_logs(base: Path) -> None:
    run = CliRunner().invoke(main, ["figures", str(base / RECORD), "--format", "json"])
    assert run.exit_code == 0, run.output
    energy = next(one for one in json.loads(run.stdout) if one["id"] == "charge_energy_wh")
    assert energy["value"] == pytest.approx(1.0) and energy["inputs"] == [
        {"field": f"{AT}.log", "value": 61.0, "unit": "samples"}
    ]


def test_the_same_log_gives_the_same_bytes(base: Path) -> None:
    entries = [prepare(read_settings(base / "mkdocs.yml")).shown[0] for _ in range(2)]
    assert entries[0].logs == entries[1].logs
