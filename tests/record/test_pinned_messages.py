"""Every rule of reading a record has bad records whose whole message is pinned, and near misses that stay clean."""

from pathlib import Path

import pytest

from lidoff.record.load import load_text
from lidoff.record.rules import FILE_RULES
from lidoff.reports import as_text

HERE = Path(__file__).parent
BAD = sorted((HERE / "bad").glob("*.yaml"))
GOOD = sorted((HERE / "good").glob("*.yaml"))
# tested where a file or a folder is needed: test_load.py and test_collection.py
ELSEWHERE = {"record-file"} | {rule.id for rule in FILE_RULES if rule.id.startswith("entry-")}


def rule_of(file: Path) -> str:
    return file.stem.split("_")[0]


def name_of(file: Path) -> str:
    return file.stem


@pytest.mark.parametrize("file", BAD, ids=name_of)
def test_a_bad_record_is_told_as_pinned(file: Path, request: pytest.FixtureRequest) -> None:
    loaded = load_text(file.read_bytes(), "record.yaml")
    told = as_text(loaded.findings, 1)
    pinned = file.with_suffix(".txt")
    if request.config.getoption("--refresh-expected"):
        pinned.write_text(told, encoding="utf-8")
    assert told == pinned.read_text(encoding="utf-8")
    rules = {finding.rule for finding in loaded.findings}
    # what is nested too deep stands in the wrong shape too
    assert rules - {"record-structure"} == {rule_of(file)} or rules == {rule_of(file)}


@pytest.mark.parametrize("file", BAD, ids=name_of)
def test_a_place_lies_in_the_file(file: Path) -> None:
    content = file.read_bytes()
    lines = content.decode("utf-8", "replace").split("\n")
    for finding in load_text(content, "record.yaml").findings:
        assert 1 <= finding.line <= len(lines)
        assert 1 <= finding.column <= len(lines[finding.line - 1]) + 1
        assert finding.found and finding.expected and finding.fix


@pytest.mark.parametrize("file", GOOD, ids=name_of)
def test_a_near_miss_stays_clean(file: Path) -> None:
    loaded = load_text(file.read_bytes(), "record.yaml")
    assert loaded.findings == ()
    assert loaded.record is not None


def test_every_rule_has_a_bad_record_and_a_near_miss() -> None:
    rules = {rule.id for rule in FILE_RULES} - ELSEWHERE
    assert {rule_of(file) for file in BAD} == rules
    assert {rule_of(file) for file in GOOD} == rules


def test_rules_are_well_formed() -> None:
    assert len({rule.id for rule in FILE_RULES}) == len(FILE_RULES)
    for rule in FILE_RULES:
        assert rule.severity == "error" and rule.scope == "file"
        assert rule.title and rule.why.endswith(".") and rule.source
