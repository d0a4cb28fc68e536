"""Every figure has a page with its formula, range, assumptions and source; every rule has a page with its reason."""

import re
from collections.abc import Mapping
from typing import Any

import pytest

from lidoff.checks import all_rules
from lidoff.checks.check import RecordCheck
from lidoff.figures.catalogue import KINDS
from lidoff.pages.docstrings import documentation
from lidoff.pages.views.check import check_view
from lidoff.pages.views.method import uses
from lidoff.record.reference import fields, vocabularies
from lidoff.rule import Rule


def words(tree: Any) -> str:
    return " ".join(" ".join(tree.itertext()).replace("\u00a0", " ").split())


@pytest.mark.parametrize("figure_id", sorted(KINDS))
def test_each_figure_has_a_page_with_formula_inputs_and_source(figure_id: str, trees: Mapping[str, Any]) -> None:
    tree, kind = trees[f"/methods/{figure_id}/"], KINDS[figure_id]
    text = words(tree)
    assert kind.title in text and kind.explanation in text
    has_formula = any(str(element.tag).endswith("}math") for element in tree.iter())
    assert has_formula or "No equation" in text, "a formula, or the reason why there is none"
    found = documentation(kind.function)
    assert found.references and all(reference in text for reference in found.references)
    assert found.parameters and found.summary in text
    assert found.example and found.example.splitlines()[0] in "".join(tree.itertext())


@pytest.mark.parametrize("figure_id", sorted(KINDS))
def test_no_mark_of_the_docstring_is_left_over(figure_id: str, trees: Mapping[str, Any]) -> None:
    pieces = "".join(trees[f"/methods/{figure_id}/"].itertext()).split(">>>")[0]
    for mark in (":math:", ".. math", "``", "]_", "\\frac", "\\text"):
        assert mark not in pieces, f"{mark} in {figure_id}"


def test_a_method_page_shows_a_worked_example_from_a_record(trees: Mapping[str, Any]) -> None:
    text = words(trees["/methods/power_density_w_per_cm3/"])
    # 65 W over 58 x 41.5 x 29 mm are 0.93119... W/cm³
    assert re.search(r"Fernhollow FH-65 : 0\.931\d? (± 0\.\d+ )?W/cm³", text)
    assert "product.rated_power_w 65 W" in text and "measured.body_mm.size[0] 58 mm" in text


def test_a_check_that_reads_a_figure_is_named_on_its_page() -> None:
    rule = Rule("sample", "t", "note", "record", "w", "s")
    check = RecordCheck(rule, test_a_check_that_reads_a_figure_is_named_on_its_page)
    assert uses(check, "stored_energy_j"), 'this module names "stored_energy_j"'
    assert not uses(check, "no_such_" + "figure")


@pytest.mark.parametrize("rule", all_rules(), ids=lambda rule: rule.id)
def test_each_rule_has_a_page_with_its_reason_and_source(rule: Rule, trees: Mapping[str, Any]) -> None:
    text = words(trees[f"/checks/{rule.id}/"])
    assert " ".join(rule.title.split()) in text and " ".join(rule.why.split()) in text and rule.source in text


def test_a_check_page_names_the_products_it_speaks_of(trees: Mapping[str, Any]) -> None:
    assert "Fernhollow FH-65" in words(trees["/checks/missing-file/"])
    assert "In no published record." in words(trees["/checks/duplicate-name/"])


@pytest.mark.parametrize(
    ("given", "is_markup"), [(r"\frac{1}{2} C V^{2}", True), ("The sum of all ports.", False), (None, False)]
)
def test_a_rule_s_formula_is_set_or_said(given: str | None, is_markup: bool) -> None:
    view = check_view(Rule("sample", "t", "note", "record", "w", "s", given), (), "../../")
    assert ("<math" in view.formula) == is_markup


def test_the_field_reference_holds_every_field_of_the_schema(trees: Mapping[str, Any]) -> None:
    page = trees["/fields/"]
    codes = {"".join(element.itertext()) for element in page.iter("code")}
    headings = {element.get("id") for element in page.iter("h2")}
    known = tuple(fields())
    assert len(known) > 480
    assert [field.path for field in known if field.path not in codes | headings] == []
    text = words(page)
    assert [field.path for field in known if " ".join(field.description.split()) not in text] == []
    assert "photos[].emissivity required for thermal a number, 0.01 to 1" in text


def test_the_vocabulary_defines_every_word(trees: Mapping[str, Any]) -> None:
    text = words(trees["/vocabulary/"])
    known = [word for vocabulary in vocabularies() for word in vocabulary.words]
    assert len(known) > 450
    assert [word.word for word in known if f"{word.word} " not in text or word.meaning not in text] == []
    assert "flyback-quasi-resonant quasi-resonant flyback flyback, switched in the valley" in text
