"""How figures are written for people: once rounded, half to even, with unit and uncertainty."""

import pytest

from lidoff.figures.figure import Assumed, Corner, Figure
from lidoff.figures.show import assumed_text, corner_text, is_measured, shown


def text(id: str, value: float, unit: str, uncertainty: float | None = None, method: str = "") -> str:
    return shown(Figure(id, unit, value, expanded_uncertainty=uncertainty, method=method)).text


@pytest.mark.parametrize(
    ("id", "value", "unit", "expected"),
    [
        ("power_density_w_per_in3", 14.068565, "W/in³", "14.1 W/in³"),
        ("power_density_w_per_cm3", 0.858516, "W/cm³", "0.859 W/cm³"),
        ("bulk_peak_v", 373.35238, "V", "373 V"),
        ("pd_power_w", 65.0, "W", "65.0 W"),
        ("pd_power_w", 100.0, "W", "100 W"),
        ("inrush_peak_a", 1234.5, "A", "1230 A"),
        ("turns_ratio", 6.0, "1", "6.00"),
        ("average_efficiency_pct", 91.6247278, "%", "91.62 %"),
        ("efficiency_limit_pct", 87.725, "%", "87.72 %"),  # a tie goes to the even digit
        ("no_load_limit_w", 0.21, "W", "0.210 W"),
        ("price_per_watt", 0.6138, "EUR/W", "0.61 EUR/W"),
        ("surface_rise_k", -1.25, "K", "\u22121.2 K"),
        ("longest_interruption_ms", 0.0, "ms", "0 ms"),
    ],
)
def test_values(id, value, unit, expected):
    assert text(id, value, unit) == expected


@pytest.mark.parametrize(
    ("id", "value", "uncertainty", "unit", "expected"),
    [
        ("loss_w", 5.7375, 0.12915, "W", "5.74 ± 0.13 W"),
        ("average_efficiency_pct", 91.42351, 0.19805, "%", "91.42 ± 0.20 %"),
        # an uncertainty below the last digit adds the digits it needs
        ("body_volume_cm3", 75.712, 0.0129696, "cm³", "75.71 ± 0.01 cm³"),
        ("pd_power_w", 65.0, 0.0001, "W", "65.0000 ± 0.0001 W"),
        ("pd_power_w", 65.0, 0.0, "W", "65.0 W"),
        ("sustained_power_w", 140.0, 2.4, "W", "140 ± 2 W"),
    ],
)
def test_values_with_uncertainty(id, value, uncertainty, unit, expected):
    assert text(id, value, unit, uncertainty) == expected


def test_the_second_value_is_converted_from_full_precision():
    # 75.712 cm3 / 16.387064 cm3 = 4.62023 in3, and 0.550847 W/g x 28.349523 g = 15.616 W/oz
    assert shown(Figure("body_volume_cm3", "cm³", 75.712)).imperial == "4.62 in³"
    assert shown(Figure("specific_power_w_per_g", "W/g", 0.5508474576)).imperial == "15.6 W/oz"
    assert shown(Figure("assembly_power_density_w_per_cm3", "W/cm³", 1.3)).imperial == "21.3 W/in³"
    assert shown(Figure("loss_w", "W", 5.0)).imperial == ""


def test_the_space_before_a_unit_can_be_chosen():
    assert (
        shown(Figure("loss_w", "W", 5.7375, expanded_uncertainty=0.129), "\u00a0").text
        == "5.74\u00a0±\u00a00.13\u00a0W"
    )
    assert corner_text(Corner(mains_v=90, mains_hz=47), "\u00a0") == "90\u00a0V 47\u00a0Hz mains"


def test_bounds_are_said_in_words(charger):
    least, largest = (shown(one).text for one in charger.all("turns_ratio_window", {"magnetics": []}))
    assert least == "at least 4.67" and largest == "at most 14.2"


def test_absent_figures_show_nothing():
    assert shown(Figure("loss_w", "W", absent="no efficiency points are recorded")).text == ""


@pytest.mark.parametrize(
    ("corner", "expected"),
    [
        (Corner(), ""),
        (Corner(port="C1"), "C1"),
        (Corner("C1", 115, 60, 20), "C1, 20 V out, 115 V 60 Hz mains"),
        (Corner(mains_v=100), "100 V mains"),
        (Corner(output_v=3.3), "3.3 V out"),
    ],
)
def test_corners(corner, expected):
    assert corner_text(corner) == expected


def test_assumptions_are_written_as_stated():
    assert assumed_text(Assumed("bridge_drop_v", 1.7, "V", "")) == "1.7 V"
    assert assumed_text(Assumed("leakage_spike_ratio", 0.5, "1", "")) == "0.5"


def test_measured_values_are_told_from_computed_ones(charger):
    measured = charger.one("switch_stress_v", {"measured.waveforms": [{"ref": "Q1", "peak_v": 548}]})
    assert is_measured(measured) and not is_measured(charger.one("switch_stress_v"))
    # here taking the largest is the formula itself
    assert not is_measured(charger.one("longest_interruption_ms"))
