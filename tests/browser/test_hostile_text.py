"""Records whose texts try to be more than text: nothing runs, nothing is fetched, and readers see what was written."""

import base64
import csv
import io
import itertools
import json
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
import yaml
from playwright.sync_api import expect

from lidoff.record.identity import product_path

pytestmark = pytest.mark.browser
CORPUS = yaml.safe_load((Path(__file__).parents[1] / "hostile" / "payloads.yaml").read_text(encoding="utf-8"))
# the reader refuses blanks at an end
PAYLOADS = tuple(text for name in CORPUS if name != "refused_signs" for text in CORPUS[name] if text == text.strip())
ALT, CAPTION, CREDIT = '"><svg onload=window.ran=1>', "' onmouseover='window.ran=1", '" autofocus onfocus="window.ran=1'
# these name what lies beside them: a column of a log, another field
KEPT = ("product.brand", "product.model", "columns.*", ".field")
PRODUCTS = (
    ("<img src=x onerror=window.ran=1>", '"><svg onload=window.ran=1>'),
    ('=HYPERLINK("//evil.example","x")', "{{7*7}}<b>"),
)
PICTURE = base64.b64decode(
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg=="
)
# a search of the site's own pages may ask for any text; where a link leads may hold none of it
UNTIDY = """() => {
  const place = (value) => {
    const address = URL.canParse(value, document.baseURI) ? new URL(value, document.baseURI) : null;
    return address?.origin === location.origin ? decodeURIComponent(address.pathname) : value;
  };
  const found = [...document.querySelectorAll("iframe, object, embed, base, frame, main link, main style, main meta, main script:not([type='application/ld+json'])")];
  for (const element of document.querySelectorAll("*")) {
    for (const { name, value } of element.attributes) {
      const leads = ["href", "src", "action", "formaction", "xlink:href", "srcset"].includes(name);
      if (name.startsWith("on") || name === "style" || name === "autofocus" || (leads && (/^\\s*(javascript|data:text)/i.test(value) || /evil\\.example/i.test(place(value))))) {
        found.push(element);
      }
    }
  }
  return found.map((element) => element.outerHTML.slice(0, 200));
}"""


def hostile_record(original: dict, brand: str, model: str, start: int, hostile: ModuleType) -> dict:
    """A copy of a demo record, by another name, with the payloads in turn in its fields, and a picture."""
    texts = itertools.cycle(PAYLOADS[start:] + PAYLOADS[:start])

    def choose(path: str, most: int) -> str | None:
        return None if path.endswith(KEPT) else next(text for text in texts if len(text) <= most)

    record = hostile.placed(original, choose)
    record["product"] |= {"brand": brand, "model": model}
    record["corrections"] = [{"date": "2026-03-09", "what": text} for text in PAYLOADS]
    credit = {"alt": ALT, "caption": CAPTION, "credit": CREDIT, "license": "CC0-1.0"}
    record["photos"] = [{"file": "photos/top.png", "kind": "photo"} | credit]
    for port in record["ports"]:
        port |= {"other_protocols": list(PAYLOADS[:2])}
    return record


def write(base: Path, record: dict, beside: Path, hostile: ModuleType) -> None:
    """The record with its picture and with the logs that lie beside the original."""
    slug = product_path(record["product"]["brand"], record["product"]["model"])
    folder = base / "entries" / slug
    shutil.copytree(beside, folder, ignore=shutil.ignore_patterns("photos"))
    (folder / "photos").mkdir()
    (folder / "photos" / "top.png").write_bytes(PICTURE + slug.encode())  # no two entries have the same file
    (folder / "record.yaml").write_text(hostile.as_yaml(record), encoding="utf-8")


@pytest.fixture(scope="session")
def hostile_site(built_once: Any, write_demo: Any, serve: Any, hostile: ModuleType) -> Iterator[Any]:
    """A knowledge base of two products that hold nothing but payloads."""

    def write_base(base: Path) -> None:
        entries, demo = write_demo(base) / "entries", base / "demo"
        entries.rename(demo)
        files = [
            file for file in demo.glob("*/*/record.yaml") if "status: published" in file.read_text(encoding="utf-8")
        ]
        longest = max(sorted(files), key=lambda file: file.stat().st_size)
        original = yaml.load(longest.read_text(encoding="utf-8"), yaml.CSafeLoader)
        for number, (brand, model) in enumerate(PRODUCTS):
            start = number * len(PAYLOADS) // len(PRODUCTS)
            write(base, hostile_record(original, brand, model, start, hostile), longest.parent, hostile)
        protocols = {"other_protocols": [{"name": text, "aliases": [], "note": text} for text in PAYLOADS[:2]]}
        (entries / "other-protocols.yaml").write_text(hostile.as_yaml(protocols), encoding="utf-8")

    with serve(built_once("hostile", write_base)) as site:
        yield site


@pytest.fixture
def two(hostile_site: Any) -> str:
    return "compare/?" + "&".join(f"p={slug}" for slug in sorted(hostile_site.records))


def shown(page: Any) -> str:
    """All text of the page; a no-break space is a space."""
    return page.evaluate("document.body.textContent").replace("\u00a0", " ")


def test_every_payload_is_a_text_that_the_record_may_hold(hostile_site: Any) -> None:
    assert len(hostile_site.records) == 2 and len(PAYLOADS) >= 150
    text = json.dumps(list(hostile_site.records.values()), ensure_ascii=False, default=str)
    # in the corrections of both, and in some other field of one at least
    assert [payload for payload in PAYLOADS if text.count(json.dumps(payload, ensure_ascii=False)) < 3] == []


@pytest.mark.parametrize("number", [0, 1])
def test_product_page_shows_each_text_as_it_was_written(number: int, hostile_site: Any, visit: Any) -> None:
    slug = sorted(hostile_site.records)[number]
    page = visit(f"products/{slug}/", url=hostile_site.url)
    text = shown(page)
    assert [payload for payload in PAYLOADS if payload not in text] == []
    blocks = page.locator("script[type='application/ld+json']").all_text_contents()
    assert [json.loads(block)["headline"] for block in blocks] == [hostile_site.title(slug)]
    assert page.locator("h1").inner_text() == hostile_site.title(slug)
    assert page.locator("main").bounding_box()["height"] > 5000, "a payload hides the page"
    assert page.evaluate("document.images.length") == 1
    assert page.locator("main img").get_attribute("alt") == ALT


@pytest.mark.long
def test_no_page_at_all_runs_anything_without_a_policy_either(hostile_site: Any, visit: Any) -> None:
    page = visit("", url=hostile_site.url, bypass_csp=True)
    page.evaluate(
        "() => { const one = document.createElement('script'); one.text = 'window.can = 1'; document.body.append(one); }"
    )
    assert page.evaluate("window.can") == 1, "the policy still holds"
    kept = ("methods", "method", "fields", "vocabulary", "prose", "checks")
    pages = [path for path in hostile_site.addresses if not any(path in hostile_site.of_kind(kind) for kind in kept)]
    assert len(pages) > 60
    for path in pages:
        page.goto(hostile_site.url + path[1:])
        page.wait_for_function(page.ready)
        assert page.evaluate(UNTIDY) == [], path
        assert page.evaluate("[window.ran, typeof ran]") == [None, "undefined"], path
        assert page.url == hostile_site.url + path[1:]


@pytest.mark.parametrize("width", [1280, 390])
def test_no_page_runs_loads_or_gains_anything(width: int, hostile_site: Any, visit: Any) -> None:
    kinds = (
        "home",
        "products",
        "product",
        "parts",
        "part",
        "maker",
        "brand",
        "tier",
        "trends",
        "trend",
        "ready-made",
        "check",
        "compare",
    )
    page = visit("", width, url=hostile_site.url)
    for path in [path for kind in kinds for path in hostile_site.of_kind(kind)[:3]]:
        page.goto(hostile_site.url + path[1:])
        page.wait_for_function(page.ready)
        assert page.evaluate(UNTIDY) == [], path
        assert page.evaluate("window.ran") is None, path
        assert page.evaluate("document.documentElement.scrollWidth") <= width, path
        assert page.url == hostile_site.url + path[1:]


def test_the_search_for_what_a_page_gained_finds_it(hostile_site: Any, visit: Any) -> None:
    page = visit("about/", url=hostile_site.url)
    assert page.evaluate(UNTIDY) == []
    page.evaluate("""() => {
      document.querySelector("main").append(document.createElement("style"), document.createElement("iframe"));
      document.querySelector("main a").setAttribute("href", " javascript:window.ran=1");
      document.querySelector("main h1").setAttribute("onclick", "void 0");
    }""")
    assert len(page.evaluate(UNTIDY)) == 4
    page.complaints.clear()


@pytest.mark.parametrize("kind", ["part", "maker", "ready-made", "brand"])
def test_payload_is_the_very_title_of_some_page(kind: str, hostile_site: Any, visit: Any) -> None:
    names = [*PAYLOADS, *(name for product in PRODUCTS for name in product)]
    for path in hostile_site.of_kind(kind)[:2]:
        page = visit(path, url=hostile_site.url)
        assert any(name in page.locator("h1").inner_text() for name in names), path
        assert any(name in page.title() for name in names), path


def test_scripts_of_the_index_take_texts_as_texts(hostile_site: Any, visit: Any) -> None:
    page = visit("products/", url=hostile_site.url)
    titles = sorted(hostile_site.title(slug) for slug in hostile_site.records)
    assert sorted(page.locator("table[data-table=products] tbody th > a").all_inner_texts()) == titles
    page.get_by_label("Contains").fill("{{7*7}}<B>")
    expect(page.get_by_role("status")).to_have_text("1 of 2 rows")
    page.reload()
    expect(page.get_by_label("Contains")).to_have_value("{{7*7}}<B>")
    page.get_by_role("button", name="Clear").click()
    page.get_by_role("columnheader", name="Product").get_by_role("button").click()
    with page.expect_download() as download:
        page.get_by_role("button", name="Save as CSV").click()
    rows = list(csv.reader(io.StringIO(Path(download.value.path()).read_text(encoding="utf-8"))))
    # a spreadsheet would run a cell that begins with an equals sign
    assert sorted(row[0].removeprefix("'") for row in rows[1:]) == titles
    assert sum(row[0].startswith("'=HYPERLINK") for row in rows) == 1
    assert not any(cell.startswith(("=", "+", "-", "@")) for row in rows for cell in row)
    assert page.evaluate(UNTIDY) == [] and page.evaluate("window.ran") is None


def test_scripts_of_the_comparison_take_texts_as_texts(two: str, hostile_site: Any, visit: Any) -> None:
    page = visit("products/", url=hostile_site.url)
    for _ in range(2):
        page.get_by_role("button", name="Add to comparison").first.click()
    assert page.evaluate(UNTIDY) == []
    page.get_by_role("link", name="Compare them").click()
    page.locator("table.lf-comparison").wait_for()
    assert all(hostile_site.title(slug) in shown(page) for slug in hostile_site.records)
    page.goto(hostile_site.url + two)
    page.locator("table.lf-comparison").wait_for()
    assert sum(payload in shown(page) for payload in PAYLOADS) > 3
    page.get_by_label("Add a product").focus()
    expect(page.locator("datalist option")).to_have_count(2)
    page.get_by_role("button", name="Leave out").first.click()
    assert page.evaluate(UNTIDY) == [] and page.evaluate("window.ran") is None


def test_exported_data_holds_the_texts_unchanged(hostile_site: Any) -> None:
    for slug, record in hostile_site.records.items():
        whole = (hostile_site.folder / "data" / "records" / f"{slug}.json").read_text(encoding="utf-8")
        assert record["product"]["brand"] in json.dumps(json.loads(whole), ensure_ascii=False).replace('\\"', '"')
    for file in sorted((hostile_site.folder.resolve() / "data").rglob("*.csv")):
        for row in csv.reader(io.StringIO(file.read_text(encoding="utf-8"))):
            risky = [cell for cell in row if cell.startswith(("=", "@", "+"))]
            assert risky == [], f"{file.name}: a spreadsheet would run {risky}"


@pytest.mark.parametrize("text", ["left \u202e right", '"left \\u202e right"', "\u2066x\u2069"])
def test_text_that_turns_its_direction_is_refused(text: str, tmp_path: Path, write_demo: Any) -> None:
    base = write_demo(tmp_path / "base")
    record = sorted((base / "entries").glob("*/*/record.yaml"))[0]
    content = record.read_text(encoding="utf-8")
    record.write_text(f"{content.rstrip()}\nsource: {text}\n", encoding="utf-8")
    command = [sys.executable, "-m", "lidoff", "check", "--format", "json", str(record)]
    done = subprocess.run(command, cwd=base, capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert "record-character" in {finding["rule"] for finding in json.loads(done.stdout)["findings"]}
