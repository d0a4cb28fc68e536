"""What the checks share: sizes, prints, date codes and spellings, held against definitions or a second computation."""

import dataclasses
import doctest
import importlib
import pkgutil
from datetime import date, timedelta
from functools import cached_property
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

import lidoff.checks
from lidoff.checks.date_codes import reading_of
from lidoff.checks.label_offers import on_label
from lidoff.checks.names import bare, one_letter_apart
from lidoff.checks.outlines import fits
from lidoff.checks.part_values import farads, ohms
from lidoff.checks.prints import capacitance_prints, resistance_print, voltage_prints
from lidoff.checks.rating_plausible import CAPACITANCE, bounds_by_role
from lidoff.checks.walk import names_in, texts_in
from lidoff.engineering.preferred_values import series_values
from lidoff.record.model.component import Component, Marking, Ratings
from lidoff.record.model.label import Offer, Sharing
from lidoff.record.schema import VOCABULARY, parts

MODULES = sorted(module.name for module in pkgutil.iter_modules(lidoff.checks.__path__))
EDGE = st.floats(1, 100)


@pytest.mark.parametrize("name", MODULES)
def test_examples_in_docstrings_hold(name: str) -> None:
    module = importlib.import_module(f"lidoff.checks.{name}")
    assert doctest.testmod(module).failed == 0


@pytest.mark.parametrize("name", MODULES)
def test_data_classes_cannot_be_changed_and_have_slots(name: str) -> None:
    """A decoded message or date is made once and handed to every check; only what keeps a property goes without slots."""
    module = importlib.import_module(f"lidoff.checks.{name}")
    for cls in vars(module).values():
        if isinstance(cls, type) and cls.__module__ == module.__name__ and dataclasses.is_dataclass(cls):
            keeps = any(isinstance(value, cached_property) for value in vars(cls).values())
            assert cls.__dataclass_params__.frozen and (keeps or "__slots__" in vars(cls)), cls


def test_a_name_behind_a_field_that_is_not_filled_in_is_found() -> None:
    shares, keys = (
        Sharing(ports={"C1": 45.0}, basis="label", sample=None, instrument="pm1"),
        frozenset({"sample", "instrument"}),
    )
    assert list(names_in(shares, keys)) == [("instrument", "instrument", "pm1")]
    assert texts_in(shares, keys) == {"sample": set(), "instrument": {"pm1"}}


@pytest.mark.parametrize(
    ("ends", "words"),
    [
        ({"voltage_min_v": 5}, "Gallop Charge 3 A"),
        ({"voltage_max_v": 11}, "Gallop Charge 3 A"),
        ({"voltage_min_v": 5, "voltage_max_v": 11}, "Gallop Charge 5 to 11 V 3 A"),
    ],
    ids=str,
)
def test_a_range_of_which_one_end_was_read_is_left_out_of_the_words(ends: dict[str, float], words: str) -> None:
    """The schema lets an output under a proprietary protocol have one end alone."""
    assert on_label(Offer(kind="proprietary", protocol="Gallop Charge", current_a=3, **ends)) == words


@given(st.tuples(EDGE, EDGE, EDGE), st.tuples(EDGE, EDGE, EDGE))
def test_a_box_fits_where_one_of_its_six_upright_positions_does(inner: tuple, outer: tuple) -> None:
    tried = any(all(a <= b for a, b in zip(turned, outer, strict=True)) for turned in permutations(inner))
    assert fits(inner, outer, allowance=0.0) == tried


@given(st.tuples(EDGE, EDGE), st.tuples(EDGE, EDGE, EDGE))
def test_a_board_fits_where_it_does_as_a_box_without_height(board: tuple, outer: tuple) -> None:
    assert fits(board, outer, allowance=0.0) == fits((*board, 1e-9), outer, allowance=0.0)


def resistor(*lines: str) -> Component:
    return Component("R1", ("resistor",), package="0805", marking=Marking("legible", lines))


@given(st.sampled_from(series_values(96)), st.integers(0, 6))
def test_four_digits_are_read_back(digits: int, exponent: int) -> None:
    """The three significant digits and the power of ten that the print was made from."""
    code = resistance_print(resistor(f"{digits}{exponent}"))
    assert code is not None and code.values == (pytest.approx(digits * 10**exponent),)


@pytest.mark.parametrize("lines", [("1?3",), ("103", "2541"), ("ABC",), ("",)], ids=str)
def test_no_value_is_read_where_the_print_is_no_code(lines: tuple[str, ...]) -> None:
    assert resistance_print(resistor(*lines)) is None


def capacitor(chemistry: str | None, *lines: str) -> Component:
    return Component("C1", ("capacitor",), marking=Marking("legible", lines), ratings=Ratings(chemistry=chemistry))


@pytest.mark.parametrize(
    ("chemistry", "lines", "values"),
    [
        ("aluminium-electrolytic", ("47uF 400V",), (47e-6,)),
        ("aluminium-electrolytic", ("470 16",), ()),
        ("aluminium-polymer", ("561",), ()),
        ("film-polypropylene", ("0.47uF X2", "310VAC"), (0.47e-6,)),
        ("film-polypropylene", (",33µF",), (0.33e-6,)),
        ("film-polypropylene", ("MKP 474K",), (0.47e-6,)),
        ("film-polyester", ("2A104J",), (0.1e-6,)),
        ("film-polyester", ("2n2",), (2.2e-9,)),
        ("ceramic", ("103",), (10e-9,)),
        ("ceramic", ("400 103",), ()),
        ("ceramic", ("105C",), ()),
        (None, ("102M", "X1 400 Y1"), (1e-9,)),
        (None, ("1?2M",), ()),
        (None, ("?7uF",), ()),
        (None, ("22MFD",), (22e-6,)),
    ],
)
def test_capacitance_is_read_where_it_can_be_nothing_else(chemistry: str | None, lines: tuple, values: tuple) -> None:
    """Prints written down from the usage of the trade (common practice, no source)."""
    found = [value for code in capacitance_prints(capacitor(chemistry, *lines)) for value in code.values]
    assert found == pytest.approx(list(values))


@pytest.mark.parametrize(
    ("line", "volts"),
    [("47uF 400V", [400]), ("X1 440V~ Y2 300V~", [440, 300]), ("2A104J", [100]), ("40?V", []), ("X1 400 Y1", []),
     ("V275-10", []), ("16VDC", [16]), ("6.3V", [6.3])],
)  # fmt: skip
def test_voltages_are_read_where_they_are_written_as_such(line: str, volts: list[float]) -> None:
    assert [code.values[0] for code in voltage_prints(capacitor(None, line))] == volts


@given(st.dates(date(2005, 1, 3), date(2049, 12, 20)))
def test_a_year_and_week_is_read_back(day: date) -> None:
    year, week, weekday = day.isocalendar()
    monday = day - timedelta(days=weekday - 1)
    reading = reading_of(f"{year % 100:02}{week:02}")
    assert reading is not None
    assert monday in reading.weeks or week == 53  # codes of week 53 are taken as week 52
    plain = reading_of(f"{year}-W{min(week, 52):02}")
    assert plain is not None and plain.is_plain and abs(plain.weeks[0] - monday) <= timedelta(days=7)


@pytest.mark.parametrize("code", ["", "A4471", "2019 C4", "9999", "251", "20260309"])
def test_what_is_no_date_code_has_no_reading(code: str) -> None:
    assert reading_of(code) is None


@pytest.mark.parametrize(
    ("code", "may_be"), [("1989", False), ("1990", True), ("1998", True), ("2099", True), ("2100", False)]
)
def test_four_digits_may_be_a_year_of_this_age(code: str, may_be: bool) -> None:
    reading = reading_of(code)
    assert (reading is not None and date(int(code), 1, 1) in reading.weeks) is may_be


@pytest.mark.parametrize("month", [1, 2, 12])
def test_four_digits_may_be_a_year_and_a_month(month: int) -> None:
    for code in (f"26{month:02}", f"{month:02}26"):
        reading = reading_of(code)
        assert reading is not None and date(2026, month, 1) in reading.weeks


@pytest.mark.parametrize(
    ("code", "mondays", "is_plain"),
    [
        ("9041", ["1990-10-08"], False),
        ("8941", ["2089-10-10"], False),
        ("52/90", ["1990-12-24"], False),
        ("2026-W53", ["2026-12-21"], True),
        ("2026-W52", ["2026-12-21"], True),
        ("2026-W01", ["2025-12-29"], True),
        ("15/26", ["2015-06-22", "2026-04-06"], False),
    ],
)
def test_two_digits_of_a_year_are_those_since_1990_and_week_53_is_taken_as_52(
    code: str, mondays: list[str], is_plain: bool
) -> None:
    """Mondays of weeks of ISO 8601, taken from a calendar."""
    reading = reading_of(code)
    assert reading is not None and [str(week) for week in reading.weeks] == mondays and reading.is_plain is is_plain


@pytest.mark.parametrize("code", ["2026-W00", "2026-W54"])
def test_a_week_that_no_year_has_is_no_reading(code: str) -> None:
    assert reading_of(code) is None


@pytest.mark.parametrize(
    ("value", "text"),
    [(1.0, "1 Ω"), (999.6, "999.6 Ω"), (0.0005, "0.5 mΩ"), (24312.4, "24.31 kΩ"), (24316.0, "24.32 kΩ"), (3e12, "3000 GΩ")],
)  # fmt: skip
def test_a_resistance_has_four_digits_and_the_nearest_prefix(value: float, text: str) -> None:
    assert ohms(value) == text


@pytest.mark.parametrize(("value", "text"), [(1e-6, "1 µF"), (0.5e-12, "0.5 pF"), (1.23456e-9, "1.235 nF")])
def test_a_capacitance_has_four_digits_and_the_nearest_prefix(value: float, text: str) -> None:
    assert farads(value) == text


@pytest.mark.parametrize(
    "part",
    [
        Component("R1", ("resistor",), marking=Marking("legible", ("103",))),
        Component("R1", ("resistor",), package="0805"),
        Component("R1", ("resistor",), package="axial", marking=Marking("legible", ("103",))),
        Component("R1", ("resistor",), package="0805", marking=Marking("erased")),
    ],
    ids=["no package", "no marking", "no chip", "no line"],
)
def test_no_value_is_read_off_what_is_no_chip_with_a_print(part: Component) -> None:
    assert resistance_print(part) is None


def test_a_letter_m_may_mean_millions_or_thousandths_and_another_letter_one_thing() -> None:
    """Thousandths of an ohm on shunts: common practice, no source."""
    assert resistance_print(resistor("5M0")).values == pytest.approx((5e6, 5e-3))
    assert resistance_print(resistor("5R0")).values == pytest.approx((5.0,))
    assert resistance_print(resistor("5K0")).values == pytest.approx((5e3,))


def slips(name: str, letters: str) -> set[str]:
    """Every name that one slip makes of a name: each letter left out or replaced, one put in, two neighbours "
    "swapped."""
    places = range(len(name) + 1)
    left_out = {name[:i] + name[i + 1 :] for i in places}
    replaced = {name[:i] + letter + name[i + 1 :] for i in places[:-1] for letter in letters}
    put_in = {name[:i] + letter + name[i:] for i in places for letter in letters}
    swapped = {name[:i] + name[i + 1] + name[i] + name[i + 2 :] for i in places[:-2]}
    return (left_out | replaced | put_in | swapped) - {name}


@given(st.sets(st.text("abc", min_size=3, max_size=6), max_size=12))
def test_names_one_letter_apart_are_all_that_one_slip_makes_of_each_other(names: set[str]) -> None:
    found = {frozenset(pair) for pair in one_letter_apart(sorted(names), shortest=3)}
    assert found == {frozenset((name, other)) for name in names for other in slips(name, "abc") & names}


@given(st.text("abcd", min_size=3, max_size=8), st.integers(0, 7), st.integers(0, 9), st.integers(0, 9))
def test_names_that_differ_in_a_digit_are_left_alone(name: str, place: int, first: int, second: int) -> None:
    names = [name[:place] + str(digit) + name[place:] for digit in (first, second)]
    assert list(one_letter_apart(names, shortest=3)) == []


def test_a_bare_name_keeps_letters_of_other_scripts_and_folds_width() -> None:
    assert bare("Ｍａｒｒｏｗ Bay") == bare("marrow-bay") and bare("Škoda") != bare("koda") and bare("東芝") == "東芝"


@given(st.floats(1e-3, 1e9))
def test_a_resistance_is_written_without_exponent(value: float) -> None:
    number, unit = ohms(value).split(" ")
    scale = {"GΩ": 1e9, "MΩ": 1e6, "kΩ": 1e3, "Ω": 1.0, "mΩ": 1e-3}[unit]
    assert "e" not in number and float(number) * scale == pytest.approx(value, rel=1e-3)


@given(st.floats(1e-12, 1e-2))
def test_a_capacitance_is_written_without_exponent(value: float) -> None:
    number, unit = farads(value).split(" ")
    assert float(number) * {"µF": 1e-6, "nF": 1e-9, "pF": 1e-12}[unit] == pytest.approx(value, rel=1e-3)


def test_the_table_of_plausible_ratings_speaks_of_roles_and_ratings_that_there_are() -> None:
    roles = set(parts()[VOCABULARY]["$defs"]["role"]["enum"])
    keys = {CAPACITANCE} | set(Ratings.__struct_fields__)
    for role, bounds in bounds_by_role().items():
        assert role in roles and set(bounds) <= keys
        assert all(0 < one.low * 5 <= one.high for one in bounds.values()), f"{role}: bounds too near to each other"
