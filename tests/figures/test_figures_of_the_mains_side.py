"""Mains current, inrush and Y capacitors. Check values: standards.md item 5, unless a comment says by hand."""

import pytest

from lidoff.figures.figure import Corner

NO_POINTS = {"measured.efficiency": []}
ANOTHER_Y = {"ref": "CY2", "roles": ["y-capacitor"], "across": "primary-secondary", "ratings": {"capacitance_nf": 2.2}}


def test_mains_current(charger, inputs_of, assumed_of):
    current = charger.one("mains_current_a", NO_POINTS | {"label.input.voltage_min_v": 90})
    assert current.value == pytest.approx(1.4590, abs=5e-5)
    assert current.of == Corner(mains_v=90)
    assert inputs_of(current) == {"product.rated_power_w": 65, "label.input.voltage_min_v": 90}
    assert assumed_of(current) == {"converter_efficiency", "power_factor_uncorrected"}


def test_mains_current_behind_a_boost_stage(charger, assumed_of):
    changes = NO_POINTS | {"label.input.voltage_min_v": 90, "product.rated_power_w": 100, "conversion.pfc": "boost"}
    current = charger.one("mains_current_a", changes, converter_efficiency=0.92, power_factor_boost=0.98)
    assert current.value == pytest.approx(1.2323770, abs=5e-7)
    assert assumed_of(current) == {"converter_efficiency", "power_factor_boost"}


@pytest.mark.parametrize(
    "row",
    [
        {"measured.efficiency[3].power_factor": 0.6},
        {"measured.power_factor": [{"mains_v": 115, "output_w": 64, "power_factor": 0.6}]},
    ],
)
def test_measured_power_factor_goes_first(charger, assumed_of, row):
    current = charger.one("mains_current_a", row | {"conversion": None})
    # by hand: 70.1 W / (0.6 x 100 V)
    assert current.value == pytest.approx(1.168333, abs=1e-6) and assumed_of(current) == set()


@pytest.mark.parametrize(
    "row",
    [
        {"mains_v": 230, "output_w": 65, "power_factor": 0.6},
        {"mains_v": 115, "output_w": 20, "power_factor": 0.6},
        {"mains_v": 115, "output_w": 65},
    ],
)
def test_power_factor_of_another_state_is_not_taken(charger, assumed_of, row):
    assert assumed_of(charger.one("mains_current_a", {"measured.power_factor": [row]})) == {"power_factor_uncorrected"}


def test_mains_current_without_a_label(charger, assumed_of):
    current = charger.one("mains_current_a", NO_POINTS | {"label": None})
    assert current.of == Corner(mains_v=100) and "low_line_v" in assumed_of(current)


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"product.rated_power_w": None}, "no rated power is recorded"),
        ({"conversion": None}, "it is not recorded whether a boost stage feeds the bulk capacitor"),
        (
            {"conversion.pfc": "passive"},
            "no power factor near rated load is recorded, and passive correction leaves it open",
        ),
    ],
)
def test_mains_current_absent(charger, changes, reason):
    current = charger.one("mains_current_a", changes)
    assert current.value is None and current.absent == reason


def test_touch_current_bound(charger, inputs_of, assumed_of):
    bound = charger.one("y_touch_current_ua")
    assert bound.value == pytest.approx(99.526, abs=5e-4)
    assert inputs_of(bound) == {
        "components[4].ratings.capacitance_pf": 1000, "label.input.voltage_max_v": 240, "label.input.frequencies_hz[1]": 60,
    }  # fmt: skip
    assert assumed_of(bound) == {"mains_tolerance_pct"}
    assert charger.one("y_touch_current_ua", {"components[4].ratings.capacitance_pf": 470}).value == pytest.approx(
        46.777, abs=5e-4
    )
    unlabelled = charger.one("y_touch_current_ua", {"label": None})
    assert unlabelled.value == pytest.approx(99.526, abs=5e-4) and assumed_of(unlabelled) == {
        "high_line_v",
        "high_mains_hz",
    }


def test_y_capacitors_in_parallel_and_in_series(charger):
    # 2.2 nF passes 218.956 uA; by hand: 1 nF beside it, and 2.2 nF in series with its like
    beside = charger.one("y_touch_current_ua", {"components[7]": ANOTHER_Y})
    assert beside.value == pytest.approx(99.526 + 218.956, abs=1e-3)
    string = charger.one("y_touch_current_ua", {"components[4]": ANOTHER_Y | {"series_string": "a", "quantity": 2}})
    assert string.value == pytest.approx(218.956 / 2, abs=1e-3)


def test_capacitors_to_earth_stand_apart(charger):
    earthed = ANOTHER_Y | {"across": "primary-earth"}
    assert charger.one("y_touch_current_ua", {"components[7]": earthed}).value == pytest.approx(99.526, abs=5e-4)
    only = charger.one("y_touch_current_ua", {"components[4].across": "primary-earth", "product.protection_class": "i"})
    assert only.absent == "the recorded Y capacitors lead to protective earth or the case, none to the output"


def test_class_ii_has_no_earth_to_lead_to(charger):
    unsaid = {"components[4].across": None}
    assert charger.one("y_touch_current_ua", unsaid).value == pytest.approx(99.526, abs=5e-4)
    for protection_class in ("i", None):
        figure = charger.one("y_touch_current_ua", unsaid | {"product.protection_class": protection_class})
        assert figure.absent == "what CY1 bridges is not recorded, nor that there is no protective earth"


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"components": []}, "no Y capacitor is recorded"),
        ({"components[4].ratings": None}, "the capacitance of CY1 is not recorded"),
    ],
)
def test_touch_current_absent(charger, changes, reason):
    assert charger.one("y_touch_current_ua", changes).absent == reason


def test_inrush(charger, inputs_of):
    inrush = charger.one("inrush_peak_a")
    assert inrush.value == pytest.approx(74.67, abs=5e-3)
    assert inputs_of(inrush) == {"components[5].ratings.cold_resistance_ohm": 5, "label.input.voltage_max_v": 240}
    fusible = {"ref": "RF1", "roles": ["fusible-resistor"], "ratings": {"resistance_ohm": 5}}
    # published check value: 10 ohm
    assert charger.one("inrush_peak_a", {"components[7]": fusible}).value == pytest.approx(37.33523804664971, rel=1e-12)


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"components[5].roles": ["thermistor"]}, "no series resistance of the mains input is recorded"),
        ({"components[5].ratings": {"resistance_ohm": 5}}, "the cold resistance of RT1 is not recorded"),
        ({"components[5]": {"ref": "RF1", "roles": ["fusible-resistor"]}}, "the resistance of RF1 is not recorded"),
        ({"components[5].quantity": 2}, "RT1 stands for 2 parts, and how they are connected is not recorded"),
        (
            {"components[5]": {"ref": "RF1", "roles": ["fusible-resistor"], "ratings": {"resistance_ohm": 0}}},
            "the formula does not hold for the recorded values (resistance: found 0.0, expected a finite number above 0)",
        ),
    ],
)
def test_inrush_absent(charger, changes, reason):
    assert charger.one("inrush_peak_a", changes).absent == reason
