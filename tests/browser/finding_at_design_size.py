"""What a reader's browser loads to find something among 10,000 products: the design size, made from the demo's records."""

import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

import pytest
from playwright.sync_api import expect

from lidoff.entry import Entry
from lidoff.pages.context import make_context
from lidoff.pages.sections import lookup, product_index, search
from lidoff.pipeline import prepare
from lidoff.publish.search import write_search_index
from lidoff.settings import Settings, read_settings

pytestmark = [pytest.mark.browser, pytest.mark.long]
COUNT = 10_000
MOST_LOADED = 400_000  # bytes, for one question
LEAST_LOADED = {"search/": 10_000, "parts/lookup/": 1_000}  # bytes; with less, nothing was asked for
MOST_PAGE = 300_000  # bytes of HTML
SYLLABLES = "ar bel cor den esk fal gor hel ist kel lor mon nar ost pel quen".split()
BODY = '<article class="lf-page"'


def varied(entry: Entry, number: int) -> Entry:
    """Another product: its own brand and model, and of some parts another number and print."""
    brand = (SYLLABLES[number % 16] + SYLLABLES[number // 16 % 16] + SYLLABLES[number % 7]).capitalize()
    product = replace(entry.record.product, brand=brand, model=f"{brand[0]}{number}")
    parts = []
    for place, part in enumerate(entry.record.components):
        suffix = f"{number % 97:02d}{chr(65 + number % 23)}"
        number_of = f"{part.part_number}{suffix}" if part.part_number and place % 3 == 0 else part.part_number
        marking = part.marking
        if marking and marking.lines:
            marking = replace(marking, lines=(*marking.lines[:-1], f"{marking.lines[-1]}{number % 9973:04d}"))
        parts.append(replace(part, part_number=number_of, marking=marking))
    record = replace(entry.record, product=product, components=tuple(parts))
    return replace(entry, slug=f"{brand.lower()}/{product.model.lower()}", record=record)


@pytest.fixture(scope="module")
def many(site: Any) -> tuple[list[Entry], Settings]:
    settings = read_settings(site.base / "mkdocs.yml")
    shown = tuple(prepare(settings).shown)
    return [varied(shown[number % len(shown)], number) for number in range(COUNT)], settings


@pytest.fixture(scope="module")
def large(site: Any, many: Any, tmp_path_factory: pytest.TempPathFactory, serve: Any) -> Iterator[Any]:
    """The demo's site with the searched files and the list of 10,000 products in place of its own."""
    base = tmp_path_factory.mktemp("large")
    folder = base / ".lidoff" / "site"
    shutil.copytree(site.folder.resolve(), folder)
    shutil.rmtree(folder / "pagefind")
    context = make_context(*many)
    write_search_index(search.texts(context), folder)
    for file in (*lookup.files(context), *product_index.files(context)):
        path = folder / file.path
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(file.content)
    (planned,) = product_index.index_plans(context)
    set_body(folder / "products" / "index.html", planned.make().body)
    (base / "entries").mkdir()
    with serve(base) as served:
        yield served


def set_body(page: Path, body: str) -> None:
    """Put another article into a page of the site."""
    html = page.read_text(encoding="utf-8")
    start, end = html.index(BODY), html.index("</article>") + len("</article>")
    page.write_text(html[:start] + body + html[end:], encoding="utf-8")


def loaded(page: Any) -> list[str]:
    """The address of every answer that the page gets from now on."""
    answers: list[str] = []
    page.on("response", lambda answer: answers.append(answer.url))
    return answers


def sizes(answers: list[str], large: Any) -> list[tuple[int, str]]:
    """The bytes of each answer, the largest first: the files are served as they are."""
    paths = [unquote(urlsplit(answer).path)[1:] for answer in answers if not answer.endswith("/")]
    return sorted(((large.folder / path).stat().st_size, path) for path in paths)[::-1]


@pytest.mark.parametrize(
    ("path", "field", "query", "found"),
    [
        *(("search/", "Words", query, "[data-results] li > a") for query in ("wall charger gan", "flyback", "belarcor", "g")),
        *(("parts/lookup/", "Print or part number", query, "[data-results] tbody tr") for query in ("ELBK", "0R12", "QS650-R150")),
    ],
)  # fmt: skip
def test_a_question_loads_little(path: str, field: str, query: str, found: str, large: Any, visit: Any) -> None:
    page = visit(path, url=large.url)
    answers = loaded(page)
    page.get_by_label(field).fill(query)
    expect(page.locator(found).first).to_be_visible(timeout=60_000)
    files = sizes(answers, large)
    total = sum(size for size, _ in files)
    print(f"\n{query!r}: {total} bytes in {len(files)} files, {page.locator('[data-status]').inner_text()}")
    assert LEAST_LOADED[path] < total < MOST_LOADED, files[:5]


def test_list_of_products_is_a_light_page_whose_further_rows_come_in_pieces(large: Any, visit: Any) -> None:
    html = (large.folder / "products" / "index.html").stat().st_size
    pieces = {file.name: file.stat().st_size for file in (large.folder / "data" / "index").glob("*.json")}
    print(f"\nlist of {COUNT}: {html} bytes of HTML; {len(pieces)} files, the largest {max(pieces.values())} bytes")
    assert html < MOST_PAGE
    page = visit("products/", url=large.url)
    expect(page.get_by_role("status")).to_have_text(f"{COUNT} rows", timeout=120_000)
    page.locator("main label").filter(has_text="Protocol seen").locator("select").select_option("PPS")
    expect(page.get_by_role("status")).not_to_have_text(f"{COUNT} rows", timeout=60_000)
