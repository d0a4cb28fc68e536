"""Average efficiency and published limits.

Check values of the limits: standards.md item 1 (twelve digits); the mean of ratios: the trap listed there.
"""

import pytest

from lidoff.figures.figure import Corner

AVERAGE, LIMIT, NO_LOAD = "average_efficiency_pct", "efficiency_limit_pct", "no_load_limit_w"
AT_115 = Corner("C1", 115, 60, 20)
METERS = [
    {"id": "in", "quantity": "power", "pct_reading": 0.1},
    {"id": "out", "quantity": "power", "pct_reading": 0.05},
]
LEVEL_V = "the label states level V, and the published limits are those of the later level VI"
FIVE_VOLT = {"output_v": 5, "load_base_a": 2}


def rows_at_5_v(charger, base_a: float) -> list[dict]:
    return [
        row
        | {
            "output_v": 5.02,
            "load_base_a": base_a,
            "output_a": row["load_pct"] / 100 * base_a,
            "input_w": row["load_pct"] / 100 * base_a * 6,
        }
        for row in charger.rows()
    ]


def reason(charger, changes: dict) -> str:
    limit = charger.one(LIMIT, changes)
    assert limit.value is None
    return limit.absent


def test_average_is_the_mean_of_four_ratios(charger, inputs_of):
    average = charger.one(AVERAGE)
    assert average.value == pytest.approx(91.6247278, abs=5e-8)
    assert average.of == AT_115 and average.assumed == ()
    assert inputs_of(average) == {
        f"measured.efficiency[{i}].{key}": value
        for i, (amperes, _, watts) in enumerate(
            ((0.8125, 25, 18.2), (1.625, 50, 35.4), (2.4375, 75, 52.6), (3.25, 100, 70.1))
        )
        for key, value in (("output_v", 20), ("output_a", amperes), ("input_w", watts))
    }


def test_rows_are_grouped_by_what_they_were_set_to(charger):
    rows = [row | {"mains_v": 229.6, "mains_hz": 50.02, "output_v": 19.6} for row in charger.rows()]
    figures = charger.figures({"measured.efficiency": charger.rows() + rows})
    assert [one.of for one in figures.all(AVERAGE)] == [AT_115, Corner("C1", 230, 50, 20)]
    asked = [row | {"set_v": 15, "output_v": 20} for row in charger.rows()]
    assert charger.one(AVERAGE, {"measured.efficiency": asked}).of == Corner("C1", 115, 60, 15)


def test_samples_are_not_mixed(charger, inputs_of):
    second = [row | {"sample": "s2", "input_w": 100} for row in charger.rows()]
    both = charger.one(AVERAGE, {"measured.efficiency": second + charger.rows()})
    assert both.value == pytest.approx(91.6247278, abs=5e-8) and "measured.efficiency[4].input_w" in inputs_of(both)
    assert charger.one(AVERAGE, {"measured.efficiency": second}).value < 90
    halves = [row | {"sample": "s2"} if row["load_pct"] > 50 else row for row in charger.rows()]
    assert (
        charger.one(AVERAGE, {"measured.efficiency": halves}).absent
        == "the average needs points at 25, 50, 75 and 100 % load, found 25, 50 %"
    )


def test_load_follows_from_the_base_where_it_is_not_recorded(charger):
    rows = [{key: value for key, value in row.items() if key != "load_pct"} for row in charger.rows()]
    assert charger.one(AVERAGE, {"measured.efficiency": rows}).value == pytest.approx(91.6247278, abs=5e-8)
    for row in rows:
        del row["load_base_a"]
    figures = charger.figures({"measured.efficiency": rows})
    assert [one.absent for one in figures.all(AVERAGE)] == ["it is not recorded which load the points stand for"]
    assert [one.absent for one in figures.all(LIMIT)] == [
        "not judged: it is not recorded which load the points stand for"
    ]


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({"measured.efficiency": []}, "no efficiency points are recorded"),
        ({"measured": None}, "no efficiency points are recorded"),
        (
            {"measured.efficiency[2].load_pct": 60},
            "the average needs points at 25, 50, 75 and 100 % load, found 25, 50, 60, 100 %",
        ),
        (
            {"measured.efficiency[0].input_w": 16.25},
            "a measured output power is not below the input power, which only a fault of measurement explains",
        ),
    ],
)
def test_average_absent(charger, changes, expected):
    figures = charger.figures(changes)
    assert [one.absent for one in figures.all(AVERAGE)] == [expected]
    assert [one.absent for one in figures.all(LIMIT)] == [f"not judged: {expected}"]


def test_one_meter_at_both_ends_errs_partly_alike(charger, assumed_of):
    both = {"instruments": METERS} | {f"measured.efficiency[{i}].instrument": "in" for i in range(4)}
    for shared in (0.0, 0.5, 1.0):
        one = charger.one(AVERAGE, both, same_meter_correlation=shared)
        # by hand: root(2 - 2 r) times 0.1 % / root 3 of each ratio, all in the same sense
        by_hand = 2 * (2 * (1 - shared)) ** 0.5 * 0.001 / 3**0.5 * one.value
        assert one.expanded_uncertainty == pytest.approx(by_hand, abs=1e-9) and assumed_of(one) == {
            "same_meter_correlation"
        }


def test_uncertainty_of_the_average(charger, assumed_of):
    meters = {"instruments": METERS} | {
        f"measured.efficiency[{i}].{side}_instrument": id
        for i in range(4)
        for side, id in (("input", "in"), ("output", "out"))
    }
    average = charger.one(AVERAGE, meters)
    # by hand: each ratio is uncertain by root(0.1 % squared + 0.05 % squared) / root 3 of itself, all in the same sense
    share = (0.001**2 + 0.0005**2) ** 0.5 / 3**0.5
    assert average.expanded_uncertainty == pytest.approx(2 * share * average.value)
    assert assumed_of(average) == set()
    del meters["measured.efficiency[3].output_instrument"]
    assert charger.one(AVERAGE, meters).expanded_uncertainty is None
    voltmeter = meters | {"instruments": [METERS[0], METERS[1] | {"quantity": "voltage"}]}
    assert charger.one(AVERAGE, voltmeter).expanded_uncertainty is None


def test_limit_at_the_highest_voltage(charger, inputs_of):
    limit = charger.one(LIMIT)
    assert limit.value == pytest.approx(88) and limit.of == AT_115
    assert inputs_of(limit) == {"ports[0].label[2].voltage_v": 20, "ports[0].label[2].current_a": 3.25}
    assert limit.source.startswith("10 CFR 430.32(w)(1)(ii)") and "cord of 3 ft" in limit.source
    # 45 W, on the curve
    rows = [
        row | {"load_base_a": 2.25, "output_a": row["load_pct"] * 0.0225, "input_w": row["load_pct"] * 0.5}
        for row in charger.rows()
    ]
    curve = charger.one(LIMIT, {"ports[0].label[2].current_a": 2.25, "measured.efficiency": rows})
    assert curve.value == pytest.approx(87.7273036774, abs=1e-9)


def test_limit_at_230_v_is_that_of_the_eu(charger):
    limit = charger.one(
        LIMIT, {"measured.efficiency": [row | {"mains_v": 230, "mains_hz": 50} for row in charger.rows()]}
    )
    assert limit.value == pytest.approx(88) and limit.source.startswith("Regulation (EU) 2019/1782")


def test_limit_at_5_v_takes_2_a_for_a_usb_pd_supply(charger, inputs_of):
    judged = charger.one(LIMIT, {"measured.efficiency": rows_at_5_v(charger, 2)})
    assert judged.value == pytest.approx(78.7035596756, abs=1e-9) and judged.of == Corner("C1", 115, 60, 5)
    assert inputs_of(judged) == {"ports[0].label[0].voltage_v": 5}
    other = reason(charger, {"measured.efficiency": rows_at_5_v(charger, 3)})
    assert other == "not judged: other load: 100 % was 3 A, while the procedure takes 2 A at 5 V"


@pytest.mark.parametrize(
    "changes",
    [
        {"ports[0].connector": "usb-a"},
        {"ports[0].protocols": [], "ports[0].advertised": []},
        {"ports[0].label[1].current_a": 3.3},
    ],
)
def test_limit_at_5_v_takes_the_nameplate_current_otherwise(charger, changes):
    judged = charger.one(LIMIT, changes | {"measured.efficiency": rows_at_5_v(charger, 3)})
    # low-voltage, 15 W
    assert judged.value == pytest.approx(81.3851386772, abs=1e-9)


def test_limit_of_a_supply_with_one_voltage(charger):
    changes = {
        "ports[0].label": [{"kind": "fixed", "voltage_v": 5, "current_a": 2.4}],
        "ports[0].connector": "usb-a",
        "measured.efficiency": rows_at_5_v(charger, 2.4),
    }
    assert charger.one(LIMIT, changes).value == pytest.approx(79.94412145923192, abs=1e-9)


def test_supplied_and_captive_cables(charger):
    at_end = {"measured.efficiency": charger.rows(measured_at="cable-end")}
    supplied = {"product.supplied_cable": {"length_m": 1}}
    judged = charger.one(LIMIT, at_end | supplied)
    assert judged.value == pytest.approx(88) and "cord" not in judged.source
    captive = charger.one(LIMIT, {"ports[0].connector": "captive-usb-c"})
    assert captive.value == pytest.approx(88) and "cord" not in captive.source


def set_rows(charger, **changes: object) -> dict:
    return {"measured.efficiency": charger.rows(**changes)}


@pytest.mark.parametrize(
    ("rows", "changes", "expected"),
    [
        (
            {"mains_v": 100, "mains_hz": 50},
            {},
            "measured at 100 V 50 Hz, while the procedures ask for 115 V 60 Hz or 230 V 50 Hz",
        ),
        (
            {"mains_v": 230, "mains_hz": 60},
            {},
            "measured at 230 V 60 Hz, while the procedures ask for 115 V 60 Hz or 230 V 50 Hz",
        ),
        ({"measured_at": "cable-end"}, {}, "the output was not measured at the product's own connector"),
        ({"measured_at": "board"}, {}, "the output was not measured at the product's own connector"),
        ({"measured_at": None}, {}, "it is not recorded where the output was measured"),
        (
            {},
            {"product.supplied_cable": {"length_m": 1}},
            "the output was not measured at the end of the supplied cable, as the procedure asks",
        ),
        ({"warm_up_min": 10}, {}, "the warm-up was 10 min, while the procedure asks for 30 min"),
        ({"set_v": 9}, {}, "the procedure tests the highest and the lowest labelled voltage, not 9 V"),
        ({}, {"ports[0].label[2].current_a": 3}, "other load: 100 % was 3.25 A, while the procedure takes 3 A at 20 V"),
        (
            {"load_base_a": 3},
            {"ports[0].label[2].current_a": 3},
            "other load: 3.25 A was drawn for 3 A, while the procedure takes 3 A at 20 V",
        ),
        (
            {"load_base_a": None},
            {"ports[0].label[2].current_a": 3},
            "other load: 3.25 A was drawn for 3 A, while the procedure takes 3 A at 20 V",
        ),
        ({}, {"ports[0].label": []}, "the label's outputs of this port are not recorded"),
        ({"port": "C9"}, {}, "the label's outputs of this port are not recorded"),
        (
            {},
            {"ports[1]": {"id": "A1", "connector": "usb-a"}},
            "one of several ports was loaded, while the procedure loads all of them",
        ),
        ({}, {"label.marks": ["efficiency-level-v"]}, LEVEL_V),
    ],
)
def test_not_judged(charger, rows, changes, expected):
    assert reason(charger, set_rows(charger, **rows) | changes) == f"not judged: {expected}"


def test_a_label_that_states_both_levels_is_judged_by_the_later_one(charger):
    assert charger.one(LIMIT, {"label.marks": ["efficiency-level-v", "efficiency-level-vi"]}).value == pytest.approx(88)


def test_nothing_is_judged_above_the_powers_that_a_document_knows(charger):
    rows = [
        row
        | {
            "mains_v": 230,
            "mains_hz": 50,
            "load_base_a": 6,
            "output_v": 48,
            "output_a": row["load_pct"] * 0.06,
            "input_w": row["load_pct"] * 3,
        }
        for row in charger.rows()
    ]
    changes = {"ports[0].label": [{"kind": "fixed", "voltage_v": 48, "current_a": 6}], "measured.efficiency": rows}
    assert reason(charger, changes) == "not judged: no published minimum for 288 W"


def test_an_unrecorded_warm_up_is_not_held_against_it(charger):
    assert charger.one(LIMIT, set_rows(charger, warm_up_min=None)).value == pytest.approx(88)


@pytest.mark.parametrize(
    ("power_w", "mains", "one_voltage", "limit_w"),
    [
        (20, (115, 60), True, 0.1),
        (49, (115, 60), False, 0.1),
        (49.5, (230, 50), True, 0.21),
        (20, (230, 50), True, 0.1),
        (20, (230, 50), False, 0.21),  # the EU's published answer on supplies that change their voltage
        (280, (115, 60), False, 0.5),
    ],
)
def test_no_load_limits(charger, inputs_of, power_w, mains, one_voltage, limit_w):
    changes = {
        "product.rated_power_w": power_w,
        "measured.no_load": [{"mains_v": mains[0], "mains_hz": mains[1], "power_w": 0.05}],
    }
    if one_voltage:
        changes["ports[0].label"] = [{"kind": "fixed", "voltage_v": 20, "current_a": 1}]
    limit = charger.one(NO_LOAD, changes)
    assert limit.value == limit_w and limit.of == Corner(mains_v=mains[0], mains_hz=mains[1])
    assert inputs_of(limit) == {"product.rated_power_w": power_w}


def test_no_load_limit_of_several_voltages_at_once(charger):
    second = {"ports[1]": {"id": "A1", "connector": "usb-a"}}
    assert charger.one(NO_LOAD, second | {"conversion.per_port": "buck"}).value == 0.3
    # all ports at one voltage count as one
    assert charger.one(NO_LOAD, second | {"conversion.per_port": "load-switch"}).value == 0.21


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({"measured.no_load": []}, "no no-load power is recorded"),
        ({"measured": None}, "no no-load power is recorded"),
        ({"measured.no_load[0].mains_hz": None}, "the mains frequency is not recorded"),
        (
            {"measured.no_load[0].mains_v": 100},
            "measured at 100 V 50 Hz, while the procedures ask for 115 V 60 Hz or 230 V 50 Hz",
        ),
        (
            {"measured.no_load[0].state": "full-device"},
            "a device was plugged in, while the procedure has nothing at the ports",
        ),
        ({"label.marks": ["efficiency-level-v"]}, LEVEL_V),
        ({"product.rated_power_w": None}, "no rated power is recorded"),
        ({"product.rated_power_w": 280}, "no published maximum for 280 W"),
        (
            {"ports[1]": {"id": "A1", "connector": "usb-a"}, "conversion.per_port": None},
            "it is not recorded whether the ports can have different voltages at the same time",
        ),
    ],
)
def test_no_load_not_judged(charger, changes, expected):
    limit = charger.one(NO_LOAD, changes)
    assert limit.value is None and limit.absent == f"not judged: {expected}"
