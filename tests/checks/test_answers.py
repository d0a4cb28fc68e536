"""Answers in a record: they turn a warning into a note, lapse when its inputs change, and are told of when unneeded."""

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from lidoff.checks.answers import answers_without_warning, apply_answers, digest
from lidoff.finding import Finding
from lidoff.pipeline import check
from lidoff.record.model.product import Answered
from lidoff.settings import read_settings

PATH = "entries/fernhollow/fh-65/record.yaml"
INPUTS = digest((3.95, 69.8))
WARNING = Finding(
    rule="mean-density", severity="warning", path=PATH, line=9, column=3, field="measured.mass_g", found="0.0566 g/cm³",
    expected="0.6 to 3.5 g/cm³", fix="weigh the unit alone", inputs=INPUTS,
)  # fmt: skip
ANSWER = Answered(rule="mean-density", why="It is hollow.", date="2026-03-10", field="measured.mass_g", inputs=INPUTS)
RULES = {"mean-density", "marking-decodes"}


def unneeded(answer: Answered, *findings: Finding) -> list[tuple[str, str, str]]:
    """Field, what was found and the fix of each notice on an answer."""
    notices = answers_without_warning(findings, {PATH: (answer,)}, RULES)
    return [(notice.field, notice.found, notice.fix) for path, notice in notices if path == PATH]


def test_an_answered_warning_is_a_note_that_carries_the_answer() -> None:
    assert apply_answers([WARNING], {PATH: (ANSWER,)}) == [replace(WARNING, severity="note", answer="It is hollow.")]


def test_an_answer_lapses_when_the_inputs_of_the_warning_change() -> None:
    changed = replace(WARNING, inputs=digest((4.95, 69.8)))
    (still,) = apply_answers([changed], {PATH: (ANSWER,)})
    assert still.severity == "warning" and still.answer is None
    assert f'not with inputs "{changed.inputs}"' in still.fix


@pytest.mark.parametrize("other", [{"rule": "marking-decodes"}, {"field": "measured.body_mm"}], ids=str)
def test_an_answer_to_something_else_changes_nothing(other: dict[str, str]) -> None:
    assert apply_answers([WARNING], {PATH: (replace(ANSWER, **other),)}) == [WARNING]


def test_an_answer_that_a_warning_asks_for_is_not_told_of() -> None:
    assert unneeded(ANSWER, WARNING) == []
    assert unneeded(replace(ANSWER, field=None, inputs=None), WARNING) == []


def test_a_lapsed_answer_is_told_of_at_its_warning_alone() -> None:
    assert unneeded(ANSWER, replace(WARNING, inputs=digest((4.95, 69.8)))) == []


def test_an_answer_to_a_warning_that_has_gone_can_be_taken_out() -> None:
    said = [("answered[0].rule", "mean-density, which warns of nothing here", "take the answer out")]
    assert unneeded(ANSWER) == said
    assert unneeded(ANSWER, replace(WARNING, severity="note")) == said
    assert unneeded(ANSWER, replace(WARNING, path="entries/fernhollow/fh-66/record.yaml")) == said


def test_an_answer_at_a_field_that_moved_names_the_field_that_warns() -> None:
    moved = replace(ANSWER, field="measured.mass")
    assert unneeded(moved, WARNING) == [
        (
            "answered[0].field",
            "measured.mass, of which mean-density does not warn",
            "write measured.mass_g if that is meant; else take the answer out",
        )
    ]


def test_an_answer_to_no_rule_names_the_nearest_one() -> None:
    assert unneeded(replace(ANSWER, rule="mean-densities"), WARNING) == [
        (
            "answered[0].rule",
            "mean-densities, which is no rule",
            "write mean-density if that is meant; else take the answer out",
        )
    ]


def test_the_whole_check_tells_of_an_unneeded_answer_at_its_place(knowledge_base: Path) -> None:
    record = knowledge_base / PATH
    text = record.read_text(encoding="utf-8")
    answer = "answered:\n  - {rule: mean-density, why: It is hollow., date: 2026-03-10}\n"
    record.write_text(text.replace("answered: []\n", answer), encoding="utf-8")
    line = record.read_text(encoding="utf-8").splitlines().index("answered:") + 2
    findings = check(read_settings(knowledge_base / "mkdocs.yml")).findings
    told = [finding for finding in findings if finding.rule == "answer-without-warning"]
    assert [(finding.severity, finding.path, finding.line, finding.field) for finding in told] == [
        ("note", PATH, line, "answered[0].rule")
    ]


def test_a_warning_of_the_whole_collection_can_be_answered(knowledge_base: Path) -> None:
    """Answers are applied after the last check, so that those that see all records can be explained too."""
    entries = knowledge_base / "entries" / "fernhollow"
    shutil.copytree(entries / "fh-65", entries / "fh65")
    twin = entries / "fh65" / "record.yaml"
    renamed = twin.read_text(encoding="utf-8").replace("  model: FH-65\n", "  model: FH65\n", 1)
    twin.write_text(renamed, encoding="utf-8")
    settings = read_settings(knowledge_base / "mkdocs.yml")
    (warned,) = [finding for finding in check(settings).findings if finding.rule == "same-product-twice"]
    assert warned.severity == "warning"
    explained = f'rule: same-product-twice, why: Two designs., date: 2026-03-10, inputs: "{warned.inputs}"'
    answer = f"answered:\n  - {{{explained}}}\n"
    record = knowledge_base / warned.path
    record.write_text(record.read_text(encoding="utf-8").replace("answered: []\n", answer), encoding="utf-8")
    (noted,) = [finding for finding in check(settings).findings if finding.rule == "same-product-twice"]
    assert (noted.severity, noted.answer) == ("note", "Two designs.")
