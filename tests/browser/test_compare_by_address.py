"""Comparisons: by address, by what was picked on the way, ready-made, saved and printed."""

import csv
import io
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

pytestmark = pytest.mark.browser
TABLE = "table.lf-comparison"
TRAY = "Products to compare"
# [section or nothing, heading, cells...] of each row, without quieter second lines
LINES = """() => [...document.querySelectorAll("table.lf-comparison tr")].map((row) => [...row.cells].map((cell) => {
  const copy = cell.cloneNode(true);
  copy.querySelectorAll("small").forEach((part) => part.remove());
  return copy.textContent.replaceAll("\\u00a0", " ").trim();
}))"""
PAPER_PX = 700  # A4 less margins, at 96 pixels an inch


def address(slugs: list[str]) -> str:
    return "compare/?" + "&".join(f"p={slug}" for slug in slugs)


@pytest.fixture
def slugs(site: Any) -> list[str]:
    """Published products, the most powerful first."""
    return sorted(site.records, key=lambda slug: (-site.records[slug]["product"]["rated_power_w"], slug))


@pytest.fixture
def compare(visit: Any) -> Callable[..., Any]:
    """Opens the comparison of some products and waits for it."""

    def compare(slugs: list[str], **options: Any) -> Any:
        page = visit(address(slugs), **options)
        page.locator(TABLE).wait_for()
        return page

    return compare


def lines(page: Any) -> dict[str, list[str]]:
    return {row[0]: row[1:] for row in page.evaluate(LINES)}


@pytest.mark.parametrize("number", [2, 3, 6])
def test_address_puts_its_products_side_by_side(number: int, slugs: list[str], site: Any, compare: Any) -> None:
    asked = slugs[:number][::-1]
    page = compare(asked)
    said = lines(page)
    assert said["Asked"] == [*map(site.title, asked), "Difference"]
    assert said["Rated power"][:-1] == [f"{site.records[slug]['product']['rated_power_w']:g} W" for slug in asked]
    assert {len(cells) for cells in said.values()} == {0, number + 1} and len(said) > 30
    assert {"What it promises", "What it delivers", "How it is made", "How sure we are"} <= set(said)
    assert not any(all(cell == "not known" for cell in cells[:-1]) for cells in said.values() if cells), (
        "a line without content"
    )
    assert page.url == site.url + address(asked)


def test_each_product_links_to_its_page(slugs: list[str], site: Any, compare: Any) -> None:
    page = compare(slugs[:2])
    page.locator(f"{TABLE} thead").get_by_role("link", name=site.title(slugs[1])).click()
    page.wait_for_url(f"{site.url}products/{slugs[1]}/")


def test_cells_are_those_of_the_product_s_own_data(slugs: list[str], site: Any, compare: Any) -> None:
    said = lines(compare(slugs[:3]))
    for place, slug in enumerate(slugs[:3]):
        data = json.loads((site.folder / "data" / "products" / f"{slug}.json").read_text(encoding="utf-8"))
        known = {line["label"]: line["text"].replace("\u00a0", " ") for line in data["comparison"] if line["text"]}
        assert len(known) > 20
        assert {label: said[label][place] for label in known} == known


def test_lines_that_differ_are_marked_and_said(slugs: list[str], compare: Any) -> None:
    page = compare(slugs[:2])
    marked = set(page.locator(f"{TABLE} .lf-differs > th").all_inner_texts())
    said = {
        label: cells
        for label, cells in lines(page).items()
        if len(cells) == 3 and label != "Asked" and "of life size" not in label
    }
    assert marked == {label for label, cells in said.items() if cells[-1] != "the same"} != set()
    assert all((cells[0] == cells[1]) == (cells[-1] == "the same") for cells in said.values())


@pytest.mark.parametrize("number", [0, 1])
def test_too_few_products_are_told_plainly(number: int, slugs: list[str], site: Any, visit: Any) -> None:
    page = visit(address(slugs[:number]))
    expected = ["Choose at least two products.", "Choose one more product."][number]
    expect(page.get_by_text(expected)).to_be_visible()
    assert page.locator(TABLE).count() == 0
    for slug in slugs[:number]:
        expect(page.get_by_role("button", name=f"Leave out {site.title(slug)}")).to_be_visible()


def test_seventh_product_is_left_out_and_the_page_says_so(slugs: list[str], site: Any, compare: Any) -> None:
    page = compare(slugs[:7])
    assert lines(page)["Asked"][:-1] == list(map(site.title, slugs[:6]))
    expect(page.get_by_text(f"Six products at most stand side by side; left out: {slugs[6]}.")).to_be_visible()


def test_unknown_product_is_told_and_the_others_are_compared(slugs: list[str], site: Any, compare: Any) -> None:
    page = compare([slugs[0], "no/such-one", slugs[1]])
    assert lines(page)["Asked"][:-1] == [site.title(slugs[0]), site.title(slugs[1])]
    expect(page.get_by_text("No such product here: no/such-one.")).to_be_visible()
    # the browser itself notes an answer of 404
    assert all("404" in complaint for complaint in page.complaints) and len(page.complaints) == 2
    page.complaints.clear()


def test_what_is_no_product_s_address_is_told_too(slugs: list[str], compare: Any) -> None:
    page = compare([slugs[0], "../../x", "%3Cimg%20src=x%3E", slugs[1], slugs[0]])
    expect(page.get_by_text("Names in the address that can't be a product's, and were left out: 2.")).to_be_visible()
    assert "src=x" not in page.locator("main").inner_text(), "an address must not put its words into the page"
    assert len(lines(page)["Asked"]) == 3, "a product that is named twice is compared once"


def test_products_are_added_and_left_out_on_the_page(slugs: list[str], site: Any, compare: Any) -> None:
    page = compare(slugs[:2])
    field = page.get_by_label("Add a product")
    field.focus()
    expect(page.locator("datalist option")).to_have_count(len(site.records))
    field.fill(site.title(slugs[2]))
    field.press("Enter")
    expect(page.locator(f"{TABLE} thead th")).to_have_count(5)
    assert page.url == site.url + address(slugs[:3])
    page.get_by_role("button", name=f"Leave out {site.title(slugs[0])}").click()
    expect(page.locator(f"{TABLE} thead th")).to_have_count(4)
    assert page.url == site.url + address(slugs[1:3])
    page.reload()
    page.locator(TABLE).wait_for()
    assert lines(page)["Asked"][:-1] == [site.title(slugs[1]), site.title(slugs[2])]


def test_picked_products_are_kept_while_one_looks_around(slugs: list[str], site: Any, visit: Any) -> None:
    page = visit(f"products/{slugs[0]}/")
    tray = page.get_by_role("region", name=TRAY)
    page.locator("[data-compare]").first.click()
    expect(tray).to_contain_text(f"To compare: {site.title(slugs[0])}")
    expect(tray).to_contain_text("Pick one more.")
    page.goto(f"{site.url}products/")
    page.get_by_role("row", name=site.title(slugs[1])).get_by_role("button", name="Add to comparison").click()
    page.goto(f"{site.url}trends/technology-by-tier/")
    expect(tray).to_contain_text(site.title(slugs[1]))
    page.reload()
    tray.get_by_role("link", name="Compare them").click()
    page.locator(TABLE).wait_for()
    assert page.url == site.url + address(slugs[:2])
    expect(tray).to_be_hidden()
    page.goto(f"{site.url}compare/")
    page.locator(TABLE).wait_for()
    assert lines(page)["Asked"][:-1] == [site.title(slugs[0]), site.title(slugs[1])]
    page.goto(f"{site.url}products/{slugs[1]}/")
    page.get_by_role("button", name="Remove from comparison").first.click()
    expect(tray).to_contain_text("Pick one more.")
    tray.get_by_role("button", name="Empty").click()
    expect(tray).to_be_hidden()


def test_no_seventh_product_can_be_picked(site: Any, visit: Any) -> None:
    page = visit("products/")
    for _ in range(6):
        page.get_by_role("button", name="Add to comparison").first.click()
    expect(page.get_by_role("button", name="Add to comparison").first).to_be_disabled()
    expect(page.get_by_role("button", name="Add to comparison", disabled=True)).to_have_count(len(site.records) - 6)
    page.get_by_role("button", name="Remove from comparison").first.click()
    expect(page.get_by_role("button", name="Add to comparison").first).to_be_enabled()


@pytest.mark.parametrize(
    "stored", ["{", '"x"', '[1, null, {"slug": "<b>"}, {"slug": "../x"}]', '[{"slug": "a/b", "title": 7}]']
)
def test_strange_storage_breaks_no_page(stored: str, visit: Any) -> None:
    page = visit("products/")
    page.evaluate("stored => localStorage.setItem('lidoff-compare', stored)", stored)
    page.reload()
    page.get_by_role("button", name="Add to comparison").first.click()
    expect(page.get_by_role("region", name=TRAY)).to_be_visible()


def test_ready_made_comparison_needs_no_script(site: Any, visit: Any) -> None:
    for kind in ("tier", "part"):
        path = next(one for one in site.of_kind("ready-made") if one.startswith(f"/compare/{kind}/"))
        page = visit(path, java_script_enabled=False)
        said = lines(page)
        assert set(said["Asked"][:-1]) <= set(map(site.title, site.records)) and len(said["Asked"]) > 2
        assert len(said) > 30
        assert page.locator("main button:visible").count() == 0


def test_ready_made_comparison_is_reached_without_script(site: Any, visit: Any) -> None:
    path = next(one for one in site.of_kind("ready-made") if one.startswith("/compare/tier/"))
    page = visit("compare/", java_script_enabled=False)
    assert page.locator("noscript").inner_text().startswith("Choosing products freely needs the page's script.")
    page.locator(f"main a[href$='{path.removeprefix('/compare')}']").click()
    assert page.url == site.url + path[1:]


def test_ready_made_and_own_comparison_say_the_same(site: Any, compare: Any, visit: Any) -> None:
    path = site.of_kind("ready-made")[0]
    ready = visit(path)
    by_title = {site.title(slug): slug for slug in site.records}
    own = compare([by_title[title] for title in lines(ready)["Asked"][:-1]])
    assert own.evaluate(LINES) == ready.evaluate(LINES)


def test_saved_comparison_equals_the_table(slugs: list[str], compare: Any) -> None:
    page = compare(slugs[:3])
    with page.expect_download() as download:
        page.get_by_role("button", name="Save as CSV").click()
    assert download.value.suggested_filename == "comparison.csv"
    saved = list(csv.reader(io.StringIO(Path(download.value.path()).read_text(encoding="utf-8"))))
    shown = [row for row in page.evaluate(LINES) if len(row) > 1 and "of life size" not in row[0]]
    said = [["" if cell == "not known" else cell.replace("\n", "; ") for cell in row[:-1]] + row[-1:] for row in shown]
    assert said == saved


@pytest.mark.parametrize("number", [2, 6])
def test_printed_comparison_is_whole_and_has_no_controls(number: int, slugs: list[str], compare: Any) -> None:
    page = compare(slugs[:number], width=PAPER_PX)
    page.emulate_media(media="print")
    assert page.locator("button:visible, input:visible, form:visible").count() == 0
    right = page.evaluate(
        "() => Math.max(...[...document.querySelectorAll('table.lf-comparison tr > *')].map(cell => cell.getBoundingClientRect().right))"
    )
    assert right <= PAPER_PX, "the paper would cut off the last product"
    assert (
        page.evaluate("getComputedStyle(document.querySelector('.lf-comparison').closest('.lf-scroll')).overflowX")
        == "visible"
    )


def test_saved_ready_made_comparison_equals_its_table(site: Any, visit: Any) -> None:
    page = visit(site.of_kind("ready-made")[0])
    with page.expect_download() as download:
        page.get_by_role("button", name="Save as CSV").click()
    saved = list(csv.reader(io.StringIO(Path(download.value.path()).read_text(encoding="utf-8"))))
    said = [row for row in page.evaluate(LINES) if not row[0].startswith("Body at ")]
    assert [row[0] for row in saved] == [row[0] for row in said] and len(saved) > 30
    assert saved[0] == said[0]
    power = next(row for row in saved if row[0] == "Rated power")
    assert power in said


def test_six_usual_products_fit_a_desktop_screen(site: Any, visit: Any) -> None:
    page = visit("compare/tier/46-67-w/")
    box = page.locator(".lf-scroll")
    assert page.locator(f"{TABLE} thead th").count() == 8
    assert box.evaluate("(one) => one.scrollWidth <= one.clientWidth"), "the sixth product would be cut off"


def test_wide_comparison_scrolls_by_keyboard_with_its_first_column_in_sight(slugs: list[str], compare: Any) -> None:
    page = compare(slugs[:6], width=700)
    box = page.locator(".lf-scroll")
    assert box.evaluate("(one) => one.scrollWidth > one.clientWidth")
    box.focus()
    page.keyboard.press("ArrowRight")
    page.wait_for_function("() => document.querySelector('.lf-scroll').scrollLeft > 20")  # past the table's edge
    heading, frame = page.locator(f"{TABLE} tbody th[scope=row]").nth(3).bounding_box(), box.bounding_box()
    assert heading["x"] == pytest.approx(frame["x"], abs=1)
