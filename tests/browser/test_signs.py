"""The sign of direct current on pages: drawn from the site's own small font, whatever fonts the reader has.

Form of the sign: a solid line over three dashes (IEC 60417-5031, from memory).
"""

from typing import Any

import pytest

pytestmark = pytest.mark.browser
SIGN = "\u2393"
FONT = "Lidoff Signs"
# lengths of the inked pieces in each inked row of the sign at 200 px, from the top; neighbours that are alike once
RUNS = """async () => {
  await document.fonts.load("200px 'Lidoff Signs'", "\u2393");
  const canvas = Object.assign(document.createElement("canvas"), { width: 200, height: 300 });
  const pen = canvas.getContext("2d");
  pen.font = "200px 'Lidoff Signs'";
  pen.fillText("\u2393", 20, 220);
  const { data } = pen.getImageData(0, 0, 200, 300);
  const rows = [];
  for (let y = 0; y < 300; y += 1) {
    const runs = [];
    for (let x = 0; x < 200; x += 1) {
      const ink = data[4 * (200 * y + x) + 3] > 127;
      if (ink && x && data[4 * (200 * y + x - 1) + 3] > 127) runs[runs.length - 1] += 1;
      else if (ink) runs.push(1);
    }
    rows.push(runs);
  }
  return rows.filter((runs, y) => runs.length && JSON.stringify(runs) !== JSON.stringify(rows[y - 1]));
}"""


def fonts_of(page: Any, selector: str) -> dict[str, int]:
    """The fonts that an element's text is drawn with, and how many signs each draws."""
    browser = page.context.new_cdp_session(page)
    browser.send("DOM.enable")
    browser.send("CSS.enable")
    root = browser.send("DOM.getDocument")["root"]["nodeId"]
    node = browser.send("DOM.querySelector", {"nodeId": root, "selector": selector})["nodeId"]
    found = browser.send("CSS.getPlatformFontsForNode", {"nodeId": node})["fonts"]
    return {font["familyName"]: int(font["glyphCount"]) for font in found if font["isCustomFont"]}


@pytest.fixture
def product(site: Any) -> str:
    return next(f"products/{slug}/" for slug, one in site.records.items() if SIGN in one["label"].get("printed", ""))


@pytest.mark.parametrize("media", ["screen", "print"])
def test_every_sign_on_a_label_is_drawn_from_the_site_s_font(media: str, product: str, visit: Any) -> None:
    page = visit(product)
    page.emulate_media(media=media)
    page.evaluate("document.fonts.ready")
    label = page.locator(".lf-print").first
    assert fonts_of(page, ".lf-print") == {FONT: label.inner_text().count(SIGN)}


def test_the_sign_is_a_line_over_three_dashes(product: str, visit: Any) -> None:
    line, dashes = visit(product).evaluate(RUNS)
    assert len(line) == 1 and len(dashes) == 3
    assert max(dashes) - min(dashes) <= 1 and sum(dashes) < line[0]
    assert line[0] > 90, "at 200 px it is as wide as a digit"


def test_a_page_without_the_sign_loads_no_font(visit: Any) -> None:
    page = visit("about/")
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.reload()
    page.wait_for_function(page.ready)
    assert asked and not [url for url in asked if url.endswith(".woff2")]
    assert SIGN not in page.locator("main").inner_text()
