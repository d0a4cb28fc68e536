"""The further tables: each rule that is theirs alone, with small invented entries."""

from collections.abc import Callable, Sequence

import pytest

from lidoff.entry import Entry
from lidoff.figures.figure import Corner, Figure, Figures
from lidoff.rows.measured_values import efficiency_at, sustained_share
from lidoff.trends.frames import Frames
from lidoff.trends.table import Table
from lidoff.trends.tables import build_table

FramesOf = Callable[[Sequence[Entry]], Frames]
MakeEntry = Callable[..., Entry]
POINT = {
    "mains_v": 230,
    "mains_hz": 50,
    "port": "C1",
    "output_v": 20.0,
    "output_a": 3.25,
    "set_v": 20,
    "load_pct": 100,
    "input_w": 70.0,
}


def with_figures(entry: Entry, *figures: Figure) -> Entry:
    return Entry(entry.path, entry.slug, entry.record, Figures(figures))


def counts(table: Table, column: str) -> dict[str, object]:
    return {row.label: table.cell(row.label, column).value for row in table.rows if table.cell(row.label, column).value}


def test_adjustable_outputs_count_only_products_that_were_examined(make_entry: MakeEntry, frames_of: FramesOf) -> None:
    spoken = (["pps", "ufcs", "usb-pd-3.0"], ["bc-1.2-dcp"], [], None)
    entries = [
        make_entry(
            f"fernhollow/{place}",
            {"ports": [{"id": "C1", "connector": "usb-c", **({} if words is None else {"protocols": words})}]},
        )
        for place, words in enumerate(spoken)
    ]
    table = build_table(frames_of(entries), "adjustable-by-tier")
    assert counts(table, "46-67 W") == {"pps": 1, "ufcs": 1, "none of these": 2}
    assert table.n == 3
    assert "The protocols of 1 further product are not recorded." in table.notes


def test_the_switch_is_inside_where_one_part_has_both_roles_or_says_so(
    make_entry: MakeEntry, frames_of: FramesOf
) -> None:
    both = [{"ref": "U1", "roles": ["primary-controller", "primary-switch"]}]
    said = [{"ref": "U1", "roles": ["primary-controller"], "control": ["switch-inside"]}]
    apart = [{"ref": "U1", "roles": ["primary-controller"]}, {"ref": "Q1", "roles": ["primary-switch"]}]
    entries = [
        make_entry(f"fernhollow/{place}", {"components": parts}) for place, parts in enumerate((both, said, apart, []))
    ]
    table = build_table(frames_of(entries), "switch-place-by-tier")
    assert counts(table, "46-67 W") == {"inside the controller": 2, "separate": 1, "undetermined": 1}


def test_pairs_need_both_controllers_identified(make_entry: MakeEntry, frames_of: FramesOf) -> None:
    def parts(rectifier: dict) -> list[dict]:
        return [
            {"ref": "U1", "roles": ["primary-controller"], "maker": "Pell Lane", "part_number": "PL1"},
            {"ref": "U2", "roles": ["sync-rectifier-controller"], **rectifier},
        ]

    known = {"maker": "Aster Row", "part_number": "AR1"}
    entries = [
        make_entry("fernhollow/a", {"components": parts(known)}),
        make_entry("fernhollow/b", {"components": parts(known)}),
        make_entry("fernhollow/c", {"components": parts({})}),
    ]
    table = build_table(frames_of(entries), "controller-pairs")
    assert counts(table, "products") == {"Pell Lane PL1 with Aster Row AR1": 2}
    assert table.n == 2


def test_prices_of_several_currencies_are_never_put_together(make_entry: MakeEntry, frames_of: FramesOf) -> None:
    prices = (("EUR/W", 0.5), ("EUR/W", 0.7), ("USD/W", 9.0))
    entries = [
        with_figures(make_entry(f"fernhollow/{place}"), Figure("price_per_watt", unit, value=value))
        for place, (unit, value) in enumerate(prices)
    ]
    table = build_table(frames_of(entries), "price-by-currency")
    assert counts(table, "median") == {"EUR/W": 0.6, "USD/W": 9.0}
    assert table.column_totals == ()
    assert table.row_totals == (2, 1)


def test_substitutions_name_what_differs_where_both_are_identified(make_entry: MakeEntry, frames_of: FramesOf) -> None:
    def parts(number: str | None, maker: str) -> list[dict]:
        return [
            {
                "ref": "U1",
                "roles": ["primary-controller"],
                "maker": "Pell Lane",
                **({"part_number": number} if number else {}),
            },
            {"ref": "U2", "roles": ["protocol-controller"], "maker": maker, "part_number": "X1"},
        ]

    entries = [
        make_entry("fernhollow/a", {"components": parts("PL1", "Aster Row")}),
        make_entry(
            "fernhollow/b", {"components": parts("PL2", "Aster Row"), "product": {"revision_of": "fernhollow/a"}}
        ),
        make_entry(
            "fernhollow/c", {"components": parts(None, "Aster Row"), "product": {"revision_of": "fernhollow/a"}}
        ),
        make_entry("fernhollow/d", {"product": {"revision_of": "fernhollow/gone"}}),
    ]
    table = build_table(frames_of(entries), "substitutions")
    assert [(row.label, *(cell.value for cell in row.cells)) for row in table.rows] == [
        ("fernhollow/b", "fernhollow/a", "primary controller", "Pell Lane PL1", "Pell Lane PL2")
    ]
    assert table.notes == ("Compared: 2 pairs of a product and its earlier one, both recorded.",)


@pytest.mark.parametrize(
    ("points", "expected"),
    [
        ([POINT], 92.857142857),
        ([POINT, {**POINT, "output_v": 5.0, "set_v": 5, "input_w": 10.0}], 92.857142857),
        ([{**POINT, "load_pct": 50}], None),
        ([{**POINT, "load_pct": 98}], 92.857142857),
        ([{**POINT, "mains_v": 115, "mains_hz": 60}], None),
        ([{**POINT, "measured_at": "cable-end"}], None),
        ([POINT, {**POINT, "input_w": 65.0 / 0.9}, {**POINT, "input_w": 65.0 / 0.91}], 91.0),
        ([], None),
    ],
)
def test_the_efficiency_that_stands_for_a_product(
    make_entry: MakeEntry, points: list[dict], expected: float | None
) -> None:
    found = efficiency_at(make_entry(changes={"measured": {"efficiency": points}}).record, 100.0)
    assert found == (expected if expected is None else pytest.approx(expected))


def test_sustained_power_is_the_largest_that_was_kept_up(make_entry: MakeEntry) -> None:
    runs = [
        Figure("sustained_power_w", "W", value=value, of=Corner(mains_v=mains))
        for value, mains in ((52.0, 230.0), (58.5, 115.0))
    ]
    assert sustained_share(with_figures(make_entry(), *runs)) == pytest.approx(90.0)
    assert sustained_share(make_entry()) is None
    assert sustained_share(with_figures(make_entry(changes={"product": {"rated_power_w": None}}), *runs)) is None


def test_a_product_with_a_figure_at_several_corners_counts_once_with_their_median(
    make_entry: MakeEntry, frames_of: FramesOf
) -> None:
    values = [
        Figure("heat_flux_mw_per_cm2", "mW/cm²", value=value, of=Corner(mains_v=value)) for value in (10.0, 20.0, 60.0)
    ]
    table = build_table(frames_of([with_figures(make_entry(), *values)]), "heat-flux-by-tier")
    assert counts(table, "median") == {"46-67 W": 20.0}
    assert counts(table, "with a value") == {"46-67 W": 1}


def test_pfc_onset_shows_the_power_at_which_it_begins(make_entry: MakeEntry, frames_of: FramesOf) -> None:
    powers = ((65, "none"), (100, "none"), (100, "boost-critical"), (140, "boost-critical"), (None, "none"))
    entries = [
        make_entry(f"fernhollow/{place}", {"product": {"rated_power_w": power}, "conversion": {"pfc": pfc}})
        for place, (power, pfc) in enumerate(powers)
    ]
    table = build_table(frames_of(entries), "pfc-onset")
    assert counts(table, "smallest") == {"none": 65.0, "boost-critical": 100.0}
    assert counts(table, "largest") == {"none": 100.0, "boost-critical": 140.0}
    assert counts(table, "products") == {"none": 3, "boost-critical": 2}
