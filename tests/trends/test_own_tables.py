"""Tables that mkdocs.yml defines, and what is said of wrong ones."""

from collections.abc import Callable, Sequence

import pytest

from lidoff.entry import Entry
from lidoff.settings import SettingsError
from lidoff.trends.dimensions import DIMENSIONS
from lidoff.trends.frames import Frames
from lidoff.trends.own_tables import definitions
from lidoff.trends.table import Table
from lidoff.trends.tables import TABLES, build_table


@pytest.fixture(scope="module")
def frames(
    make_collection: Callable[[int, int], tuple[Entry, ...]], frames_of: Callable[[Sequence[Entry]], Frames]
) -> Frames:
    return frames_of(make_collection(100, 3))


def own(frames: Frames, **content: object) -> Table:
    return definitions({"mine": content})["mine"].build(frames)


def test_own_tables_come_after_those_of_lidoff() -> None:
    assert list(definitions({"mine": {"rows": "brand", "columns": "tier"}})) == [*TABLES, "mine"]


def test_an_own_table_counts_as_the_fixed_one_does(frames: Frames) -> None:
    mine, fixed = own(frames, rows="topology", columns="tier", title="Mine"), build_table(frames, "topology-by-tier")
    assert mine.title == "Mine"
    for name in ("rows", "columns", "row_totals", "column_totals", "n"):
        assert getattr(mine, name) == getattr(fixed, name), name


def test_an_own_table_spreads_a_figure(frames: Frames) -> None:
    mine, fixed = own(frames, rows="tier", figure="power_density_w_per_cm3"), build_table(frames, "density-by-tier")
    assert mine.rows == fixed.rows
    assert mine.title == "Power density by power tier"


def test_conditions_narrow_and_are_said(frames: Frames) -> None:
    every = own(frames, rows="brand", columns="year")
    some = own(frames, rows="brand", columns="year", where={"tier": "46-67 W", "brand": ["Fernhollow"]})
    expected = frames.products[(frames.products["tier"] == "46-67 W") & (frames.products["brand"] == "Fernhollow")]
    assert 0 < some.n == len(expected) < every.n
    assert "Only products whose power tier is 46-67 W and whose brand is Fernhollow." in some.notes


def test_a_condition_on_a_year_takes_a_number(frames: Frames) -> None:
    table = own(frames, rows="brand", columns="tier", where={"year": 2022})
    assert table.n == int((frames.products["year"] == 2022).sum()) > 0


def test_a_word_that_no_product_has_is_said(frames: Frames) -> None:
    table = own(frames, rows="brand", columns="tier", where={"primary_switch_technology": ["gann"]})
    assert table.n == 0
    assert "No product has the technology of the primary switch gann." in table.notes


@pytest.mark.parametrize("name", DIMENSIONS)
def test_every_dimension_can_be_rows_and_columns(frames: Frames, name: str) -> None:
    down, across = own(frames, rows=name, columns="kind"), own(frames, rows="kind", columns=name)
    assert down.n == across.n == len(frames.products)
    assert down.row_totals == across.column_totals
    assert sum(down.row_totals) >= down.n
    if not DIMENSIONS[name].is_multiple:
        assert sum(down.row_totals) == down.n


@pytest.mark.parametrize(
    ("tables", "said"),
    [
        ({"Mine": {}}, "found     tables: a table called 'Mine'"),
        ({"technology-by-tier": {"rows": "brand", "columns": "tier"}}, "a name that a built-in table has"),
        ({"mine": ["brand"]}, r"expected  a mapping such as \{rows: brand, columns: tier\}"),
        ({"mine": {"rows": "brand", "colums": "tier"}}, "fix       write columns"),
        ({"mine": {"rows": "brand"}}, "neither columns nor figure"),
        ({"mine": {"rows": "brand", "columns": "tier", "figure": "loss_w"}}, "columns and figure"),
        ({"mine": {"columns": "tier"}}, "found     tables: mine: rows: nothing"),
        ({"mine": {"rows": "brnad", "columns": "tier"}}, "fix       write brand"),
        ({"mine": {"rows": ["brand"], "columns": "tier"}}, r"found     tables: mine: rows: \['brand'\]"),
        ({"mine": {"rows": "brand", "figure": "power_density_w_cm3"}}, "fix       write power_density_w_per_cm3"),
        ({"mine": {"rows": "brand", "figure": "price_per_watt"}}, "expected  the id of a figure"),
        ({"mine": {"rows": "brand", "columns": "tier", "where": "gan"}}, "expected  a mapping of field to word"),
        ({"mine": {"rows": "brand", "columns": "tier", "where": {"teir": "x"}}}, "fix       write tier"),
        ({"mine": {"rows": "brand", "columns": "tier", "where": {"tier": []}}}, "expected  a word or a list of words"),
        (
            {"mine": {"rows": "brand", "columns": "tier", "where": {"tier": True}}},
            "expected  a word or a list of words",
        ),
        ({"mine": {"rows": "brand", "columns": "tier", "title": 3}}, "found     tables: mine: title: 3"),
    ],
)  # fmt: skip
def test_a_wrong_definition_is_explained(tables: dict, said: str) -> None:
    with pytest.raises(SettingsError, match=said):
        definitions(tables)
