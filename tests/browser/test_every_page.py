"""What holds for every kind of page: it fits its window, says nothing to the console, asks nobody else, and keeps the policy."""

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from lidoff.publish.policy import content_policy

pytestmark = pytest.mark.browser
WIDTHS = (1280, 390, 320)  # 320 CSS pixels: WCAG 2.2, success criterion 1.4.10 Reflow
PAPER_PX = 700  # A4 less margins, at 96 pixels an inch
PAGE_WIDTH = "document.documentElement.scrollWidth"
# pictures further down wait until they are scrolled to: here all of them are asked for
UNLOADED = """async () => (await Promise.all([...document.images].map((image) => {
  image.loading = "eager";
  return image.decode().then(() => "", () => image.currentSrc || image.src);
}))).filter(Boolean)"""
LINK_COLOURS = (
    """() => [...document.querySelectorAll("main p a")].slice(0, 3).map((link) => getComputedStyle(link).color)"""
)


@pytest.fixture
def one_of_each(site: Any, kinds: Any) -> list[str]:
    """The largest page of each kind, the smallest product, a comparison by address and the page for unknown addresses."""
    two = "&".join(f"p={slug}" for slug in list(site.records)[:2])
    largest = [site.of_kind(kind)[0] for kind in kinds]
    return [*largest, site.of_kind("product")[-1], "/safety/", f"/compare/?{two}", "/no/such/page/"]


@pytest.fixture
def walk(visit: Any, site: Any) -> Callable[..., Iterator[tuple[str, Any]]]:
    """Goes through pages in one window; each must answer with the policy in its headers and leave no complaint."""

    def walk(paths: list[str], width: int, colours: str, **options: Any) -> Iterator[tuple[str, Any]]:
        page = visit("", width, colours, **options)
        for path in paths:
            answer = page.goto(site.url + path[1:])
            if options.get("java_script_enabled", True):
                page.wait_for_function(page.ready)
            assert answer.headers["content-security-policy"] == content_policy(), path
            is_missing = path.startswith("/no/")
            assert answer.status == (404 if is_missing else 200), path
            yield path, page
            complaints = [one for one in page.complaints if not (is_missing and "404" in one)]
            assert complaints == [], path
            page.complaints.clear()

    return walk


def test_every_page_is_of_a_known_kind(site: Any, kinds: Any) -> None:
    for address in site.addresses:
        fitting = [kind for kind, form in kinds.items() if re.fullmatch(form, address)]
        assert len(fitting) == 1, f"{address}: {fitting}; a new kind belongs into KINDS"
    assert all(site.of_kind(kind) for kind in kinds)


def test_the_header_is_the_policy_that_the_site_asks_for(site: Any) -> None:
    # the headers that the pages are served with here come from this file
    assert content_policy() in (site.folder / "_headers").read_text(encoding="utf-8")


@pytest.mark.parametrize("colours", ["light", "dark"])
def test_page_fits_its_window_and_is_quiet(colours: str, one_of_each: list[str], walk: Any) -> None:
    for path, page in walk(one_of_each, WIDTHS[0], colours):
        assert page.evaluate("matchMedia('(prefers-color-scheme: dark)').matches") == (colours == "dark")
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": 900})
            assert page.evaluate(PAGE_WIDTH) <= width, f"{path} is wider than {width}"
        page.set_viewport_size({"width": WIDTHS[0], "height": 900})
        assert page.evaluate(UNLOADED) == [], path


def test_light_and_dark_differ(site: Any, visit: Any) -> None:
    product = site.of_kind("product")[0]
    seen = {colours: visit(product, colours=colours).evaluate(LINK_COLOURS) for colours in ("light", "dark")}
    assert seen["light"] and seen["light"] != seen["dark"]


def test_page_reads_without_script(one_of_each: list[str], walk: Any) -> None:
    for path, page in walk(one_of_each, 390, "light", java_script_enabled=False):
        assert page.locator("main h1").count() == 1, path
        assert page.locator("button:visible, select:visible, input:visible").count() == 0, (
            f"{path} shows a control that does nothing"
        )
        assert page.locator("main").inner_text().strip() != "", path


def test_page_prints_without_controls_and_within_the_paper(one_of_each: list[str], walk: Any) -> None:
    for path, page in walk(one_of_each, PAPER_PX, "dark"):
        page.emulate_media(media="print", color_scheme="dark")
        assert page.locator("main :is(button:not(.lf-sort), input, select):visible").count() == 0, path
        assert page.evaluate("getComputedStyle(document.documentElement).colorScheme") == "light", path
        assert page.evaluate(PAGE_WIDTH) <= PAPER_PX, f"{path} is wider than the paper"


def test_a_page_that_does_all_of_it_is_told(visit: Any, site: Any, tmp_path: Path) -> None:
    """The watch over the pages must be able to fail: a page that breaks every rule at once gives a complaint for each."""
    page = visit("about/")
    page.evaluate("""async () => {
      console.debug("said");
      const add = (name, ...attributes) => {
        const element = document.createElement(name);
        attributes.forEach(([key, value]) => element.setAttribute(key, value));
        document.body.append(element);
      };
      add("img", ["src", "https://elsewhere.example/a.png"]);
      add("img", ["src", "/no-such.png"]);
      add("b", ["style", "color: red"]);
      add("i", ["onclick", "void 0"]);
      setTimeout(() => { throw new Error("thrown"); });
      await new Promise((later) => setTimeout(later, 300));
      alert("shown");
    }""")
    told = "\n".join(page.complaints)
    for part in (
        "console debug: said", "answer 404:", "policy img-src https://elsewhere.example", "policy style-src-attr inline",
        "policy script-src-attr inline", "script error: thrown", "dialog: shown",
    ):  # fmt: skip
        assert part in told
    page.complaints.clear()


@pytest.mark.long
def test_every_single_page_fits_a_telephone_and_is_quiet(site: Any, walk: Any) -> None:
    count = 0
    for path, page in walk(site.addresses, 390, "dark"):
        assert page.evaluate(PAGE_WIDTH) <= 390, path
        count += 1
    assert count == len(site.addresses) > 100


def test_no_name_of_a_product_stands_in_the_next_column_on_a_telephone(visit: Any) -> None:
    overlaps = """() => [...document.querySelectorAll("main th[scope=row] > a")].filter((link) => {
      const next = link.parentElement.nextElementSibling;
      return next && link.getBoundingClientRect().right > next.getBoundingClientRect().left;
    }).map((link) => link.textContent)"""
    for path in ("", "products/", "tiers/101-140-w/", "brands/ostermere/"):
        page = visit(path, 390)
        assert page.locator("main th[scope=row] > a").count() > 1, path
        assert page.evaluate(overlaps) == [], path
