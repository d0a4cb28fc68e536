"""SARIF logs held against the standard's JSON schema, 2.1.0-rtm.5, as the npm package @microsoft/jest-sarif has it."""

import json
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest

from lidoff.checks import all_rules
from lidoff.finding import Finding
from lidoff.pipeline import check
from lidoff.record.load import load_text
from lidoff.reports import as_sarif
from lidoff.settings import read_settings

ROOT = Path(__file__).resolve().parents[2]
BAD = ROOT / "tests" / "record" / "bad"

pytestmark = pytest.mark.long


@pytest.fixture(scope="module")
def validator(node_modules: Path) -> jsonschema.Draft4Validator:
    """The schema of the standard, which is of JSON Schema's draft 4."""
    file = node_modules / "@microsoft" / "jest-sarif" / "lib" / "schemas" / "sarif-2.1.0-rtm.5.json"
    schema = json.loads(file.read_text(encoding="utf-8"))
    assert schema["$schema"].startswith("http://json-schema.org/draft-04/")
    return jsonschema.Draft4Validator(schema, format_checker=jsonschema.Draft4Validator.FORMAT_CHECKER)


def of_bad_records() -> tuple[Finding, ...]:
    """Every finding of the records that tests hold for bad."""
    return tuple(one for file in sorted(BAD.glob("*.yaml")) for one in load_text(file.read_bytes(), file.name).findings)


def of_the_demo() -> tuple[Finding, ...]:
    """Every finding of the demo, whose warnings name sources and other places."""
    return check(read_settings(ROOT / "mkdocs.yml")).findings


@pytest.mark.parametrize(("findings", "least"), [(of_bad_records, 100), (of_the_demo, 1), (tuple, 0)])
def test_a_log_is_valid(
    validator: jsonschema.Draft4Validator, findings: Callable[[], tuple[Finding, ...]], least: int
) -> None:
    found = findings()
    assert len(found) >= least
    validator.validate(json.loads(as_sarif(found, all_rules())))


def test_a_broken_log_is_refused(validator: jsonschema.Draft4Validator) -> None:
    log = json.loads(as_sarif(of_bad_records(), all_rules()))
    log["runs"][0]["results"][0]["level"] = "fatal"
    with pytest.raises(jsonschema.ValidationError, match="'fatal' is not one of"):
        validator.validate(log)
