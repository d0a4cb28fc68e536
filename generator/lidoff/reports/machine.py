"""Findings for programs: JSON, annotations of a pull request, and SARIF 2.1.0."""

import json
from collections.abc import Sequence
from pathlib import PurePosixPath
from urllib.parse import quote

from lidoff import __version__
from lidoff.finding import Finding, Place
from lidoff.rule import Rule

_GITHUB_LEVELS = {"error": "error", "warning": "warning", "note": "notice"}


def as_json(findings: Sequence[Finding], records: int) -> str:
    """All findings as one JSON document."""
    document = {"records": records, "findings": [_plain(finding) for finding in findings]}
    return json.dumps(document, ensure_ascii=False, indent=2) + "\n"


def as_github(findings: Sequence[Finding]) -> str:
    """One workflow command a finding, which GitHub shows at the changed line."""
    return "".join(f"{_command(finding)}\n" for finding in findings)


def as_sarif(findings: Sequence[Finding], rules: Sequence[Rule]) -> str:
    """A log of the Static Analysis Results Interchange Format, version 2.1.0."""
    known = {rule.id: rule for rule in rules}
    used = sorted({finding.rule for finding in findings})
    index = {rule: number for number, rule in enumerate(used)}
    driver = {"name": "Lidoff", "version": __version__, "rules": [_sarif_rule(rule, known.get(rule)) for rule in used]}
    run = {
        "tool": {"driver": driver},
        "columnKind": "unicodeCodePoints",
        "results": [_sarif_result(finding, index[finding.rule]) for finding in findings],
    }
    document = {"$schema": "https://json.schemastore.org/sarif-2.1.0.json", "version": "2.1.0", "runs": [run]}
    return json.dumps(document, ensure_ascii=False, indent=2) + "\n"


def _plain(finding: Finding) -> dict:
    plain: dict = {
        name: getattr(finding, name)
        for name in ("rule", "severity", "path", "line", "column", "field", "found", "expected", "fix", "source")
    }
    plain["related"] = [
        {"path": place.path, "line": place.line, "column": place.column, "field": place.field}
        for place in finding.related
    ]
    extras = {"inputs": finding.inputs, "answer": finding.answer}
    return plain | {name: value for name, value in extras.items() if value}


def _message(finding: Finding) -> str:
    lines = [finding.field] if finding.field else []
    lines += [f"found: {finding.found}", f"expected: {finding.expected}", f"fix: {finding.fix}"]
    return "\n".join(lines)


def _command(finding: Finding) -> str:
    properties = {"file": finding.path, "line": finding.line, "col": finding.column, "title": finding.rule}
    written = ",".join(f"{name}={_escaped_property(str(value))}" for name, value in properties.items())
    return f"::{_GITHUB_LEVELS[finding.severity]} {written}::{_escaped(_message(finding))}"


def _escaped(text: str) -> str:
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _escaped_property(text: str) -> str:
    return _escaped(text).replace(":", "%3A").replace(",", "%2C")


def _sarif_rule(rule_id: str, rule: Rule | None) -> dict:
    if rule is None:
        return {"id": rule_id}
    return {
        "id": rule_id,
        "shortDescription": {"text": rule.title},
        "fullDescription": {"text": rule.why},
        "help": {"text": f"Source: {rule.source}"},
        "defaultConfiguration": {"level": rule.severity},
    }


def _sarif_result(finding: Finding, rule_index: int) -> dict:
    location = _sarif_location(finding.path, finding.line, finding.column)
    if finding.field:
        location["logicalLocations"] = [{"fullyQualifiedName": finding.field, "kind": "member"}]
    result = {
        "ruleId": finding.rule,
        "ruleIndex": rule_index,
        "level": finding.severity,
        "message": {"text": _message(finding)},
        "locations": [location],
    }
    if finding.related:
        result["relatedLocations"] = [_sarif_related(number, place) for number, place in enumerate(finding.related)]
    return result


def _sarif_related(number: int, place: Place) -> dict:
    location = _sarif_location(place.path, place.line, place.column)
    return {"id": number, **location, "message": {"text": place.field or "see also"}}


def _sarif_location(path: str, line: int, column: int) -> dict:
    absolute = PurePosixPath(path).is_absolute()
    artifact = {"uri": f"file://{quote(path)}"} if absolute else {"uri": quote(path), "uriBaseId": "%SRCROOT%"}
    return {"physicalLocation": {"artifactLocation": artifact, "region": {"startLine": line, "startColumn": column}}}
