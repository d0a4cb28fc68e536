"""Cells of sheets and parts tables: their values, and a refusal with a way out for what is not clear."""

import pytest

from lidoff.bench.parts_table.cell_values import READERS, Refused
from lidoff.bench.spreadsheet.cell_values import NotClear, value_of
from lidoff.bench.spreadsheet.map_file import Column


def column(field: str, **more: object) -> Column:
    return Column("heading", field, 1, 1, **more)


@pytest.mark.parametrize(
    ("field", "more", "text", "decimal", "value"),
    [
        ("demo", {}, "Yes", "", True),
        ("demo", {}, "false", "", False),
        ("demo", {"words": {"x": "true"}}, "X", "", True),
        ("product.protection_class", {}, "II", "", "ii"),
        ("product.kind", {}, "Wall Charger", "", "wall-charger"),
        ("measured.mass_g", {}, "112", "", 112),
        ("measured.mass_g", {}, "112,5", ",", 112.5),
        ("measured.mass_g", {}, "0.112 kg", "", 112),
        ("measured.mass_g", {"unit": "kg"}, "0.112", "", 112),
        ("measured.mass_g", {"unit": "kg"}, "0.112 kg", "", 112),
        ("teardown.date", {}, "2026-03-09", "", "2026-03-09"),
        ("teardown.date", {"date": "day-month-year"}, "9.3.2026", "", "2026-03-09"),
        ("teardown.date", {"date": "month-day-year"}, "3/9/2026", "", "2026-03-09"),
    ],
    ids=str,
)
def test_a_cell_that_is_clear_gives_its_value(field: str, more: dict, text: str, decimal: str, value: object) -> None:
    found = value_of(text, column(field, **more), decimal)
    assert found == value and type(found) is type(value)


@pytest.mark.parametrize(
    ("field", "more", "text", "decimal", "wanted", "fix"),
    [
        ("demo", {}, "maybe", "", "yes or no", "words: {x: true}"),
        ("product.protection_class", {}, "four", "", "one of i, ii", "words: {four: ...}"),
        ("product.plug.system", {}, "nema1", "", "a word of the vocabulary for product.plug.system", "nema-1-15"),
        ("measured.mass_g", {}, "heavy", "", "a number of grams", "write the number alone"),
        ("measured.mass_g", {}, "1,125", "", "a number of grams", "decimal: comma, or decimal: point"),
        ("measured.mass_g", {}, "112.5", ",", "a number of grams", "the same decimal sign"),
        ("measured.mass_g", {}, "112,5", ".", "a number of grams", "the same decimal sign"),
        ("measured.mass_g", {}, "3 mm", "", "a unit of mass, such as g", "correct the unit"),
        ("measured.mass_g", {"unit": "kg"}, "112 g", "", "a number in the unit of the map", "take the unit out of the map"),
        ("product.launched", {}, "2025 V", "", "a number without a unit", "correct the unit"),
        ("teardown.date", {}, "in March", "", "a day, year first", "year first"),
        ("teardown.date", {}, "9.3.2026", "", "four digits of the year", "date: day-month-year"),
        ("teardown.date", {"date": "day-month-year"}, "30.2.2026", "", "a day of the calendar", "correct the day"),
    ],
    ids=str,
)  # fmt: skip
def test_a_cell_of_a_sheet_that_is_not_clear_is_refused(
    field: str, more: dict, text: str, decimal: str, wanted: str, fix: str
) -> None:
    with pytest.raises(NotClear) as refused:
        value_of(text, column(field, **more), decimal)
    assert text in refused.value.found and wanted in refused.value.wanted and fix in refused.value.fix


@pytest.mark.parametrize(
    ("kind", "text", "value"),
    [
        ("technology", "GaN Enhancement", "gan-enhancement"),
        ("marking_state", "Legible", "legible"),
        ("quantity", "2x", 2),
        ("package", "SO8", "SO-8"),
    ],
)
def test_a_cell_of_a_parts_table_that_is_clear_gives_its_value(kind: str, text: str, value: object) -> None:
    assert READERS[kind](text) == value


@pytest.mark.parametrize(
    ("kind", "text", "expected"),
    [
        ("technology", "gann", "a word for technology"),
        ("side", "left", "one of top, bottom, edge, off-board"),
        ("marking_state", "smeared", "one of legible, partial"),
        ("quantity", "0", "at least 1"),
        ("quantity", "two", "at least 1"),
        ("package", "blob", "a package family of the vocabulary"),
    ],
)
def test_a_cell_of_a_parts_table_that_is_not_clear_is_refused(kind: str, text: str, expected: str) -> None:
    with pytest.raises(Refused) as refused:
        READERS[kind](text)
    assert refused.value.found == f'"{text}"' and expected in refused.value.expected and refused.value.fix
