"""Products side by side: the same lines for each, differences in words, ready-made pages for tiers, parts, brands."""

import ast
import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from importlib import import_module
from pathlib import Path
from types import ModuleType
from typing import Any

import msgspec
import pytest

from lidoff import figures
from lidoff.entry import Entry
from lidoff.figures.figure import Figure
from lidoff.pages.absences import MEANINGS, absence_of
from lidoff.pages.context import Context
from lidoff.pages.views.comparison import comparison_view, difference, newest_six
from lidoff.pages.views.comparison_lines import Line, comparison_lines
from lidoff.pages.website import find_page
from lidoff.settings import Settings


def line(text: str, value: float | None = None, unit: str = "W") -> Line:
    return Line("s", "l", text, "", value, unit)


def gap(word: str) -> Line:
    return Line("s", "l", "", missing=word)


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        ([line("a"), line("a")], "the same"),
        ([line("a"), line("b")], "they differ"),
        ([line("a"), gap("not judged"), line("a")], "the same where known, 1 not judged"),
        ([line("a"), gap("not judged"), gap("not measured")], "known of First alone"),
        ([line("a"), line("b"), gap("does not apply"), gap("does not apply")], "they differ, 2 do not apply"),
        (
            [line("a"), gap("not measured"), line("b"), gap("not judged"), gap("not measured")],
            "they differ, 2 not measured, 1 not judged",
        ),
        ([line("65 W", 65.0), line("100 W", 100.0)], "Second most, 1.54 times First"),
        (
            [line("65 W", 65.0), line("100 W", 100.0), gap("not stated")],
            "Second most, 1.54 times First, 1 not stated",
        ),
        ([line("-2 %", -2.0), line("3 %", 3.0)], "Second most, First least"),
        ([line("0.6 USD/W", 0.6, "USD/W"), line("0.5 EUR/W", 0.5, "EUR/W")], "they differ"),
        ([line("65 W", 65.0), line("65 W, 20 W")], "they differ"),
    ],
)
def test_differences_in_words(lines: list[Line], said: str) -> None:
    names = ["First", "Second", "Third", "Fourth", "Fifth"][: len(lines)]
    assert difference(lines, names) == said


def test_each_product_has_the_same_lines_in_the_same_order(entries: tuple[Entry, ...]) -> None:
    labels = [[(one.section, one.label) for one in comparison_lines(entry)] for entry in entries]
    assert labels[0] == labels[1] == labels[2]
    assert len(labels[0]) == len(set(labels[0])) > 40


def test_a_line_says_value_both_systems_and_doubt(full_entry: Entry) -> None:
    lines = {one.label: one for one in comparison_lines(full_entry)}
    assert lines["Rated power"].text == "65\u00a0W" and lines["Rated power"].value == 65
    assert lines["Mass"].also == "3.95\u00a0oz"
    assert "likely" in lines["Primary switch"].text
    assert lines["PFC switch"].text == "none", "a converter without a boost stage has no switch of it"


def test_a_line_without_a_text_has_the_word_for_its_gap_and_no_other_line_has(entries: tuple[Entry, ...]) -> None:
    lines = [one for entry in entries for one in comparison_lines(entry)]
    assert {one.missing for one in lines if one.text} == {""}
    assert {one.missing for one in lines if not one.text} <= set(MEANINGS)


def test_the_gaps_of_a_bare_record_are_told_apart(bare_entry: Entry) -> None:
    said = {one.label: one.text or one.missing for one in comparison_lines(bare_entry)}
    assert said["Mass"] == said["Average efficiency"] == said["Sustained power"] == "not measured"
    assert said["Rated power"] == said["Price per watt"] == "not stated"
    assert said["Isolated converter"] == said["Primary switch"] == "not recorded"
    assert said["Largest fixed USB PD offer"] == "does not apply", "it has no USB-C port"


def test_an_efficiency_that_the_procedure_does_not_cover_is_not_judged(full_entry: Entry) -> None:
    said = {one.label: one for one in comparison_lines(full_entry)}["Published minimum of average efficiency"]
    reasons = [figure.absent for figure in full_entry.figures.all("efficiency_limit_pct")]
    assert all(reason and reason.startswith("not judged: ") for reason in reasons)
    assert said.text or said.missing in ("not judged", "not measured")


def reasons_in_the_source() -> Iterator[tuple[str, bool]]:
    """Every reason for an absent figure as it is written, with 7 for what is filled in; and whether it is a verdict's."""
    for path in sorted(Path(figures.__file__).parent.glob("*.py")):
        module = import_module(f"lidoff.figures.{path.stem}")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Absent":
                (reason,) = node.args
                yield written(reason, module), path.stem == "procedure"


def written(reason: ast.expr, module: ModuleType) -> str:
    if isinstance(reason, ast.JoinedStr):
        return "".join(piece.value if isinstance(piece, ast.Constant) else "7" for piece in reason.values)
    if isinstance(reason, ast.Name):
        return getattr(module, reason.id, "")
    return ast.literal_eval(reason) if isinstance(reason, ast.Constant) else ""


def test_every_reason_for_an_absent_figure_has_a_word_that_is_true_of_it() -> None:
    reasons = [(reason, is_verdict) for reason, is_verdict in reasons_in_the_source() if reason]
    assert len(reasons) > 60
    for reason, is_verdict in reasons:
        word = absence_of([Figure("x", "W", absent=f"not judged: {reason}" if is_verdict else reason)])
        assert word in MEANINGS
        assert word != "not recorded" or "record" in reason, f"{reason}: nothing says that the record is silent"
        assert word != "not judged" or is_verdict


def test_a_ready_made_page_holds_the_products_side_by_side(trees: Mapping[str, Any]) -> None:
    tree = trees["/compare/tier/46-67-w/"]
    rows = {"".join(row[0].itertext()): ["".join(cell.itertext()) for cell in row] for row in tree.iter("tr")}
    assert rows["Asked"] == ["Asked", "Fernhollow FH-65", "Wexmoor WX-60", "Difference"]
    said = "Fernhollow FH-65 most, 1.08 times Wexmoor WX-60"
    assert rows["Rated power"] == ["Rated power", "65\u00a0W", "60\u00a0W", said]
    assert rows["Isolated converter"][-1] == "they differ"
    marked = [row for row in tree.iter("tr") if row.get("class") == "lf-differs"]
    assert marked and all("".join(row[-1].itertext()) != "the same" for row in marked)


def test_its_link_names_the_same_products(site: Any) -> None:
    assert "../../../compare/?p=fernhollow/fh-65&amp;p=wexmoor/wx-60" in site.pages["/compare/tier/46-67-w/"].body


def test_the_newest_six_by_year_then_address(full_entry: Entry) -> None:
    def made(slug: str, year: int) -> Entry:
        product = replace(full_entry.record.product, launched=year)
        return replace(full_entry, slug=slug, record=replace(full_entry.record, product=product))

    entries = [made(f"b/m{number}", 2020 + number % 2) for number in range(8)]
    assert [entry.slug for entry in newest_six(entries)] == ["b/m1", "b/m3", "b/m5", "b/m7", "b/m0", "b/m2"]
    view = comparison_view("t", newest_six(entries), len(entries), "./", "f")
    assert view.sentence.endswith("These are the newest 6 of 8.")


def test_no_ready_made_page_for_a_single_product(full_entry: Entry, settings: Settings) -> None:
    for address in ("/compare/tier/46-67-w/", "/compare/brand/fernhollow/", "/compare/part/quillstone/qs650-r150/"):
        assert find_page(address, [full_entry], settings) is None
    page = find_page("/products/fernhollow/fh-65/", [full_entry], settings)
    assert page is not None and "compare/" not in page.body


def test_the_data_file_holds_what_the_page_shows(site: Any, full_entry: Entry) -> None:
    data = json.loads(site.files["data/products/fernhollow/fh-65.json"].content)
    shown = [tuple(one.values()) for one in data["comparison"]]
    assert shown == [msgspec.structs.astuple(one) for one in comparison_lines(full_entry)]


def test_every_product_is_named_for_the_field_that_adds_one(site: Any, context: Context) -> None:
    names = json.loads(site.files["data/index/names.json"].content)
    assert names == [[entry.slug, entry.title] for entry in context.entries]


def test_each_field_that_is_compared_is_found_by_its_role(make_entry: Callable[..., Entry], sample_text: str) -> None:
    entry = make_entry(sample_text, "fernhollow/fh-65")
    lines = {one.label: one.text for one in comparison_lines(entry)}
    assert lines["Isolated converter"] == "Quasi-resonant flyback"
    assert lines["Core of the transformer"].startswith("ATQ23.7")
