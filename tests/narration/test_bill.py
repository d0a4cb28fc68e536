"""The bill of materials and the range of its cost."""

import csv
import io
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.entry import Entry
from lidoff.narration.bill import COLUMNS, BillLine, as_csv, bill_of
from lidoff.narration.language import read_language
from lidoff.narration.line import Subject
from lidoff.narration.prices import PriceFault, cost_range, cost_text, read_prices
from lidoff.record.model.component import Component

HEAD = "maker,part_number,role,low,high,currency,date\n"


def line(ref: str, role: str, quantity: int = 1, number: str | None = None) -> BillLine:
    return BillLine("x", Component(ref=ref, roles=(role,), quantity=quantity, part_number=number))


def test_every_part_of_the_record_is_in_the_bill(demo_entries: dict[str, Entry]) -> None:
    entry = demo_entries["oxtermoor/ox-e30"]
    rows = list(csv.DictReader(io.StringIO(as_csv(bill_of(entry.record), read_language()))))
    assert tuple(rows[0]) == COLUMNS
    assert sorted(row["ref"] for row in rows) == sorted(part.ref for part in entry.record.components)
    bulk = next(row for row in rows if row["ref"] == "C101")
    assert (bulk["maker"], bulk["part_number"], bulk["strength"]) == ("Tolgarrick Capacitors", "TGR400-33", "certain")
    assert bulk["ratings"].startswith("33 µF, 400 V")
    assert next(row for row in rows if row["ref"] == "C104")["quantity"] == "2"


def test_a_spreadsheet_runs_no_cell_as_a_formula(subject: Callable[[str], Subject]) -> None:
    text = as_csv((BillLine("x", Component(ref="=1+1", roles=("fuse",), maker="@SUM(A1)")),), read_language())
    assert "'=1+1" in text and "'@SUM(A1)" in text


def test_the_range_agrees_with_the_sum_of_uniform_prices() -> None:
    """Two rows of 0 to 1: the sum is triangular, with quantiles sqrt(2 p) below one half (general reference, from memory)."""
    prices = read_prices(f"{HEAD},,fuse,0,1,EUR,2026-01-01\n,,varistor,0,1,EUR,2026-02-01\n", "book.csv")
    cost = cost_range([line("F1", "fuse"), line("MOV1", "varistor")], prices, seed=1)
    found = dict(cost.percentiles)
    assert found[5] == pytest.approx(0.1**0.5, abs=0.02)
    assert found[95] == pytest.approx(2 - 0.1**0.5, abs=0.02)
    assert cost.dates == ("2026-01-01", "2026-02-01")


def test_the_same_seed_gives_the_same_range_and_another_seed_another() -> None:
    prices = read_prices(f"{HEAD},,fuse,0.1,0.2,EUR,2026-01-01\n", "book.csv")
    lines = [line("F1", "fuse", 2)]
    assert cost_range(lines, prices, 5) == cost_range(lines, prices, 5)
    assert cost_range(lines, prices, 5).percentiles != cost_range(lines, prices, 6).percentiles


def test_a_part_number_goes_before_a_role_and_what_has_no_price_is_told() -> None:
    prices = read_prices(f"{HEAD},,fuse,9,9,EUR,2026-01-01\n,ABC1,,1,1,EUR,2026-01-01\n", "book.csv")
    cost = cost_range([line("F1", "fuse", 3, "ABC1"), line("T1", "transformer")], prices, 1, trials=10)
    assert {value for _, value in cost.percentiles} == {3}
    assert cost.unpriced == ("T1",)
    assert "T1" in cost_text(cost) and "seed 1" in cost_text(cost)


def test_a_book_without_a_fitting_price_gives_no_range() -> None:
    prices = read_prices(f"{HEAD},,fuse,1,2,EUR,2026-01-01\n", "book.csv")
    cost = cost_range([line("T1", "transformer")], prices, 1, trials=10)
    assert cost.percentiles == ()
    assert "no range" in cost_text(cost)


@given(st.lists(st.tuples(st.floats(0, 100), st.floats(0, 100), st.integers(1, 9)), min_size=1, max_size=5))
def test_the_range_lies_between_the_sums_of_lows_and_highs(rows: list[tuple[float, float, int]]) -> None:
    text = HEAD + "".join(f",P{n},,{min(a, b)},{max(a, b)},EUR,2026-01-01\n" for n, (a, b, _) in enumerate(rows))
    lines = [line(f"R{n}", "fuse", count, f"P{n}") for n, (_, _, count) in enumerate(rows)]
    cost = cost_range(lines, read_prices(text, "book.csv"), 3, trials=50)
    low, high = (sum(pick(a, b) * count for a, b, count in rows) for pick in (min, max))
    assert all(low - 1e-6 <= value <= high + 1e-6 for _, value in cost.percentiles)


def test_every_fault_of_a_book_is_told_at_once() -> None:
    text = f"{HEAD},,fuse,x,-1,eur,May\n,,,2,1,EUR,2026-01-01\na,b\n"
    with pytest.raises(PriceFault) as caught:
        read_prices(text, "book.csv")
    for place in (
        "book.csv:2:4",
        "book.csv:2:5",
        "book.csv:2:6",
        "book.csv:2:7",
        "book.csv:3:5",
        "book.csv:3:2",
        "book.csv:4:1",
    ):
        assert place in str(caught.value), place
