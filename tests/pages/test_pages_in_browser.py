"""The script in a real browser: sorting, filtering, CSV, comparisons, and what is left without it."""

import csv
import functools
import http.server
import io
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from lidoff.pages import asset_files
from lidoff.publish.policy import response_headers

pytestmark = pytest.mark.browser
FRAME = (
    '<!doctype html><html lang="en"><head><meta charset="utf-8"><title>t</title><link rel="icon" href="data:,">'
    '<meta name="viewport" content="width=device-width, initial-scale=1">'
    '<link rel="stylesheet" href="{root}{assets}/lidoff.css"></head><body><main>{body}</main>'
    '<script type="module" src="{root}{assets}/lidoff.js"></script></body></html>'
)
ROWS = "table[data-table=products] tbody tr"
PRODUCT = "products/fernhollow/fh-65/"
PAIR = "compare/?p=fernhollow/fh-65&p=wexmoor/wx-60"


class Handler(http.server.SimpleHTTPRequestHandler):
    """Serves files with the site's own headers, quietly."""

    def end_headers(self) -> None:
        for name, value in response_headers().items():
            self.send_header(name, value)
        super().end_headers()

    def log_message(self, *arguments: object) -> None:
        """Say nothing."""


@pytest.fixture(scope="module")
def base(site: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The whole site below a folder of a loopback server, in a bare frame."""
    folder = tmp_path_factory.mktemp("served")
    for page in site.order:
        file = folder / "base" / page.address.strip("/") / "index.html"
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(
            FRAME.format(assets=asset_files.folder(), root="../" * (page.address.count("/") - 1), body=page.body),
            encoding="utf-8",
        )
    for path, content in site.files.items():
        file = folder / "base" / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(content.content)
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Handler, directory=str(folder)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}/base/"
    server.shutdown()


def names(page: Any) -> list[str]:
    return page.locator(f"{ROWS} > th > a").all_inner_texts()


def saved(page: Any, button: str) -> list[list[str]]:
    with page.expect_download() as download:
        page.get_by_role("button", name=button).click()
    return list(csv.reader(io.StringIO(Path(download.value.path()).read_text(encoding="utf-8"))))


def test_the_index_filters_and_its_address_keeps_the_filter(base: str, open_page: Callable[..., Any]) -> None:
    page = open_page(f"{base}products/")
    page.get_by_label("Contains").fill("wex")
    assert names(page) == ["Wexmoor WX-60"]
    assert page.url == f"{base}products/?q=wex"
    page.reload()
    expect(page.locator("table[data-table=products] tbody tr")).to_have_count(1)
    assert names(page) == ["Wexmoor WX-60"]
    page.get_by_role("button", name="Clear").click()
    expect(page.locator("table[data-table=products] tbody tr")).to_have_count(3)
    page.get_by_role("combobox", name="Power tier").select_option("46-67 W")
    assert names(page) == ["Fernhollow FH-65", "Wexmoor WX-60"]
    assert page.get_by_role("status").inner_text() == "2 of 3 rows"
    page.get_by_role("combobox", name="Primary switch").select_option("not recorded")
    assert names(page) == []
    assert page.problems == []


def test_columns_sort_by_number_and_unknown_comes_last(base: str, open_page: Callable[..., Any]) -> None:
    page = open_page(f"{base}products/")
    power = page.get_by_role("columnheader", name="Power")
    power.get_by_role("button").click()
    assert names(page) == ["Fernhollow FH-65", "Wexmoor WX-60", "Osk Bare"]
    assert power.get_attribute("aria-sort") == "descending"
    page.keyboard.press("Enter")
    assert names(page) == ["Wexmoor WX-60", "Fernhollow FH-65", "Osk Bare"]
    assert power.get_attribute("aria-sort") == "ascending" and page.url.endswith("?sort=power")


def test_what_is_shown_can_be_saved(base: str, open_page: Callable[..., Any]) -> None:
    page = open_page(f"{base}products/?q=fernhollow", accept_downloads=True)
    page.get_by_text("Columns", exact=True).click()
    page.get_by_label("Ports").uncheck()
    lines = saved(page, "Save as CSV")
    assert lines[0][:4] == ["Product", "Power", "Tier", "Year"] and "Ports" not in lines[0]
    assert lines[1][:4] == ["Fernhollow FH-65", "65 W", "46-67 W", "2025"] and len(lines) == 2
    assert "without=ports" in page.url


@pytest.mark.parametrize("late", ["tables.js", "tray.js"])
def test_the_parts_of_the_script_may_come_in_any_order(late: str, base: str, open_page: Callable[..., Any]) -> None:
    page = open_page(base, accept_downloads=True)
    page.route(f"**/{late}", lambda route: (time.sleep(0.5), route.continue_()))
    page.goto(f"{base}products/")
    expect(page.get_by_role("button", name="Add to comparison")).to_have_count(3)
    page.get_by_role("button", name="Save as CSV").wait_for()
    first = [line[0] for line in saved(page, "Save as CSV")]
    assert first == ["Product", "Fernhollow FH-65", "Wexmoor WX-60", "Osk Bare"]
    expect(page.get_by_role("button", name="Add to comparison")).to_have_count(3)


def test_a_comparison_by_address_equals_the_ready_made_one(base: str, open_page: Callable[..., Any]) -> None:
    rows = "[...document.querySelectorAll('.lf-comparison tr')]"
    cells = f"{rows}.map(row => [...row.cells].map(cell => cell.textContent.trim()))"
    ready = open_page(f"{base}compare/tier/46-67-w/")
    page = open_page(f"{base}{PAIR}")
    page.wait_for_selector(".lf-comparison")
    assert page.evaluate(cells) == ready.evaluate(cells)
    marked = "[...document.querySelectorAll('.lf-differs > th')].map(cell => cell.textContent)"
    assert page.evaluate(marked) == ready.evaluate(marked)
    assert page.problems == ready.problems == []


def test_a_comparison_can_be_changed_kept_and_saved(base: str, open_page: Callable[..., Any]) -> None:
    page = open_page(f"{base}{PAIR}", accept_downloads=True)
    page.wait_for_selector(".lf-comparison")
    lines = saved(page, "Save as CSV")
    assert lines[0] == ["Asked", "Fernhollow FH-65", "Wexmoor WX-60", "Difference"]
    page.get_by_label("Add a product").focus()
    expect(page.locator("#lf-products option")).to_have_count(3)
    page.get_by_label("Add a product").fill("Osk Bare")
    page.keyboard.press("Enter")
    expect(page.locator(".lf-comparison thead th")).to_have_count(5)
    assert page.url == f"{base}compare/?p=fernhollow/fh-65&p=wexmoor/wx-60&p=osk/bare"
    page.get_by_role("button", name="Leave out Fernhollow FH-65").click()
    expect(page.locator(".lf-comparison thead th")).to_have_count(4)
    assert page.url.endswith("?p=wexmoor/wx-60&p=osk/bare")


def test_an_unknown_product_is_said(base: str, open_page: Callable[..., Any]) -> None:
    page = open_page(f"{base}compare/?p=no/such&p=../../x&p=%3Cimg%20src=x%3E")
    page.get_by_text("No such product here: no/such.").wait_for()
    assert page.get_by_text("Choose at least two products.").is_visible()


def test_picked_products_are_kept_while_one_looks_around(base: str, open_page: Callable[..., Any]) -> None:
    page = open_page(f"{base}{PRODUCT}")
    page.get_by_role("button", name="Add to comparison").click()
    assert page.get_by_text("Pick one more.").is_visible()
    page.goto(f"{base}products/")
    page.get_by_role("row", name="Wexmoor WX-60").get_by_role("button", name="Add to comparison").click()
    page.get_by_role("link", name="Compare them").click()
    page.wait_for_selector(".lf-comparison")
    assert page.url == f"{base}{PAIR}"
    page.go_back()
    page.get_by_role("region", name="Products to compare").get_by_role("button", name="Empty").click()
    assert not page.get_by_role("region", name="Products to compare").is_visible()


def test_without_script_everything_reads_and_no_dead_control_is_shown(base: str, open_page: Callable[..., Any]) -> None:
    page = open_page(f"{base}products/", java_script_enabled=False)
    assert names(page) == ["Fernhollow FH-65", "Wexmoor WX-60", "Osk Bare"]
    assert page.locator("form").is_hidden() and page.locator("button:visible").count() == 0
    page.goto(f"{base}{PRODUCT}")
    assert page.locator("button:visible").count() == 0
    page.get_by_role("link", name="others of 46–67 W").click()
    assert page.locator(".lf-comparison tbody tr").count() > 40
    page.goto(f"{base}compare/")
    assert page.get_by_role("link", name="46–67 W").is_visible()


@pytest.mark.parametrize(
    "path",
    [
        "", "products/", PRODUCT, "compare/tier/46-67-w/", "trends/technology-by-tier/", "methods/bulk_valley_v/",
        "fields/", "parts/quillstone/qs650-r150/", "checks/", "tiers/46-67-w/",
    ],
)  # fmt: skip
def test_no_page_scrolls_sideways_on_a_telephone(path: str, base: str, open_page: Callable[..., Any]) -> None:
    page = open_page(f"{base}{path}", 390)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert page.problems == []
