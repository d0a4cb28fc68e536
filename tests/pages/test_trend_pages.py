"""A trend page shows its table as the data has it, with totals, a chart, notes and the products behind it."""

import csv
import io
import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import pytest

from lidoff.entry import Entry
from lidoff.pages.plan import page
from lidoff.pages.trend_tables import Trends
from lidoff.pages.views.trend import FUNCTIONS, about_link, readable, trend_grid, trend_view
from lidoff.rows.tiers import tier_text
from lidoff.settings import Settings
from lidoff.trends.formats import as_csv, as_json
from lidoff.trends.table import Cell, Row, Share, Table


@dataclass(frozen=True)
class Titled:
    """What a page shows of a product."""

    slug: str

    @property
    def title(self) -> str:
        return self.slug.replace("/", " ").title()


def words(tree: Any) -> str:
    return " ".join(" ".join(tree.itertext()).replace("\u00a0", " ").split())


@pytest.fixture(scope="module")
def trends(entries: tuple[Entry, ...], settings: Settings) -> Trends:
    return Trends(entries, settings)


def test_each_table_has_a_page_and_two_files(trends: Trends, site: Any) -> None:
    assert len(trends.definitions) >= 8
    for name in trends.definitions:
        assert f"/trends/{name}/" in site.pages
        assert f"data/trends/{name}.csv" in site.files and f"data/trends/{name}.json" in site.files


def test_the_page_shows_the_numbers_of_the_file(site: Any, trees: Mapping[str, Any]) -> None:
    lines = list(csv.reader(io.StringIO(site.files["data/trends/technology-by-tier.csv"].content.decode())))
    tree = trees["/trends/technology-by-tier/"]
    shown = [["".join(cell.itertext()) for cell in row] for row in tree.iter("tr")]
    columns = [place for place, column in enumerate(zip(*lines[1:], strict=True)) if any(map(is_more, column))]
    expected = [[line[place] for place in columns] for line in lines[1:] if any(map(is_more, line[1:]))]
    assert [row[1:] for row in shown[1:]] == [line[1:] for line in expected] and len(expected) == 3
    left_out = {line[0] for line in lines[1:]} - {line[0] for line in expected}
    left_out |= {lines[0][place] for place in range(len(lines[0]))} - {lines[0][place] for place in columns}
    (note,) = [text for text in map(words, tree.iter("p")) if text.startswith("Without a product, and left out here:")]
    assert len(left_out) > 3 and all(tier_text(word) in note for word in left_out)


def is_more(cell: str) -> bool:
    return not cell.isdigit() or int(cell) > 0


def test_it_says_how_many_stand_behind_it_and_that_it_is_no_sample(trees: Mapping[str, Any]) -> None:
    text = words(trees["/trends/technology-by-tier/"])
    assert "3 products of 3 brands, 3 distinct designs." in text
    assert "It is no random sample of the market." in text
    assert "GaN, 46–67 W Fernhollow FH-65 , Wexmoor WX-60" in text


def test_a_chart_stands_with_its_table(trees: Mapping[str, Any]) -> None:
    tree = trees["/trends/technology-by-tier/"]
    svg = next(element for element in tree.iter() if element.tag.endswith("svg"))
    assert svg.get("aria-labelledby")


def test_words_of_the_vocabulary_are_shown_as_people_read_them(trees: Mapping[str, Any]) -> None:
    text = words(trees["/trends/topology-by-tier/"])
    assert "quasi-resonant flyback" in text


def test_a_small_table_leaves_out_what_holds_nothing(trends: Trends) -> None:
    table = trends.table("technology-by-tier")
    whole, small = trend_grid(table, {}, "../"), trend_grid(table, {}, "../", only_used=True)
    assert len(small.columns) < len(whole.columns) and len(small.rows) < len(whole.rows)
    assert small.foot[-1].text == whole.foot[-1].text == "3"


@pytest.mark.parametrize(
    ("about", "address"),
    [
        (("tier", "46-67-w"), "../tiers/46-67-w/"),
        (("part", "Quillstone", "QS650-R150"), "../parts/quillstone/qs650-r150/"),
        (("part", "", "QS650-R150"), "../parts/-/qs650-r150/"),
        (("maker", "Marrow Bay"), "../makers/marrow-bay/"),
        (("brand", "Fernhollow"), "../brands/fernhollow/"),
        (("topology", "flyback-active-clamp"), "../topologies/flyback-active-clamp/"),
        (("topology", "no-such-word"), ""),
        ((), ""),
        (("year", "2024"), ""),
    ],
)
def test_row_labels_lead_to_their_pages(about: tuple[str, ...], address: str) -> None:
    assert about_link(about, "../") == address


def test_a_list_has_no_totals_and_leads_to_its_products(full_entry: Entry) -> None:
    row = Row("fernhollow/fh-65", (Cell("a", ("b/m",)), Cell("fernhollow/fh-65")))
    table = Table("n", "t", "d", "what", ("from", "to"), (row,), (), (), 1, 1, 1, kind="list")
    grid = trend_grid(table, {full_entry.slug: full_entry}, "../")
    assert [column.label for column in grid.columns] == ["What", "From", "To"] and grid.foot == ()
    assert [cell.text for cell in grid.rows[0]] == ["Fernhollow FH-65", "a", "Fernhollow FH-65"]
    assert grid.rows[0][0].href == "../products/fernhollow/fh-65/"
    assert not any(column.is_number for column in grid.columns)


def test_each_table_is_made_once(trends: Trends) -> None:
    assert trends.table("pfc-by-tier") is trends.table("pfc-by-tier")


def heavy(kind: str = "counts", rows: int = 1500, columns: int = 9) -> Table:
    """A table of many controllers, of which every tenth is in more products than the others."""

    def row(place: int) -> Row:
        behind = tuple(f"brandname/model-{place}-{one}" for one in range(9 if place % 10 == 0 else 1 + place % 8))
        cells = (Cell(len(behind), behind, Share(len(behind), 900, 0.1, 0.2)),) * columns
        about = ("part", "Corvendale Microcircuits", f"CVDP140-{place:05}")
        return Row(" ".join(about[1:]), cells, about=about)

    made = tuple(row(place) for place in range(rows))
    totals = tuple(len(one.cells[0].products) for one in made)
    return Table(
        "heavy", "Heavy", "", "controller", tuple(f"column {place}" for place in range(columns)), made,
        totals, (7,) * columns, 1000, 20, 900, kind=kind,
    )  # fmt: skip


@pytest.mark.parametrize("kind", ["counts", "list", "values"])
@pytest.mark.parametrize("columns", [1, 4, 9, 60])
def test_page_of_a_long_table_stays_light_and_says_what_it_leaves_out(kind: str, columns: int) -> None:
    table = heavy(kind, columns=columns)
    by_slug = {slug: Titled(slug) for row in table.rows for slug in row.cells[0].products}
    view = trend_view(table, None, by_slug, "../../")
    body = page("/trends/heavy/", "trend/page.html.j2", "Heavy", "", {"view": view, "notices": ()}).body
    assert len(body.encode()) < 250_000
    assert body.count("<tr>") - 1 - (kind != "list") == len(view.table.rows) >= 20
    assert f"The {len(view.table.rows)} rows with the most products, of 1,500." in body
    assert sum(len(one.products) for one in view.members) <= 500


def test_products_of_a_long_table_are_listed_up_to_a_number_that_is_told() -> None:
    table = heavy()
    by_slug = {slug: Titled(slug) for row in table.rows for slug in row.cells[0].products}
    view = trend_view(table, None, by_slug, "../../")
    body = page("/trends/heavy/", "trend/page.html.j2", "Heavy", "", {"view": view, "notices": ()}).body
    assert 400 < sum(len(one.products) for one in view.members) <= 500
    assert f"The first {len(view.members)} of " in view.members_left_out and view.members_left_out in body


def test_long_table_shows_the_most_used_in_their_order_and_its_files_hold_all() -> None:
    table = heavy()
    shown = [row[0].text for row in trend_view(table, None, {}, "../../").table.rows]
    used = {row.label: len(row.cells[0].products) for row in table.rows}
    assert shown == sorted(shown) and min(used[label] for label in shown) == 8 < len(shown) == 200
    assert {label for label, count in used.items() if count == 9} <= set(shown)
    assert as_csv(table).count("\n") == 1500 + 2 and len(json.loads(as_json(table))["rows"]) == 1500


def test_short_table_is_shown_whole_but_for_what_it_names_as_empty(trends: Trends) -> None:
    for name in trends.definitions:
        view = trend_view(trends.table(name), None, {}, "../../")
        shown, rows = {row[0].text for row in view.table.rows}, trends.table(name).rows
        used = {readable(row.label) for row in rows if any(cell.value for cell in row.cells)}
        assert shown == used or trends.table(name).kind == "list", name
        assert all(readable(row.label) in view.empty for row in rows if not any(cell.value for cell in row.cells))
        assert not view.rows_left_out and not view.members_left_out


def test_what_an_exchanged_part_does_is_said_in_words() -> None:
    rows = (Row("a/b", (Cell("c/d"), Cell("sync rectifier controller"), Cell("X 1"), Cell("Y 2"))),)
    table = Table(
        "substitutions", "", "", "product", ("revises", "function", "before", "now"), rows, (), (), 2, 1, 1, kind="list"
    )
    assert trend_grid(table, {}, "../").rows[0][2].text == "synchronous rectifier controller"
    assert not [word for word in FUNCTIONS.values() if "sync " in word or "pfc" in word or "_" in word]
