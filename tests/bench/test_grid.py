"""Cells with their places, held against Python's csv module; numbers and units, against the package pint."""

import csv
import io
from decimal import Decimal

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.bench.log_report import Unreadable
from lidoff.bench.spreadsheet.grid import MOST_BYTES, clean, read_sheet, separator_for, split_rows
from lidoff.bench.spreadsheet.units import UNITS, amount, converted, dimension, is_undecided, unit_named

CELLS = st.text(st.sampled_from('ab ,;\t"\n0é'), max_size=6)


@given(st.lists(st.lists(CELLS, min_size=1, max_size=4), min_size=1, max_size=5), st.sampled_from(",;\t|"))
def test_the_cells_are_those_of_the_csv_module(rows: list[list[str]], separator: str) -> None:
    stream = io.StringIO()
    csv.writer(stream, delimiter=separator, lineterminator="\n").writerows(rows)
    read = [[cell.text for cell in row] for row in split_rows(stream.getvalue(), separator)]
    expected = [
        [clean(cell) for cell in row] for row in csv.reader(io.StringIO(stream.getvalue()), delimiter=separator)
    ]
    assert read == [row for row in expected if any(row)]


@given(
    st.lists(st.lists(st.text(st.sampled_from("abé 0"), min_size=1, max_size=5), min_size=1, max_size=4), min_size=1)
)
def test_the_place_of_a_cell_is_where_its_text_stands(rows: list[list[str]]) -> None:
    text = "\n".join(";".join(row) for row in rows)
    lines = text.split("\n")
    for row in split_rows(text, ";"):
        for cell in row:
            first = cell.text.split(" ")[0]
            assert not cell.text or lines[cell.line - 1][cell.column - 1 :].startswith(first)


def test_lines_inside_quotes_count() -> None:
    rows = split_rows('a;"b\nc";d\n"e', ";")
    assert [(cell.text, cell.line, cell.column, cell.is_open) for row in rows for cell in row] == [
        ("a", 1, 1, False), ("b\nc", 1, 3, False), ("d", 2, 4, False), ('"e', 3, 1, True),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("content", "encoding", "text"),
    [
        ("µ;é".encode(), "UTF-8", "µ;é"),
        (b"\xef\xbb\xbf" + "µ;é".encode(), "UTF-8 with a byte-order mark", "µ;é"),
        ("µ;é".encode("utf-16"), "UTF-16", "µ;é"),
        ("µ;é".encode("latin-1"), "Latin-1", "µ;é"),
        ("2.5“ €".encode("cp1252"), "Windows-1252", "2.5“ €"),
        (b"a;b\r\n1;2\r\n", "ASCII", "a;b\n1;2\n"),
    ],
)
def test_encodings(content: bytes, encoding: str, text: str) -> None:
    sheet = read_sheet(content)
    assert (sheet.encoding, sheet.text) == (encoding, text)


def test_a_separator_may_be_stated() -> None:
    sheet = read_sheet(b"sep=|\na|b\n")
    assert (sheet.separator, sheet.text, sheet.first_line) == ("|", "a|b\n", 2)


def test_the_separator_is_the_one_that_shows_the_headings() -> None:
    assert separator_for("Size, mm;Weight, g\n1,5;2", ["Size, mm", "Weight, g"]) == ";"


@pytest.mark.parametrize(
    ("content", "found"),
    [
        (b"", "an empty file"), (b" \r\n", "an empty file"), (b"PK\x03\x04zip", "a spreadsheet or another archive"),
        (b"\x00\x01\x02" * 400, "a file that is not text"), (b"a" * (MOST_BYTES + 1), "a file of more than 5,000,000 bytes"),
    ],
)  # fmt: skip
def test_what_is_no_table(content: bytes, found: str) -> None:
    with pytest.raises(Unreadable) as error:
        read_sheet(content)
    assert error.value.fault.found == found


REGISTRY = pint.UnitRegistry()
PINT_NAMES = {"Ω": "ohm", "in": "inch", "oz": "ounce", "lb": "pound", "ft": "foot", "mil": "thou", "h": "hour",
              "d": "day",
              "°C": "degC", "°F": "degF", "%": "percent", "in²": "inch**2", "in³": "inch**3", "mm²": "mm**2",
              "cm²": "cm**2", "cm³": "cm**3", "A²s": "A**2*s", "mΩ": "mohm", "kΩ": "kohm", "MΩ": "Mohm"}  # fmt: skip
SAME = [(one, other) for one in UNITS for other in UNITS if dimension(one) == dimension(other)]


@pytest.mark.parametrize(("unit", "to"), SAME)
def test_conversions_against_pint(unit: str, to: str) -> None:
    names = [PINT_NAMES.get(name, name) for name in (unit, to)]
    expected = REGISTRY.Quantity(123.4567, names[0]).to(names[1]).magnitude
    outcome = float(converted(Decimal("123.4567"), unit, to))
    step = float(converted(Decimal("0.0001"), unit, to)) if unit[0] != "°" else 0.0001
    assert outcome == pytest.approx(expected, rel=1e-9, abs=step)


def test_units_of_other_dimensions_are_refused() -> None:
    with pytest.raises(ValueError, match="not in"):
        converted(Decimal(1), "oz", "mm")


@pytest.mark.parametrize(
    ("text", "unit"),
    [("inches", "in"), ('"', "in"), ("Ohm", "Ω"), ("uF", "µF"), ("mOhm", "mΩ"), ("MOhm", "MΩ"), ("C", "°C"),
     ("yd", None), ("mf", None), ("", None)],
)  # fmt: skip
def test_names_of_units(text: str, unit: str | None) -> None:
    assert unit_named(text) == unit


def test_amounts_and_commas_that_say_nothing() -> None:
    assert amount("\u221212,5 °C") == ("-12,5", "°C")
    assert amount("12.5.3") is None
    assert [is_undecided(text) for text in ("1,500", "0,500", "1,50", "12,345", "1500")] == [
        True,
        False,
        False,
        True,
        False,
    ]
