"""The template of a new record is valid once it is filled, all its suggestions included."""

import re

import pytest

from lidoff.record.load import load_text
from lidoff.record.template import KnownNames, new_record, template, yaml_text

FILLED = {"kind": "wall-charger", "connector": "usb-c"}


def filled(text: str) -> str:
    for name, value in FILLED.items():
        text = text.replace(f"<{name}>", value)
    return text


def fresh(brand: str = "Fernhollow", model: str = "FH-65", known: KnownNames = KnownNames()) -> str:
    path, schema = "entries/fernhollow/fh-65/record.yaml", "../../../schema/record.schema.json"
    return new_record(brand, model, "2026-03-09", path, schema, known)


def test_a_new_record_asks_only_for_what_nobody_can_derive() -> None:
    findings = load_text(fresh(), "record.yaml").findings
    asked = [("record-word", "product.kind"), ("record-word", "ports[0].connector")]
    assert [(finding.rule, finding.field) for finding in findings] == asked
    assert set(re.findall(r"<([a-z]+)>", fresh())) == set(FILLED)


def test_a_filled_template_is_a_record() -> None:
    loaded = load_text(filled(fresh()), "record.yaml")
    assert loaded.findings == () and loaded.record.status == "draft"
    assert loaded.record.teardown.date == "2026-03-09"


def test_every_suggestion_of_the_template_is_valid() -> None:
    lines = [line if line.startswith("##") else re.sub(r"^# ", "", line) for line in filled(fresh()).splitlines()[1:]]
    loaded = load_text("\n".join(lines), "record.yaml")
    assert loaded.findings == ()
    record = loaded.record
    assert record.components and record.magnetics and record.photos
    assert record.measured.efficiency and record.ports[0].advertised
    assert record.product.name and record.teardown.by and record.conversion.evidence and record.port_sharing


def test_the_editor_line_comes_first_and_may_be_left_out() -> None:
    assert fresh().splitlines()[0] == "# yaml-language-server: $schema=../../../schema/record.schema.json"
    without = new_record("A", "B", "2026-03-09", "entries/a/b/record.yaml", None, KnownNames())
    assert without.startswith("## A record of one opened charger.")


def test_known_names_are_listed_in_comments() -> None:
    known = KnownNames(("Fernhollow", "Arden"), tuple(f"Maker {number:03}" for number in range(80)), ("SO-8", "0603"))
    text = fresh(known=known)
    assert "## Brands in this knowledge base: Arden, Fernhollow\n" in text
    assert '## Packages: "0603", SO-8\n' in text
    assert "Maker 059" in text and "Maker 060" not in text
    assert max(map(len, text.splitlines())) <= 140
    assert "<brands>" not in fresh() and "Makers of parts" not in fresh()


NAMES = (
    "Fernhollow", "C++", "No", "4.70", 'A "quoted" one', "a: b", "# 1", "[x]", "é", "12:30", "- a", "back\\slash",
    "@x", "yes",
)  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_any_name_survives_being_written(name: str) -> None:
    record = load_text(filled(fresh(brand=name, model=name)), "record.yaml").record
    assert record.product.brand == record.product.model == name
    assert yaml_text("Pell Lane") == "Pell Lane"


def test_the_template_explains_itself_in_comments() -> None:
    assert template().isascii() or "—" not in template()
    assert sum(1 for line in template().splitlines() if line.startswith("##")) > 10
