"""Efficiency margin, adoption, makers and years of controllers: their own rules, and what their charts say and leave out."""

import re
from collections.abc import Callable, Sequence

import pytest

from lidoff.entry import Entry
from lidoff.figures.figure import Corner, Figure, Figures
from lidoff.trends.canvas import Drawing
from lidoff.trends.charts import draw_chart
from lidoff.trends.frames import Frames
from lidoff.trends.tables import build_table

FramesOf = Callable[[Sequence[Entry]], Frames]
MakeEntry = Callable[..., Entry]
EUROPE, AMERICA = Corner("C1", 230.0, 50.0, 20.0), Corner("C1", 115.0, 60.0, 20.0)


def judged(entry: Entry, *triples: tuple[Corner, float | None, float | None]) -> Entry:
    figures = []
    for corner, average, limit in triples:
        figures.append(Figure("average_efficiency_pct", "%", value=average, of=corner))
        figures.append(Figure("efficiency_limit_pct", "%", value=limit, of=corner))
    return Entry(entry.path, entry.slug, entry.record, Figures(tuple(figures)))


def drawn(frames: Frames, name: str) -> Drawing:
    return draw_chart(frames, build_table(frames, name), lambda address: address)


def words_of_marks(drawing: Drawing) -> list[str]:
    return re.findall(r"<title>([^<]*)</title>", drawing.svg)


def test_the_margin_is_the_smallest_of_the_corners_that_were_judged(make_entry: MakeEntry, frames_of: FramesOf) -> None:
    entry = judged(
        make_entry(), (EUROPE, 90.0, 88.0), (AMERICA, 87.5, 88.0), (Corner("C2", 230.0, 50.0, 5.0), 70.0, None)
    )
    frames = frames_of([entry, judged(make_entry("fernhollow/b"), (EUROPE, 91.0, None))])
    table = build_table(frames, "efficiency-margin-by-tier")
    assert table.cell("46-67 W", "with a value").value == 1
    assert table.cell("46-67 W", "median").value == pytest.approx(-0.5)
    drawing = drawn(frames, "efficiency-margin-by-tier")
    assert "Fernhollow FH-65: −0.50 points at 65 W, undetermined" in words_of_marks(drawing)
    assert "The line at zero is the published minimum. 1 product judged" in drawing.caption


def test_a_limit_of_another_corner_judges_nothing(make_entry: MakeEntry, frames_of: FramesOf) -> None:
    frames = frames_of([judged(make_entry(), (EUROPE, 90.0, None), (AMERICA, None, 88.0))])
    assert build_table(frames, "efficiency-margin-by-tier").n == 0
    assert drawn(frames, "efficiency-margin-by-tier") is None


def of_year(make_entry: MakeEntry, name: str, year: int, protocols: list[str] | None) -> Entry:
    port = {"id": "C1", "connector": "usb-c", **({} if protocols is None else {"protocols": protocols})}
    return make_entry(f"fernhollow/{name}", {"product": {"launched": year}, "ports": [port]})


def test_adoption_is_a_share_of_what_was_examined_and_of_ten_designs_at_least(
    make_entry: MakeEntry, frames_of: FramesOf
) -> None:
    entries = [of_year(make_entry, f"a{place}", 2023, ["pps"] if place < 4 else []) for place in range(10)]
    entries += [of_year(make_entry, f"b{place}", 2023, None) for place in range(5)]
    entries += [of_year(make_entry, f"c{place}", 2024, ["epr-avs"]) for place in range(9)]
    table = build_table(frames_of(entries), "adoption-by-year")
    assert table.cell("protocols examined", "2023").value == 10
    share = table.cell("PPS", "2023").share
    assert (share.platforms, share.of_platforms) == (4, 10)
    assert table.cell("EPR", "2024").value == table.cell("AVS", "2024").value == 9
    assert all(table.cell(offer, "2024").share is None for offer in ("PPS", "AVS", "EPR", "GaN primary switch"))


def test_adoption_is_drawn_in_numbers_while_most_years_are_thin(make_entry: MakeEntry, frames_of: FramesOf) -> None:
    entries = [of_year(make_entry, f"a{place}", 2023, ["pps"]) for place in range(10)]
    entries += [of_year(make_entry, f"c{place}", 2024, ["pps"]) for place in range(9)]
    thin = drawn(frames_of(entries), "adoption-by-year")
    assert "Numbers of products, not shares" in thin.caption and "PPS, 2024: 9 of 9 products" in words_of_marks(thin)
    assert "%" not in re.sub(r"width=\"100%\"", "", thin.svg)
    entries += [of_year(make_entry, f"d{place}", 2023, []) for place in range(20)]
    enough = drawn(frames_of(entries), "adoption-by-year")
    assert "PPS, 2023: 10 of 30 designs" in words_of_marks(enough)
    assert not any("2024" in words for words in words_of_marks(enough))
    assert "Too few designs for a share: PPS 2024 (9 of 9)" in enough.caption


def test_a_maker_that_is_only_guessed_or_claimed_is_not_identified(make_entry: MakeEntry, frames_of: FramesOf) -> None:
    def entry(name: str, **evidence: str) -> Entry:
        part = {"ref": "U1", "roles": ["primary-controller", "primary-switch"], "maker": "Pell Lane", **evidence}
        return make_entry(f"fernhollow/{name}", {"components": [part]})

    frames = frames_of([entry("a"), entry("b", strength="guess"), entry("c", identified_by="brand-claim")])
    table = build_table(frames, "makers-by-function")
    for function in ("primary control", "primary switch"):
        assert table.cell("Pell Lane", function).value == 1
        assert table.cell("not identified", function).value == 2
    marks = words_of_marks(drawn(frames, "makers-by-function"))
    assert "Pell Lane, primary control: 1 of 3 products" in marks


def test_a_controller_of_one_product_is_in_the_table_but_not_drawn(make_entry: MakeEntry, frames_of: FramesOf) -> None:
    def entry(name: str, year: int, number: str) -> Entry:
        part = {"ref": "U1", "roles": ["primary-controller"], "maker": "Pell Lane", "part_number": number}
        return make_entry(f"fernhollow/{name}", {"product": {"launched": year}, "components": [part]})

    frames = frames_of([entry("a", 2021, "PL1"), entry("b", 2024, "PL1"), entry("c", 2022, "PL2")])
    rows = [(row.label, *(cell.value for cell in row.cells)) for row in build_table(frames, "controller-years").rows]
    assert rows == [("Pell Lane PL1", "primary", 2021, 2024, 2), ("Pell Lane PL2", "primary", 2022, 2022, 1)]
    drawing = drawn(frames, "controller-years")
    assert "Pell Lane PL1 (primary): 2021 to 2024, 2 products" in words_of_marks(drawing)
    assert 'href="/parts/pell-lane/pl1/"' in drawing.svg and "PL2" not in drawing.svg
    assert "1 controller seen in one product only is left out." in drawing.caption


def test_printed_outputs_are_in_the_order_of_their_voltage(make_entry: MakeEntry, frames_of: FramesOf) -> None:
    def entry(name: str, *offers: dict) -> Entry:
        return make_entry(f"fernhollow/{name}", {"ports": [{"id": "C1", "connector": "usb-c", "label": list(offers)}]})

    fixed = [{"kind": "fixed", "voltage_v": voltage, "current_a": 3} for voltage in (20, 5, 9)]
    frames = frames_of([entry("a", *fixed, {"kind": "pps", "voltage_min_v": 5, "voltage_max_v": 11}), entry("b")])
    table = build_table(frames, "voltage-steps-by-tier")
    assert [row.label for row in table.rows] == ["5 V", "9 V", "20 V", "PPS", "not recorded"]
    assert "5 V, 46–67 W: 1 of 2 products" in words_of_marks(drawn(frames, "voltage-steps-by-tier"))


def test_a_line_has_no_area(make_entry: MakeEntry, frames_of: FramesOf) -> None:
    entries = [of_year(make_entry, f"a{year}", year, ["pps"]) for year in (2021, 2022, 2024)]
    paths = re.findall(r"<path [^>]*>", drawn(frames_of(entries), "adoption-by-year").svg)
    assert len(paths) > 6
    assert all("fill=" in path for path in paths if 'stroke-width="2"' in path)
