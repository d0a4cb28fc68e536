"""Codes on resistors and capacitors: round trips, every reading of ambiguous ones, and texts that are no code."""

import eseries
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.engineering.capacitor_markings import (
    ClassTwoDielectric,
    capacitance_readings,
    dielectric_of_code,
    rated_voltage_of_code,
)
from lidoff.engineering.component_markings import decimal_with_letter, resistance_readings, tolerance_of_letter

RESISTANCE_LETTERS = {"L": -3, "R": 0, "K": 3, "M": 6, "G": 9}
CAPACITANCE_LETTERS = {"p": -12, "n": -9, "u": -6, "µ": -6, "μ": -6, "m": -3, "F": 0}


@given(st.integers(0, 999), st.integers(1, 99), st.sampled_from(sorted(RESISTANCE_LETTERS)))
def test_a_letter_is_the_decimal_point_on_resistors(whole, decimals, letter):
    expected = float(f"{whole}.{decimals}e{RESISTANCE_LETTERS[letter]}")
    assert resistance_readings(f"{whole}{letter}{decimals}")[0].resistance == expected


@given(st.integers(0, 999), st.integers(1, 99), st.sampled_from(sorted(CAPACITANCE_LETTERS)))
def test_a_letter_is_the_decimal_point_on_capacitors(whole, decimals, letter):
    expected = float(f"{whole}.{decimals}e{CAPACITANCE_LETTERS[letter]}")
    assert capacitance_readings(f"{whole}{letter}{decimals}")[0].capacitance == expected


@given(st.integers(10, 999), st.integers(0, 7))
def test_the_last_digit_is_the_power_of_ten(significant, power):
    code = f"{significant}{power}"
    assert [reading.resistance for reading in resistance_readings(code)] == [float(f"{significant}e{power}")]
    assert [reading.capacitance for reading in capacitance_readings(code)] == [float(f"{significant}e{power - 12}")]


def test_every_eia_96_index_is_that_value_of_e96():
    values = [value * 100 for value in list(eseries.series(eseries.E96))]
    for index in range(96):
        (reading,) = (found for found in resistance_readings(f"{index + 1:02}A") if found.scheme == "EIA-96")
        assert reading.resistance == pytest.approx(values[index] / values[0] * 100)


@pytest.mark.parametrize(
    ("letters", "factor"),
    [
        ("Z", 1e-3),
        ("YR", 1e-2),
        ("XS", 0.1),
        ("A", 1.0),
        ("BH", 10.0),
        ("C", 100.0),
        ("D", 1e3),
        ("E", 1e4),
        ("F", 1e5),
    ],
)
def test_eia_96_letters(letters, factor):
    """From memory; letters that stand together have the same meaning."""
    for letter in letters:
        assert resistance_readings(f"01{letter}")[-1].resistance == pytest.approx(100 * factor, rel=1e-15)


@pytest.mark.parametrize(
    "code", ["", "R", "K", "47", "4.7k", "00A", "97A", "99C", "1R2R3", "478", "479", "4k7", "٤٧٢", "12345", "Q1"]
)
def test_what_is_no_resistor_code_has_no_reading(code):
    assert resistance_readings(code) == ()


@pytest.mark.parametrize("code", ["", "p", "47", "000", "p0", "4R7", "R47", "12345", "4n7Q", "٤n7", "104N"])
def test_what_is_no_capacitor_code_has_no_reading(code):
    assert capacitance_readings(code) == ()


def test_a_code_that_fits_two_schemes_has_both_readings():
    assert [(item.resistance, item.scheme) for item in resistance_readings("22R")] == [
        (22.0, "letter code"),
        (1.65, "EIA-96"),
    ]
    assert [(item.capacitance, item.scheme) for item in capacitance_readings("104F")] == [
        (104.0, "letter code"),
        (1e-7, "digit code"),
    ]


@pytest.mark.parametrize("letter", "BCDFGJKM")
def test_a_tolerance_letter_follows(letter):
    assert resistance_readings(f"4R7{letter}")[0].tolerance_letter == letter
    assert capacitance_readings(f"4n7{letter}")[0].tolerance_letter == letter
    assert capacitance_readings(f"103{letter}")[-1].tolerance_letter == letter
    assert tolerance_of_letter(letter).below == tolerance_of_letter(letter).above


def test_zero_ohm():
    assert [reading.resistance for reading in resistance_readings("0R0")] == [0.0]
    assert [reading.resistance for reading in resistance_readings("0000")] == [0.0]


def test_decimals_without_noise():
    assert decimal_with_letter("", "1", -12) == 1e-13
    assert decimal_with_letter("470", "", 3) == 470_000.0


def test_tolerances_below_10_pf_are_picofarads():
    assert tolerance_of_letter("B", 9.99e-12).absolute
    assert not tolerance_of_letter("B", 10e-12).absolute
    assert not tolerance_of_letter("J", 5e-12).absolute


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (lambda: tolerance_of_letter("A"), "letter: found A, expected one of B, C, D, F, G, J, K, M, Z"),
        (lambda: tolerance_of_letter("J", 0.0), "capacitance: found 0.0"),
        (lambda: dielectric_of_code("X7Q"), "code: found X7Q"),
        (lambda: dielectric_of_code("W7R"), "code: found W7R"),
        (lambda: dielectric_of_code("X3R"), "code: found X3R"),
        (lambda: dielectric_of_code("X7RR"), "code: found X7RR"),
        (lambda: dielectric_of_code(""), "code: found , expected C0G"),
        (lambda: rated_voltage_of_code("1I"), "code: found 1I, expected a digit and one of A, B"),
        (lambda: rated_voltage_of_code("E1"), "code: found E1"),
        (lambda: rated_voltage_of_code("10"), "code: found 10"),
    ],
)
def test_what_has_no_meaning_is_refused(call, text):
    with pytest.raises(ValueError, match=text):
        call()


def test_both_names_of_the_class_1_ceramic():
    assert dielectric_of_code("C0G") == dielectric_of_code("NP0")


@pytest.mark.parametrize("lowest", "XYZ")
@pytest.mark.parametrize("highest", "456789")
@pytest.mark.parametrize("change", "ABCDEFPRSTUV")
def test_every_class_2_code_is_a_range_around_room_temperature(lowest, highest, change):
    found = dielectric_of_code(lowest + highest + change)
    assert isinstance(found, ClassTwoDielectric)
    assert found.lowest_temperature < 25 < found.highest_temperature
    assert found.change_min < 0 < found.change_max <= 0.22


@given(st.integers(0, 3))
def test_rated_voltages_rise_with_the_letter_and_tenfold_with_the_digit(digit):
    voltages = [rated_voltage_of_code(f"{digit}{letter}") for letter in "ABCDEFVGWHJK"]
    assert voltages == sorted(set(voltages))
    assert rated_voltage_of_code(f"{digit + 1}A") == 10 * voltages[0]
