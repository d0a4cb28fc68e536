"""Records written without sight of the checks: what is said of sound ones, and whether planted faults are found.

``blind/sound`` holds twenty invented records in which everything is meant to be right; a warning there is a false
alarm. ``blind/faulty`` holds twenty more with one fault each, told in plain words in ``faults.yaml`` together with the
rule that ought to find it. A record is changed only where it is truly wrong, never to please a check.
"""

from collections import Counter
from functools import cache
from pathlib import Path
from statistics import median

import pytest
import yaml

from lidoff.checks import all_rules
from lidoff.finding import Finding
from lidoff.pipeline import CheckResult, check
from lidoff.settings import read_settings

BLIND = Path(__file__).parent / "blind"
FAULTS = yaml.safe_load((BLIND / "faulty" / "faults.yaml").read_text(encoding="utf-8"))["faults"]
RECORDS = 20
MOST_WARNINGS = 2
LEAST_FOUND = 19


@cache
def result_of(collection: str) -> CheckResult:
    return check(read_settings(BLIND / collection / "mkdocs.yml"))


def records_of(collection: str) -> list[str]:
    """Paths of the records of a collection, as brand/model."""
    entries = BLIND / collection / "entries"
    return sorted(path.parent.relative_to(entries).as_posix() for path in entries.glob("*/*/record.yaml"))


def about(finding: Finding, record: str) -> bool:
    return finding.path == f"entries/{record}/record.yaml"


def is_found(fault: dict) -> bool:
    """Whether the fault's rule says at least a warning about its record."""
    return any(
        about(finding, fault["record"]) and finding.rule == fault["rule"] and finding.severity != "note"
        for finding in result_of("faulty").findings
    )


def test_sound_records_have_no_errors() -> None:
    result = result_of("sound")
    assert result.records == len(records_of("sound")) == RECORDS
    assert [finding for finding in result.findings if finding.severity == "error"] == []


def test_sound_records_have_next_to_no_warnings() -> None:
    warnings = Counter(finding.path for finding in result_of("sound").findings if finding.severity == "warning")
    counts = [warnings[f"entries/{record}/record.yaml"] for record in records_of("sound")]
    assert median(counts) == 0
    assert max(counts) <= MOST_WARNINGS, warnings


def test_each_faulty_record_has_one_fault_and_a_rule_that_exists() -> None:
    assert sorted(fault["record"] for fault in FAULTS) == records_of("faulty")
    assert len({fault["fault"] for fault in FAULTS}) == len(FAULTS) == RECORDS
    assert {fault["rule"] for fault in FAULTS} <= {rule.id for rule in all_rules()}


def test_planted_faults_are_found_by_their_rules() -> None:
    missed = [f"{fault['record']}: {fault['fault']}" for fault in FAULTS if not is_found(fault)]
    assert len(FAULTS) - len(missed) >= LEAST_FOUND, missed


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault["record"])
def test_a_rule_says_nothing_of_the_record_before_its_fault_was_planted(fault: dict) -> None:
    """The faulty records are variants of the sound ones: what the rule finds is the fault, not something else there."""
    brand = fault["record"].partition("/")[0]
    sound = [record for record in records_of("sound") if record.startswith(f"{brand}/")]
    said = [one for one in result_of("sound").findings if one.rule == fault["rule"] and one.severity != "note"]
    assert len(sound) == 1 and not any(about(one, sound[0]) for one in said)
