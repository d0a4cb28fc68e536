"""Findings as text, JSON, annotations of a pull request and SARIF."""

import json
import re
from dataclasses import replace

import pytest

from lidoff.finding import Finding, Place
from lidoff.record.rules import FILE_RULES
from lidoff.reports import as_github, as_json, as_sarif, as_text
from lidoff.reports.progress import progress_bar

ERROR = Finding(
    rule="record-number",
    severity="error",
    path="entries/fernhollow/fh-45/record.yaml",
    line=14,
    column=20,
    field="ports[0].label[1].voltage_max_v",
    found='"16" (text)',
    expected="a number of volts, 3 to 50",
    fix="remove the quotes: voltage_max_v: 16",
)
WARNING = replace(
    ERROR, rule="odd-thing", severity="warning", path="a b/50%,c:d.yaml", line=2, column=3, field="",
    found="100 %\nof it", source="common practice, no source",
    related=(Place("other.yaml", 4, 5, "ports[0].id"),), inputs="0a1b2c3d",
)  # fmt: skip

FORM = """\
entries/fernhollow/fh-45/record.yaml:14:20: error[record-number] ports[0].label[1].voltage_max_v
  found     "16" (text)
  expected  a number of volts, 3 to 50
  fix       remove the quotes: voltage_max_v: 16
1 record: 1 error
"""


def test_text_has_the_form_of_the_design() -> None:
    assert as_text([ERROR], 1) == FORM


def test_text_shows_what_else_belongs_to_a_finding() -> None:
    text = as_text([WARNING], 2)
    assert "  see       other.yaml:4:5 ports[0].id\n" in text
    assert "  source    common practice, no source\n" in text
    assert '  inputs    "0a1b2c3d"\n' in text
    assert "a b/50%,c:d.yaml:2:3: warning[odd-thing]\n" in text
    answered = as_text([replace(WARNING, severity="note", answer="It was measured twice.")], 2)
    assert "  answered  It was measured twice.\n" in answered and "inputs" not in answered


@pytest.mark.parametrize(
    ("findings", "records", "line"),
    [
        ([], 0, "0 records: nothing found"),
        ([], 1, "1 record: nothing found"),
        ([ERROR, ERROR, WARNING], 3, "3 records: 2 errors, 1 warning"),
        ([replace(WARNING, severity="note")], 6, "6 records: 1 note"),
    ],
)
def test_the_last_line_counts(findings: list, records: int, line: str) -> None:
    assert as_text(findings, records).splitlines()[-1] == line


def test_only_the_severity_is_painted() -> None:
    painted = as_text([ERROR], 1, lambda text, severity: f"<{severity}>{text}</>")
    assert painted.replace("<error>", "").replace("</>", "") == FORM


def test_json_has_the_shape_of_the_design() -> None:
    document = json.loads(as_json([ERROR, WARNING], 7))
    assert list(document) == ["records", "findings"] and document["records"] == 7
    assert document["findings"][0] == {
        "rule": "record-number", "severity": "error", "path": ERROR.path, "line": 14, "column": 20,
        "field": ERROR.field,
        "found": '"16" (text)', "expected": ERROR.expected, "fix": ERROR.fix, "source": "", "related": [],
    }  # fmt: skip
    (related,) = document["findings"][1]["related"]
    assert related == {"path": "other.yaml", "line": 4, "column": 5, "field": "ports[0].id"}
    assert document["findings"][1]["inputs"] == "0a1b2c3d"


def test_github_annotations_are_one_escaped_line_each() -> None:
    first, second = as_github([ERROR, WARNING]).splitlines()
    assert first == (
        "::error file=entries/fernhollow/fh-45/record.yaml,line=14,col=20,title=record-number::"
        "ports[0].label[1].voltage_max_v%0A"
        'found: "16" (text)%0Aexpected: a number of volts, 3 to 50%0Afix: remove the quotes: voltage_max_v: 16'
    )
    beginning = "::warning file=a b/50%25%2Cc%3Ad.yaml,line=2,col=3,title=odd-thing::found: 100 %25%0Aof it%0A"
    assert second.startswith(beginning)
    assert as_github([replace(WARNING, severity="note")]).startswith("::notice ")


def test_sarif_has_what_the_standard_asks_for() -> None:
    log = json.loads(as_sarif([ERROR, WARNING, replace(ERROR, path="/abs/r.yaml")], FILE_RULES))
    assert log["version"] == "2.1.0" and log["$schema"].endswith("sarif-2.1.0.json")
    (run,) = log["runs"]
    driver = run["tool"]["driver"]
    assert driver["name"] and [rule["id"] for rule in driver["rules"]] == ["odd-thing", "record-number"]
    assert run["columnKind"] == "unicodeCodePoints"
    for result in run["results"]:
        assert driver["rules"][result["ruleIndex"]]["id"] == result["ruleId"]
        assert result["level"] in {"none", "note", "warning", "error"}
        assert result["message"]["text"]
        for location in [*result["locations"], *result.get("relatedLocations", ())]:
            physical = location["physicalLocation"]
            assert re.fullmatch(r"[A-Za-z0-9._~/%:-]+", physical["artifactLocation"]["uri"])
            assert physical["region"]["startLine"] >= 1 and physical["region"]["startColumn"] >= 1
    described = driver["rules"][1]
    assert described["shortDescription"]["text"] and described["fullDescription"]["text"]
    assert described["defaultConfiguration"]["level"] == "error"
    assert run["results"][2]["locations"][0]["physicalLocation"]["artifactLocation"] == {"uri": "file:///abs/r.yaml"}


def test_sarif_of_nothing_is_a_log_all_the_same() -> None:
    assert json.loads(as_sarif([], FILE_RULES))["runs"][0]["results"] == []


def test_no_progress_is_drawn_when_piped(capsys: pytest.CaptureFixture) -> None:
    with progress_bar("checking") as progress:
        for done in range(500):
            progress(done, 500)
    assert capsys.readouterr() == ("", "")
