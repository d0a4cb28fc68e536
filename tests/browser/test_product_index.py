"""The index of products: filters, order, columns, CSV, address, keyboard, and the same table without script.

What must be shown is worked out from the records as PyYAML reads them, not from the site.
"""

import csv
import io
import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

pytestmark = pytest.mark.browser
ROWS = "table[data-table=products] tbody tr"
TITLES = f"{ROWS} > th > a"
# the rows as a reader sees them: without hidden columns, quieter second lines and buttons
CELLS_SHOWN = """() => [...document.querySelectorAll("table[data-table=products] :is(thead, tbody) tr")].map((row) =>
  [...row.cells].filter((cell) => cell.checkVisibility()).map((cell) => {
    const copy = cell.cloneNode(true);
    copy.querySelectorAll("small, [data-compare]").forEach((part) => part.remove());
    return copy.textContent.replaceAll("\\u00a0", " ").trim();
  }))"""
FOCUSED = """() => {
  const at = document.activeElement;
  return at.closest("main") ? at.name || at.textContent.trim() : "";
}"""
HAS_OUTLINE = """() => {
  const style = getComputedStyle(document.activeElement);
  return style.outlineStyle !== "none" && parseFloat(style.outlineWidth) > 0;
}"""


def year(record: Mapping[str, Any]) -> int:
    return record["product"].get("launched") or record["teardown"]["date"].year


def power(record: Mapping[str, Any]) -> float:
    return record["product"]["rated_power_w"]


def has_topology(record: Mapping[str, Any], word: str) -> bool:
    return record["conversion"]["primary"] == word


def is_all_gan(record: Mapping[str, Any]) -> bool:
    switches = [part for part in record["components"] if "primary-switch" in part["roles"]]
    seen = [part.get("technology", "") for part in switches if part.get("identified_by") != "brand-claim"]
    return bool(seen) and len(seen) == len(switches) and all(word.startswith("gan-") for word in seen)


@pytest.fixture
def titles(site: Any) -> Callable[[Callable[[Mapping], bool]], list[str]]:
    """The titles of the products whose records fulfil a condition, sorted."""
    return lambda holds: sorted(site.title(slug) for slug, record in site.records.items() if holds(record))


@pytest.fixture
def open_index(visit: Any) -> Callable[..., Any]:
    """Opens the index and waits for its script, which loads after the page."""

    def open_index(path: str, **options: Any) -> Any:
        page = visit(path, **options)
        page.get_by_role("status").wait_for()
        return page

    return open_index


def shown(page: Any) -> list[str]:
    return sorted(page.locator(TITLES).all_inner_texts())


def choice_of(page: Any, name: str) -> Any:
    return page.get_by_role("combobox", name=name, exact=True)


def saved(page: Any) -> list[list[str]]:
    with page.expect_download() as download:
        page.get_by_role("button", name="Save as CSV").click()
    assert download.value.suggested_filename == "products.csv"
    return list(csv.reader(io.StringIO(Path(download.value.path()).read_text(encoding="utf-8"))))


def test_every_published_product_is_there_the_newest_first(site: Any, open_index: Any) -> None:
    page = open_index("products/")
    years = [year(record) for record in site.records.values()]
    assert shown(page) == sorted(map(site.title, site.records))
    assert page.locator(f"{ROWS} > td:nth-child(4)").all_inner_texts() == [
        str(one) for one in sorted(years, reverse=True)
    ]


def test_text_filter_takes_words_in_any_order_and_case_and_parts_of_words(
    site: Any, open_index: Any, titles: Any
) -> None:
    page = open_index("products/")
    slug, record = next(iter(site.records.items()))
    brand, model = record["product"]["brand"], record["product"]["model"]
    assert len(site.records) > 6 and shown(page) != titles(lambda one: one["product"]["brand"] == brand)
    field = page.get_by_label("Contains")
    field.fill(brand.upper())
    assert shown(page) == titles(lambda one: one["product"]["brand"] == brand)
    field.fill(f"{model} {brand[2:].lower()}")
    assert site.title(slug) in shown(page) and set(shown(page)) <= set(
        titles(lambda one: model in one["product"]["model"])
    )
    field.fill("no such words")
    assert shown(page) == []
    expect(page.get_by_role("status")).to_have_text(f"0 of {len(site.records)} rows")


def test_tier_filter_takes_its_limits_in(open_index: Any, titles: Any) -> None:
    page = open_index("products/")
    choice = choice_of(page, "Power tier")
    names = choice.locator("option").all_inner_texts()[1:]
    assert len(names) > 3
    for name in names:
        choice.select_option(name)
        least, most = (0, int(name.split()[2])) if name.startswith("up to") else map(int, re.findall(r"\d+", name))
        assert shown(page) == titles(lambda one: least <= power(one) <= most), name


def test_year_filter(open_index: Any, titles: Any) -> None:
    page = open_index("products/")
    choice = choice_of(page, "Year")
    names = choice.locator("option").all_inner_texts()[1:]
    assert len(names) > 3
    for name in names:
        choice.select_option(name)
        assert shown(page) == titles(lambda one: year(one) == int(name)), name


def test_technology_filter(open_index: Any, titles: Any) -> None:
    page = open_index("products/")
    choice_of(page, "Primary switch").select_option("GaN")
    assert shown(page) == titles(is_all_gan) != []


@pytest.mark.parametrize(
    ("label", "word"), [("Quasi-resonant flyback", "flyback-quasi-resonant"), ("LLC half bridge", "llc-half-bridge")]
)
def test_topology_filter(label: str, word: str, open_index: Any, titles: Any) -> None:
    page = open_index("products/")
    choice_of(page, "Conversion").select_option(label)
    assert shown(page) == titles(lambda one: has_topology(one, word)) != []


def speaks(record: Mapping[str, Any], word: str) -> bool:
    return any(word in port.get("protocols", ()) for port in record["ports"])


def has_part_by(record: Mapping[str, Any], maker: str) -> bool:
    return any(part.get("maker") == maker for part in record["components"])


def least_sure(record: Mapping[str, Any]) -> str:
    """How sure the least sure primary switch is, of those of which it is said."""
    order = ["not identified", "claimed by the brand", "guess", "likely", "certain"]
    by_claim = {"unidentified": order[0], "brand-claim": order[1]}
    switches = [part for part in record["components"] if "primary-switch" in part["roles"]]
    said = [by_claim.get(part.get("identified_by"), part.get("strength")) for part in switches]
    return min(filter(None, said), key=order.index, default="")


def test_filters_of_what_no_column_shows(open_index: Any, titles: Any) -> None:
    page = open_index("products/")
    for name, tests in {
        "Protocol seen": {"PPS": lambda one: speaks(one, "pps"), "EPR": lambda one: speaks(one, "epr")},
        "Maker of a part": {
            maker: lambda one, maker=maker: has_part_by(one, maker) for maker in ("Quillstone", "Stavewick")
        },
        "Switch identification": {
            word: lambda one, word=word: least_sure(one) == word for word in ("certain", "likely")
        },
        "Sample from": {
            "sent in by a reader": lambda one: any(sample["source"] == "reader" for sample in one["samples"])
        },
    }.items():
        for word, holds in tests.items():
            choice_of(page, name).select_option(word)
            expect(page.get_by_role("status")).to_have_text(re.compile(rf"^{len(titles(holds))} of \d+ rows$"))
            assert shown(page) == titles(holds) != [], (name, word)
        choice_of(page, name).select_option("any")
    assert "?" not in page.url


def test_address_keeps_filters_of_what_no_column_shows(site: Any, open_index: Any, titles: Any) -> None:
    page = open_index("products/?protocol=PPS&maker=Quillstone")
    both = titles(lambda one: speaks(one, "pps") and has_part_by(one, "Quillstone"))
    expect(page.locator(ROWS)).to_have_count(len(both))
    assert shown(page) == both
    assert sorted(line[0] for line in saved(page)[1:]) == both
    choice_of(page, "Maker of a part").select_option("any")
    assert page.url == f"{site.url}products/?protocol=PPS"
    assert shown(page) == titles(lambda one: speaks(one, "pps"))


def test_filter_whose_file_is_missing_says_so_and_keeps_the_rows(site: Any, open_index: Any) -> None:
    page = open_index("products/")
    page.route("**/data/index/with-protocol.json", lambda route: route.fulfill(status=503, body=""))
    choice_of(page, "Protocol seen").select_option("PPS")
    expect(page.get_by_role("status")).to_have_text("The filter could not be loaded: 503 for protocol")
    assert shown(page) == sorted(map(site.title, site.records))
    page.unroute("**/data/index/with-protocol.json")
    # the browser itself tells of an answer that failed, twice; nothing else may be wrong
    assert len(page.complaints) == 2 and all("503" in one for one in page.complaints)
    page.complaints.clear()


def test_filters_work_together_and_can_be_cleared(site: Any, open_index: Any, titles: Any) -> None:
    page = open_index("products/")
    choice_of(page, "Primary switch").select_option("GaN")
    choice_of(page, "Conversion").select_option("Quasi-resonant flyback")
    both = titles(lambda one: is_all_gan(one) and has_topology(one, "flyback-quasi-resonant"))
    assert shown(page) == both != titles(is_all_gan)
    expect(page.get_by_role("status")).to_have_text(f"{len(both)} of {len(site.records)} rows")
    page.get_by_role("button", name="Clear").click()
    expect(page.get_by_role("status")).to_have_text(f"{len(site.records)} rows")
    assert page.url == f"{site.url}products/"


@pytest.mark.parametrize(("name", "place", "value"), [("Power", 2, power), ("Year", 4, year)])
def test_column_of_numbers_sorts_both_ways(name: str, place: int, value: Any, site: Any, open_index: Any) -> None:
    page = open_index("products/")
    heading = page.get_by_role("columnheader", name=name)
    expect(page.locator("[aria-sort]")).to_have_count(0)
    rising = sorted(map(value, site.records.values()))
    for direction, expected in (("descending", rising[::-1]), ("ascending", rising), ("descending", rising[::-1])):
        heading.get_by_role("button").click()
        assert heading.get_attribute("aria-sort") == direction
        expect(page.locator("[aria-sort]")).to_have_count(1)
        cells = page.locator(f"{ROWS} > td:nth-child({place})").all_inner_texts()
        assert [float(cell.split()[0]) for cell in cells] == expected


def test_column_of_words_sorts_both_ways(site: Any, open_index: Any) -> None:
    page = open_index("products/")
    heading = page.get_by_role("columnheader", name="Product")
    found = []
    for direction in ("ascending", "descending"):
        heading.get_by_role("button").click()
        assert heading.get_attribute("aria-sort") == direction
        found.append(page.locator(TITLES).all_inner_texts())
    assert found[0] == found[1][::-1]
    brands = [
        next(record["product"]["brand"] for slug, record in site.records.items() if site.title(slug) == title)
        for title in found[0]
    ]
    assert brands == sorted(brands)


def test_columns_can_be_left_out_and_come_back(open_index: Any) -> None:
    page = open_index("products/")
    before = page.evaluate(CELLS_SHOWN)
    page.get_by_text("Columns", exact=True).click()
    page.get_by_label("Ports", exact=True).uncheck()
    page.get_by_label("Size", exact=True).uncheck()
    gone = [place for place, heading in enumerate(before[0]) if heading in ("Ports", "Size")]
    assert page.evaluate(CELLS_SHOWN) == [
        [cell for place, cell in enumerate(row) if place not in gone] for row in before
    ]
    page.reload()
    page.get_by_role("status").wait_for()
    assert "Ports" not in page.evaluate(CELLS_SHOWN)[0]
    page.get_by_text("Columns", exact=True).click()
    assert not page.get_by_label("Ports", exact=True).is_checked()
    page.get_by_label("Ports", exact=True).check()
    page.get_by_label("Size", exact=True).check()
    assert page.evaluate(CELLS_SHOWN) == before


def test_saved_file_equals_what_is_shown(open_index: Any) -> None:
    page = open_index("products/")
    # tiers have a dash on the page, and in files the plain hyphen that addresses have too
    assert saved(page) == [[cell.replace("–", "-") for cell in row] for row in page.evaluate(CELLS_SHOWN)]
    assert [row[2] for row in page.evaluate(CELLS_SHOWN) if "–" in row[2]], "no tier with a dash"
    choice_of(page, "Conversion").select_option("Quasi-resonant flyback")
    page.get_by_role("columnheader", name="Density").get_by_role("button").click()
    page.get_by_text("Columns", exact=True).click()
    page.get_by_label("Tier", exact=True).uncheck()
    lines = saved(page)
    assert lines == page.evaluate(CELLS_SHOWN)
    assert "Tier" not in lines[0] and len(lines) > 2


def test_address_keeps_the_view_for_a_reload_and_for_others(site: Any, open_index: Any) -> None:
    page = open_index("products/")
    page.get_by_label("Contains").fill("usb-c")
    choice_of(page, "Primary switch").select_option("GaN")
    page.get_by_role("columnheader", name="Power").get_by_role("button").click()
    page.get_by_text("Columns", exact=True).click()
    page.get_by_role("checkbox", name="Year", exact=True).uncheck()
    seen = page.evaluate(CELLS_SHOWN)
    assert 1 < len(seen) < len(site.records) + 1 and "Year" not in seen[0]
    page.reload()
    expect(page.get_by_label("Contains")).to_have_value("usb-c")
    page.get_by_role("status").wait_for()
    assert page.evaluate(CELLS_SHOWN) == seen
    other = open_index(page.url.removeprefix(site.url))
    assert other.evaluate(CELLS_SHOWN) == seen
    assert other.get_by_role("columnheader", name="Power").get_attribute("aria-sort") == "descending"


def test_address_that_nobody_wrote_here_shows_the_table(site: Any, open_index: Any) -> None:
    page = open_index("products/?q=%ZZ&tier=<b>&sort=nothing.up&without=nothing.product&year=&x=1")
    page.get_by_label("Contains").fill("")
    assert shown(page) == sorted(map(site.title, site.records))
    expect(page.locator("[aria-sort]")).to_have_count(0)
    assert page.get_by_role("columnheader", name="Product").is_visible()


def tab_to(page: Any, wanted: str) -> None:
    """Press Tab until the element of that name or text has the focus; every stop on the way must be seen."""
    for _ in range(60):
        page.keyboard.press("Tab")
        assert page.evaluate(HAS_OUTLINE), f"no outline on {page.evaluate(FOCUSED)}"
        if page.evaluate(FOCUSED) == wanted:
            return
    pytest.fail(f"the keyboard never came to {wanted}")


def test_keyboard_alone_is_enough(open_index: Any, titles: Any) -> None:
    page = open_index("products/")
    tab_to(page, "q")
    page.keyboard.type("gan")
    expect(page.locator(ROWS)).to_have_count(len(titles(is_all_gan)))
    tab_to(page, "topology")
    page.keyboard.type("Quasi")
    both = titles(lambda one: is_all_gan(one) and has_topology(one, "flyback-quasi-resonant"))
    expect(page.locator(ROWS)).to_have_count(len(both))
    tab_to(page, "Columns")
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    expect(page.get_by_role("columnheader", name="Power")).to_have_count(0)
    tab_to(page, "Year")
    for direction in ("descending", "ascending"):
        page.keyboard.press("Enter")
        expect(page.get_by_role("columnheader", name="Year")).to_have_attribute("aria-sort", direction)
        assert page.evaluate(FOCUSED) == "Year", "sorting must not lose the focus"
    tab_to(page, page.locator(TITLES).first.inner_text())
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    assert page.evaluate(FOCUSED) == "Remove from comparison"
    tab_to(page, page.locator(TITLES).nth(1).inner_text())
    page.keyboard.press("Enter")
    page.wait_for_url("**/products/*/*/")


def test_without_script_the_whole_table_reads(site: Any, visit: Any) -> None:
    page = visit("products/", java_script_enabled=False)
    assert shown(page) == sorted(map(site.title, site.records))
    columns = page.locator("table[data-table=products] thead th").all_inner_texts()
    for number, row in enumerate(page.locator(ROWS).all()):
        assert row.locator("th, td").count() == len(columns), number
    assert page.locator("main form").is_hidden() and page.locator("main button:visible").count() == 0
    page.locator(TITLES).first.click()
    assert page.locator("h1").inner_text() in map(site.title, site.records)
