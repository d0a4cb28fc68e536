"""WCAG 2.2 AA, as far as a program can judge it (axe-core), on every kind of page.

The quick run judges light colours at full width, where nothing is scrolled out of sight, and all else at both widths; of long tables
and long pages the first rows and chapters: those below are made of the same pieces. ``--long`` judges everything in all four windows.
"""

from collections.abc import Callable
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe

pytestmark = pytest.mark.browser
QUICKLY = {"exclude": [["tbody tr:nth-child(n+10)"], ["h2:nth-of-type(n+7) ~ *"]]}
WHOLLY = {}
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
EVERYTHING = {"runOnly": TAGS}
COLOURS_ONLY = {"runOnly": {"type": "rule", "values": ["color-contrast", "link-in-text-block"]}}
ALL_BUT_CONTRAST = {"runOnly": TAGS, "rules": {"color-contrast": {"enabled": False}}}
QUICK = [("light", 1280, EVERYTHING), ("dark", 390, ALL_BUT_CONTRAST)]
# the width decides what lies where, the scheme what colour it has: together these miss nothing of the four windows
FULL = [
    ("light", 1280, EVERYTHING),
    ("light", 390, COLOURS_ONLY),
    ("dark", 1280, COLOURS_ONLY),
    ("dark", 390, EVERYTHING),
]
FAULTY = """() => {
  const text = document.createElement("p");
  text.append("too faint");
  text.style.color = "#ccc";
  const image = document.createElement("img");
  const close = ["a", "b"].map((label) => Object.assign(document.createElement("button"), { textContent: label }));
  close.forEach((button) => { button.style.cssText = "font-size: 8px; padding: 0; margin: 0; border: 0; width: 8px; height: 8px"; });
  document.querySelector("main").append(text, image, ...close);
}"""


@pytest.fixture
def violations(visit: Any, site: Any) -> Callable[..., list[str]]:
    """What axe finds wrong on some pages, in one kind of window."""
    script = Axe().axe_script

    def violations(
        paths: list[str], width: int, colours: str, options: dict, part: dict = QUICKLY, **window: Any
    ) -> list[str]:
        page = visit("", width, colours, reduced_motion="reduce", **window)
        found = []
        for path in paths:
            page.goto(site.url + path[1:])
            page.wait_for_function(page.ready)
            page.evaluate(script)
            asked = [part, options | {"resultTypes": ["violations"]}]
            results = page.evaluate("([part, options]) => axe.run(part.exclude ? part : document, options)", asked)
            assert any(results[kind] for kind in ("passes", "incomplete", "violations")), (
                f"axe judged nothing on {path}"
            )
            found += [
                f"{path} {rule['id']}: {node['html'][:300]}" for rule in results["violations"] for node in rule["nodes"]
            ]
        return found

    return violations


@pytest.fixture
def one_of_each(site: Any, kinds: Any) -> list[str]:
    """The largest page of each kind and a comparison by address."""
    two = "&".join(f"p={slug}" for slug in list(site.records)[:2])
    return [*(site.of_kind(kind)[0] for kind in kinds), "/safety/", f"/compare/?{two}"]


@pytest.mark.parametrize(("colours", "width", "options"), QUICK, ids=["light-1280", "dark-390"])
def test_no_criterion_is_broken(
    colours: str, width: int, options: dict, one_of_each: list[str], violations: Any
) -> None:
    assert violations(one_of_each, width, colours, options) == []


def test_page_for_unknown_addresses_breaks_no_criterion(visit: Any, violations: Any) -> None:
    page = visit("no/such/page/")
    page.evaluate(Axe().axe_script)
    assert page.evaluate("options => axe.run(document, options)", EVERYTHING)["violations"] == []
    assert page.complaints and all("404" in complaint for complaint in page.complaints)
    page.complaints.clear()


def test_readers_who_choose_the_colours_themselves(site: Any, violations: Any) -> None:
    kinds = ("home", "products", "trend", "trends", "ready-made", "compare", "search", "lookup", "part", "designs")
    paths = [site.of_kind(kind)[0] for kind in (*kinds, "life-size-set")] + site.of_kind("product")[-1:]
    assert violations(paths, 1280, "dark", EVERYTHING, forced_colors="active") == []


ANSWERS = ("search/?q=gan", "parts/lookup/?q=QS", "parts/lookup/?q=Q", "search/?q=zzyzx&tier=46-67+W")


@pytest.mark.parametrize(
    "window",
    [{"colours": "light", "width": 1280}, {"colours": "dark", "width": 390}, {"forced_colors": "active"}],
    ids=["light-1280", "dark-390", "forced"],
)
def test_answers_of_the_search_and_the_lookup_break_no_criterion(window: dict, visit: Any) -> None:
    for path in ANSWERS:
        page = visit(path, **window)
        page.wait_for_function("() => document.querySelector('[data-status]').textContent")
        page.evaluate(Axe().axe_script)
        found = page.evaluate("options => axe.run(document, options)", EVERYTHING)["violations"]
        assert found == [], path


def test_states_that_a_reader_brings_about_break_no_criterion(site: Any, visit: Any) -> None:
    page = visit("products/", 390)
    page.get_by_role("button", name="Add to comparison").first.click()
    page.get_by_text("Columns", exact=True).click()
    page.get_by_role("columnheader", name="Power").get_by_role("button").click()
    page.get_by_label("Contains").fill("no such words")
    page.evaluate(Axe().axe_script)
    assert page.evaluate("options => axe.run(document, options)", EVERYTHING)["violations"] == []
    page.get_by_role("button", name="Clear").click()
    assert page.evaluate("options => axe.run(document, options)", EVERYTHING)["violations"] == []


def test_nothing_moves_for_readers_who_want_no_motion(site: Any, visit: Any) -> None:
    moving = """() => [...document.querySelectorAll("*")].filter((element) => {
      const style = getComputedStyle(element);
      const lasts = (text) => text.split(",").some((one) => parseFloat(one) > 0.01);
      return lasts(style.animationDuration) && style.animationName !== "none" || lasts(style.transitionDuration);
    }).map((element) => element.outerHTML.slice(0, 80))"""
    for kind in ("home", "products", "product", "search", "lookup", "trends", "compare", "life-size-set"):
        page = visit(site.of_kind(kind)[0], reduced_motion="reduce")
        assert page.evaluate(moving) == [], kind


def test_judge_finds_faults(visit: Any) -> None:
    # a judge that never finds anything would pass every page
    page = visit("about/", bypass_csp=True)
    page.evaluate(FAULTY)
    page.evaluate(Axe().axe_script)
    found = {rule["id"] for rule in page.evaluate("options => axe.run(document, options)", EVERYTHING)["violations"]}
    assert {"color-contrast", "image-alt", "target-size"} <= found


@pytest.mark.long
@pytest.mark.parametrize(
    ("colours", "width", "options"), FULL, ids=["light-1280", "light-390", "dark-1280", "dark-390"]
)
def test_no_criterion_is_broken_in_any_window(
    colours: str, width: int, options: dict, one_of_each: list[str], site: Any, violations: Any
) -> None:
    further = [page for kind in ("product", "trend", "method") for page in site.of_kind(kind)[1:5]]
    assert violations([*one_of_each, *further], width, colours, options, WHOLLY) == []


@pytest.mark.long
def test_no_criterion_is_broken_whatever_a_record_holds(site: Any, kinds: Any, violations: Any) -> None:
    # products and trends differ in what they are made of; of all others twelve stand for the rest
    pages = [page for kind in kinds for page in site.of_kind(kind)[: None if kind in ("product", "trend") else 12]]
    assert violations(pages, 1280, "light", ALL_BUT_CONTRAST, WHOLLY) == []
