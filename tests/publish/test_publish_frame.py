"""The frame of every page, held against WCAG 2.2 AA where a program can judge it, in both colours, narrow and wide."""

import threading
from collections.abc import Callable, Iterator

import pytest

from lidoff.publish.build import build_site
from lidoff.publish.preview import Preview
from lidoff.publish.server import open_server

SPECIMEN = """# Methods in one page

Some text with [a link](products/index.md) in it.

## Code and a warning

```python
# a comment in soft ink
voltage_v: float = 20.05  # measured at the connector
wide = "a line that is wider than a telephone and has to be scrolled sideways, so that the keyboard must reach it too"
```

??? note "Closed"
    Hidden text.

!!! warning "Treat as charged"
    No discharge path recorded: treat as charged until proved dead.

## A wide table

| Product | Mains voltage | Mains frequency | Output voltage | Output current | Input power | Efficiency | Uncertainty |
|---|--:|--:|--:|--:|--:|--:|--:|
| Fernhollow FH-65 | 115 V | 60 Hz | 20.05 V | 0.81 A | 18.10 W | 89.7 % | 0.4 points |

## Third part

### Below it

Term
:   What it means.
"""
EXTENSIONS = """
  - admonition
  - def_list
  - toc: {permalink: "#"}
  - pymdownx.details
  - pymdownx.highlight
  - pymdownx.superfences
"""
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
PAGES = ("", "methods/", "products/fernhollow/fh-65/", "no/such/page/")


class NoEdits:
    """Records that nobody edits."""

    def look(self, address: str) -> bool:
        return False

    def is_ahead(self, address: str) -> bool:
        return False

    def refresh(self) -> frozenset[str]:
        return frozenset()

    def page(self, address: str) -> None:
        return None

    def earlier_page(self, address: str) -> None:
        return None

    def moved(self, address: str) -> None:
        return None

    def file(self, path: str) -> None:
        return None

    def findings(self, address: str) -> tuple:
        return ()


@pytest.fixture(scope="module")
def site(write_project, tmp_path_factory) -> Iterator[str]:
    project = write_project(tmp_path_factory.mktemp("frame") / "base")
    (project.folder / "docs" / "methods.md").write_text(SPECIMEN, encoding="utf-8")
    config = project.folder / "mkdocs.yml"
    text = config.read_text(encoding="utf-8").replace("  - Safety", "  - Methods: methods.md\n  - Safety") + EXTENSIONS
    config.write_text(text, encoding="utf-8")
    result = build_site(project.settings, project.source, strict=True)
    assert result.is_good, result.messages
    with open_server(Preview((result.site,), result.frames, NoEdits()), 0, is_exact=True) as server:
        threading.Thread(target=server.serve_forever, args=(0.05,)).start()
        yield server.url
        server.shutdown()


@pytest.fixture
def violations() -> Callable[[object], list[str]]:
    from axe_playwright_python.sync_playwright import Axe

    def violations(page: object) -> list[str]:
        found = Axe().run(page, options={"runOnly": TAGS}).response["violations"]
        return [f"{rule['id']}: {node['html']}" for rule in found for node in rule["nodes"]]

    return violations


@pytest.mark.browser
@pytest.mark.parametrize(("colours", "width"), [("light", 1280), ("dark", 390)])
def test_no_rule_of_accessibility_is_broken(site, open_page, violations, colours, width):
    page = open_page(site, width, colours, bypass_csp=True)  # axe puts its script into the page
    for path in PAGES:
        page.goto(site + path)
        assert violations(page) == [], path


@pytest.mark.browser
def test_page_never_scrolls_sideways(site, open_page):
    page = open_page(site)
    for path in PAGES:
        page.goto(site + path)
        for width in (320, 390, 1280):  # 320 CSS pixels: WCAG 2.2, success criterion 1.4.10 Reflow
            page.set_viewport_size({"width": width, "height": 900})
            assert page.evaluate("document.documentElement.scrollWidth") <= width, path


@pytest.mark.browser
def test_nothing_is_blocked_and_nothing_is_asked_of_others(site, open_page):
    page = open_page(site)
    for path in PAGES[:-1]:
        page.goto(site + path)
        page.wait_for_function("document.querySelector('button').hidden === false")
        assert page.problems == [], path


@pytest.mark.browser
def test_keyboard_reaches_the_content_first_and_the_scrolling_parts(site, open_page):
    page = open_page(site + "methods/", 390)
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Skip to the content"
    assert page.evaluate("document.activeElement.getBoundingClientRect().top") >= 0
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "content"
    reached = set()
    for _ in range(20):
        page.keyboard.press("Tab")
        reached.add(page.evaluate("document.activeElement.className || document.activeElement.tagName"))
    assert {"scroller", "CODE"} <= reached


@pytest.mark.browser
@pytest.mark.parametrize(("system", "other"), [("light", "dark"), ("dark", "light")])
def test_colours_follow_the_system_until_they_are_chosen(site, open_page, system, other):
    page = open_page(site, colours=system)
    paper = "getComputedStyle(document.body).backgroundColor"
    first = page.evaluate(paper)
    button = page.get_by_role("button", name=f"{other.capitalize()} colours")
    button.click()
    assert page.evaluate(paper) != first
    page.goto(site + "methods/")
    assert page.evaluate(paper) != first
    page.get_by_role("button", name=f"{system.capitalize()} colours").click()
    assert page.evaluate(paper) == first


@pytest.mark.browser
def test_page_reads_without_script(site, open_page):
    page = open_page(site + "methods/", java_script_enabled=False)
    assert page.get_by_role("link", name="Products").count() == 1
    assert page.get_by_role("button").count() == 0
    assert page.get_by_role("heading", level=1).inner_text().startswith("Methods in one page")


@pytest.mark.browser
def test_links_in_text_are_seen_without_colour(site, open_page):
    page = open_page(site + "methods/")
    assert "underline" in page.evaluate("getComputedStyle(document.querySelector('main p a')).textDecorationLine")


@pytest.mark.browser
def test_print_is_light_and_leaves_the_navigation_out(site, open_page):
    page = open_page(site + "methods/", colours="dark")
    page.emulate_media(media="print", color_scheme="dark")
    assert page.evaluate("getComputedStyle(document.documentElement).colorScheme") == "light"
    for part in (".frame-nav", ".frame-colours", ".frame-contents", ".frame-skip"):
        assert not page.locator(part).is_visible()
    assert page.locator("main").is_visible()
