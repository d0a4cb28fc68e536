"""The text search and the lookup of top marks, in a browser, under the policy as a header."""

import re
from typing import Any

import pytest
from playwright.sync_api import expect

pytestmark = pytest.mark.browser
FOUND = "[data-results] li > a"
LINES = "[data-results] tbody tr"


def said(page: Any) -> Any:
    return page.locator("[data-status]")


def texts(page: Any) -> list[str]:
    return page.locator(f"{LINES} th code").all_inner_texts()


@pytest.fixture
def part(site: Any) -> tuple[str, str, str]:
    """A part with a number that only one product has: the number, its maker, the product."""
    seen: dict[str, list[tuple[str, str]]] = {}
    for slug, record in site.records.items():
        for component in record["components"]:
            if component.get("part_number") and component.get("maker"):
                seen.setdefault(component["part_number"], []).append((component["maker"], slug))
    number = min(number for number, uses in seen.items() if len(uses) == 1 and len(number) > 5)
    return number, *seen[number][0]


def test_policy_is_a_header_and_stops_a_script_made_of_text(site: Any, visit: Any) -> None:
    page = visit("search/")
    assert (
        "script-src 'self' 'wasm-unsafe-eval'"
        in page.request.get(site.url + "search/").headers["content-security-policy"]
    )
    page.evaluate("setTimeout('window.made = 1')")
    page.wait_for_timeout(100)
    assert page.evaluate("window.made") is None
    assert page.complaints and all("policy" in one.lower() for one in page.complaints)
    page.complaints.clear()


def test_words_find_products_and_the_address_keeps_them(site: Any, visit: Any) -> None:
    page = visit("search/")
    page.get_by_label("Words").fill("fernhollow")
    expect(page.locator(FOUND).first).to_be_visible()
    titles = page.locator(FOUND).all_inner_texts()
    assert sorted(titles) == sorted(site.title(slug) for slug in site.records if slug.startswith("fernhollow/"))
    expect(said(page)).to_have_text(f"{len(titles)} products.")
    assert page.url == f"{site.url}search/?q=fernhollow"
    again = visit("search/?q=fernhollow")
    expect(again.locator(FOUND)).to_have_count(len(titles))
    assert again.get_by_label("Words").input_value() == "fernhollow"


def test_a_result_leads_to_its_product(visit: Any) -> None:
    page = visit("search/?q=fernhollow")
    page.locator(FOUND).first.click()
    assert re.search(r"/products/fernhollow/[^/]+/$", page.url)
    assert page.locator("h1").inner_text().startswith("Fernhollow")


@pytest.mark.parametrize(
    ("name", "word", "holds"),
    [
        ("Power tier", "46-67 W", lambda one: 45 < one["product"]["rated_power_w"] <= 67),
        ("Year", "2024", lambda one: one["product"].get("launched") == 2024),
        ("Conversion", "LLC half bridge", lambda one: one["conversion"]["primary"] == "llc-half-bridge"),
    ],
)
def test_filters_work_without_words(name: str, word: str, holds: Any, site: Any, visit: Any) -> None:
    page = visit("search/")
    page.locator("main label").filter(has_text=re.compile(f"^{name}")).locator("select").select_option(word)
    expected = [site.title(slug) for slug, record in site.records.items() if holds(record)]
    expect(said(page)).to_have_text(f"{len(expected)} products.")
    assert set(page.locator(FOUND).all_inner_texts()) <= set(expected)


def test_filters_narrow_what_words_found_and_clear_takes_all_back(site: Any, visit: Any) -> None:
    page = visit("search/?q=gan&tier=46-67+W")
    expect(said(page)).to_have_text(re.compile(r"^\d+ products?\.$"))
    power = {site.title(slug): record["product"]["rated_power_w"] for slug, record in site.records.items()}
    assert all(45 < power[title] <= 67 for title in page.locator(FOUND).all_inner_texts())
    page.get_by_role("button", name="Clear").click()
    expect(page.locator(FOUND)).to_have_count(0)
    assert page.url == f"{site.url}search/"


def test_nothing_found_is_said_and_leads_on(visit: Any) -> None:
    page = visit("search/?q=zzyzx")
    expect(said(page)).to_have_text("No product has these words.")
    assert page.get_by_role("link", name="look it up").get_attribute("href").endswith("parts/lookup/?q=zzyzx")


def test_header_field_searches_from_any_page_by_keyboard_alone(site: Any, visit: Any) -> None:
    page = visit(site.of_kind("product")[0])
    page.get_by_role("searchbox", name="Search the products").focus()
    page.keyboard.type("lanterby")
    page.keyboard.press("Enter")
    page.wait_for_url("**/search/?q=lanterby")
    expect(page.locator(FOUND).first).to_be_visible()
    page.locator("main").get_by_label("Words").focus()
    for _ in range(12):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.closest('[data-results]') !== null"):
            break
    page.keyboard.press("Enter")
    page.wait_for_url("**/products/lanterby/**")


def test_more_results_come_by_key_and_take_the_focus(visit: Any) -> None:
    page = visit("search/?q=gan")
    expect(page.locator(FOUND)).to_have_count(10)
    page.get_by_role("button", name="Show more").press("Enter")
    expect(page.locator(FOUND)).to_have_count(20)
    expect(page.locator(FOUND).nth(10)).to_be_focused()


def test_part_number_is_found_whole_and_by_any_piece(part: tuple[str, str, str], visit: Any, site: Any) -> None:
    number, maker, slug = part
    for piece in (number, number.lower(), number[2:], number[1:-1]):
        page = visit(f"parts/lookup/?q={piece}")
        expect(page.locator(LINES).first).to_be_visible()
        assert number in texts(page), piece
        line = page.locator(LINES).filter(has_text=number).filter(has_text="part number").first
        assert f"{maker} {number}" in line.inner_text() and site.title(slug) in line.inner_text()
        line.get_by_role("link", name=f"{maker} {number}").click()
        assert page.locator("h1").inner_text() == f"{maker} {number}"


def test_lookup_is_worked_by_keyboard_alone(part: tuple[str, str, str], visit: Any) -> None:
    number, maker, _ = part
    page = visit("parts/lookup/")
    page.get_by_label("Print or part number").focus()
    page.keyboard.type(number)
    page.keyboard.press("Enter")
    expect(page.locator(LINES).first).to_be_visible()
    passed = []
    for _ in range(8):
        page.keyboard.press("Tab")
        passed.append(page.evaluate("document.activeElement.textContent.trim()"))
        if passed[-1] == f"{maker} {number}":
            break
    assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") != "none", passed
    page.keyboard.press("Enter")
    page.wait_for_url("**/parts/*/*/")
    assert page.locator("h1").inner_text() == f"{maker} {number}"


def test_part_has_one_line_for_each_text_however_many_things_it_does(visit: Any) -> None:
    page = visit("parts/lookup/?q=QS650")
    expect(page.locator(LINES).first).to_be_visible()
    rows = [
        (line.locator("th code").inner_text(), line.locator("td").first.inner_text().split("\n")[0])
        for line in page.locator(LINES).all()
    ]
    assert len(rows) == len(set(rows)) > 4
    assert page.locator(LINES).filter(has_text=" switch and ").count() > 0, "no part here does two things"


def test_print_with_unreadable_signs_is_found_with_how_sure_the_part_is(site: Any, visit: Any) -> None:
    marked = [
        (line, component)
        for record in site.records.values() for component in record["components"]
        for line in component.get("marking", {}).get("lines", ()) if "?" in line and len(line.replace("?", "")) > 3
    ]  # fmt: skip
    assert marked
    line, component = min(marked, key=lambda one: one[0])
    # a reader who can read the sign still finds the print of a reviewer who could not
    page = visit("parts/lookup/")
    page.get_by_label("Print or part number").fill(line.replace("?", "7"))
    page.keyboard.press("Enter")
    expect(page.locator(LINES).first).to_be_visible()
    shown = page.locator(LINES).filter(has=page.get_by_text(line, exact=True)).first.inner_text()
    assert "print" in shown and (component.get("strength", "not recorded") in shown)


def test_lookup_says_what_it_can_not_do(visit: Any) -> None:
    page = visit("parts/lookup/?q=Q")
    expect(said(page)).to_have_text("Type at least two characters in a row that you can read.")
    page.get_by_label("Print or part number").fill("ZZYZX99")
    expect(said(page)).to_have_text("No record here has it.")


def test_search_without_its_index_says_so_and_works_once_it_is_there(visit: Any) -> None:
    page = visit("search/")
    page.route("**/pagefind/pagefind.js*", lambda route: route.fulfill(status=404, body=""))
    page.get_by_label("Words").fill("fernhollow")
    expect(said(page)).to_contain_text("its index is not there yet, or can't be reached. Search again in a moment")
    page.unroute("**/pagefind/pagefind.js*")
    page.get_by_label("Words").press("Enter")
    expect(page.locator(FOUND).first).to_be_visible()
    assert page.complaints
    page.complaints.clear()


def test_lookup_that_can_not_load_says_so_and_works_again(visit: Any) -> None:
    page = visit("parts/lookup/")
    page.route("**/data/markings/starts.json", lambda route: route.fulfill(status=503, body=""))
    page.get_by_label("Print or part number").fill("QS")
    expect(said(page)).to_have_text("The search could not be loaded: answer 503")
    page.unroute("**/data/markings/starts.json")
    page.get_by_label("Print or part number").fill("QS6")
    expect(page.locator(LINES).first).to_be_visible()
    assert page.complaints and all("503" in one for one in page.complaints)
    page.complaints.clear()


@pytest.mark.parametrize("path", ["search/", "parts/lookup/"])
def test_without_script_the_page_leads_elsewhere(path: str, visit: Any) -> None:
    page = visit(path, java_script_enabled=False)
    assert page.locator("main form").is_hidden() and page.locator(".frame-search").is_hidden()
    page.locator("[data-without-script] a").click()
    assert page.locator("main table").first.is_visible()


@pytest.mark.parametrize("path", ["search/?q=gan", "parts/lookup/?q=QS"])
def test_results_fit_a_telephone(path: str, visit: Any) -> None:
    page = visit(path, width=390)
    expect(page.locator("[data-results] a").first).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
