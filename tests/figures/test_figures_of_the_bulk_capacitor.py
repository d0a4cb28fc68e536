"""The bulk capacitor. Check values: standards.md item 5 and checkvalues.json, unless a comment says by hand."""

import pytest

from lidoff.figures.figure import Corner

IDEAL = {"converter_efficiency": 1.0, "bridge_drop_v": 0.0}
NO_POINTS = {"measured.efficiency": []}
BOOSTED = {"conversion.pfc": "boost-critical"}
LOW_90, LOW_100, LOW_115 = (Corner(mains_v=v, mains_hz=hz) for v, hz in ((90, 47), (100, 50), (115, 60)))
SMALL = {"ref": "C9", "roles": ["low-line-bulk-capacitor"], "ratings": {"voltage_v": 250, "capacitance_uf": 68}}


@pytest.mark.parametrize(
    ("power_w", "capacitance_uf", "corner", "valley_v"),
    [(65, 82, LOW_90, 70.9911), (65, 120, LOW_90, 88.4694), (30, 47, LOW_115, 134.0144), (30, 47, LOW_90, 81.7574)],
)
def test_valley_of_the_ideal_model(charger, power_w, capacitance_uf, corner, valley_v):
    changes = NO_POINTS | {"product.rated_power_w": power_w, "components[0].ratings.capacitance_uf": capacitance_uf}
    valley = charger.one("bulk_valley_v", changes, of=corner, **IDEAL)
    assert valley.value == pytest.approx(valley_v, abs=6e-5)


def test_valley_with_a_real_bridge(charger):
    # the closed form with 1.7 V of drop
    changes = NO_POINTS | {"components[0].ratings.capacitance_uf": 120}
    assert charger.one("bulk_valley_v", changes, of=LOW_90, converter_efficiency=1.0).value == pytest.approx(
        86.276, abs=6e-4
    )


def test_one_valley_a_corner_with_its_inputs(charger, inputs_of, assumed_of):
    valleys = charger.all("bulk_valley_v", NO_POINTS)
    assert [valley.of for valley in valleys] == [LOW_90, LOW_100, LOW_115]
    assert valleys[0].value < valleys[1].value < valleys[2].value
    assert inputs_of(valleys[0]) == {"components[0].ratings.capacitance_uf": 82, "product.rated_power_w": 65}
    assert assumed_of(valleys[0]) == {"converter_efficiency", "bridge_drop_v"}
    assert valleys[0].method == "lidoff.engineering.bulk_capacitor.bus_valley"


def test_valley_takes_measured_efficiency_and_recorded_diodes_first(charger, inputs_of, assumed_of):
    bridge = {"ref": "BD1", "roles": ["bridge-rectifier"], "ratings": {"forward_v": 0.85}}
    valley = charger.one("bulk_valley_v", {"components[7]": bridge}, of=LOW_90)
    assert assumed_of(valley) == set()
    assert inputs_of(valley) == {
        "components[0].ratings.capacitance_uf": 82, "product.rated_power_w": 65, "components[7].ratings.forward_v": 0.85,
        "measured.efficiency[3].output_v": 20, "measured.efficiency[3].output_a": 3.25, "measured.efficiency[3].input_w": 70.1,
    }  # fmt: skip
    same = charger.one("bulk_valley_v", NO_POINTS, of=LOW_90, bridge_drop_v=1.7, converter_efficiency=65 / 70.1)
    assert valley.value == pytest.approx(same.value)


@pytest.mark.parametrize(
    "changes",
    [
        {f"measured.efficiency[{i}].mains_v": 230 for i in range(4)},  # the other mains range
        {"measured.efficiency[3].output_a": 2.9},  # 58 W is not near rated
        {"measured.efficiency[3].input_w": 64},  # more out than in
    ],
)
def test_efficiency_of_another_state_is_not_taken(charger, assumed_of, changes):
    assert "converter_efficiency" in assumed_of(charger.one("bulk_valley_v", changes, of=LOW_90))


def test_there_is_no_valley_where_the_bus_reaches_zero(charger):
    valley = charger.one("bulk_valley_v", {"components[0].ratings.capacitance_uf": 33}, of=LOW_90)
    assert valley.value is None and valley.absent.startswith("the bus reaches zero")


@pytest.mark.parametrize(
    ("changes", "corner", "reason"),
    [
        ({"label.input.voltage_min_v": 220}, LOW_90, "90 V lies below the labelled input of 220 V"),
        ({"label.input.voltage_max_v": 100}, LOW_115, "115 V lies above the labelled input of 100 V"),
    ],
)
def test_valleys_outside_the_label_are_not_worked_out(charger, changes, corner, reason):
    assert charger.one("bulk_valley_v", changes, of=corner).absent == reason


def test_capacitors_in_parallel_and_in_series(charger, inputs_of):
    assert charger.one("bulk_capacitance_uf").value == pytest.approx(82)
    pair = charger.one("bulk_capacitance_uf", {"components[0].quantity": 2})
    assert pair.value == pytest.approx(164)
    assert inputs_of(pair) == {"components[0].ratings.capacitance_uf": 82, "components[0].quantity": 2}
    string = {"components[0].series_string": "a", "components[0].quantity": 2}
    assert charger.one("bulk_capacitance_uf", string).value == pytest.approx(41)
    other = {"ref": "C2", "roles": ["bulk-capacitor"], "ratings": {"voltage_v": 200, "capacitance_nf": 41000}}
    # by hand: 82 in series with 41, and beside 41
    assert charger.one(
        "bulk_capacitance_uf", {"components[0].series_string": "a", "components[7]": other | {"series_string": "a"}}
    ).value == pytest.approx(27.3333, abs=1e-4)
    assert charger.one("bulk_capacitance_uf", {"components[7]": other}).value == pytest.approx(123)


def test_capacitance_for_each_watt(charger, inputs_of):
    figure = charger.one("bulk_uf_per_w")
    assert figure.value == pytest.approx(82 / 65)
    assert inputs_of(figure) == {"components[0].ratings.capacitance_uf": 82, "product.rated_power_w": 65}


def test_capacitors_of_low_line_stand_apart(charger):
    figures = charger.figures({"components[7]": SMALL} | NO_POINTS)
    corner = Corner(mains_v=115)
    assert [(one.of, one.value) for one in figures.all("bulk_capacitance_uf")] == [
        (Corner(), pytest.approx(82)),
        (corner, pytest.approx(150)),
    ]
    assert [one.value for one in figures.all("bulk_uf_per_w")] == [pytest.approx(82 / 65), pytest.approx(150 / 65)]
    # the margin at high line is that of the other part, the valley at low line that of both
    assert figures.value("bulk_voltage_margin_pct") == charger.one("bulk_voltage_margin_pct").value
    both = charger.all("bulk_valley_v", NO_POINTS | {"components[0].ratings.capacitance_uf": 150})
    assert [one.value for one in figures.all("bulk_valley_v")] == [pytest.approx(one.value) for one in both]
    # by hand: 150 uF at 162.63 V
    assert [one.value for one in figures.all("stored_energy_j")] == [
        pytest.approx(5.71507, abs=1e-5),
        pytest.approx(1.983750, abs=1e-5),
    ]


def test_low_line_alone_is_no_bulk_capacitor(charger):
    figure = charger.all("bulk_capacitance_uf", {"components[0].roles": ["low-line-bulk-capacitor"]})
    assert {one.absent for one in figure} == {"no bulk capacitor is recorded"}


@pytest.mark.parametrize(
    ("label_v", "peak_v"), [(240, 373.352), (264, 373.352), (230, 357.796), (277, 430.910), (120, 186.676)]
)
def test_peak_is_the_crest_of_the_highest_labelled_voltage_and_ten_percent(charger, label_v, peak_v):
    # by hand: root 2 x 1.1 x V; AN-6094 step 2 has 373 V for 240 V and 10 %; 264 V names no public supply and holds its tolerance
    peak = charger.one("bulk_peak_v", {"label.input.voltage_max_v": label_v})
    assert peak.value == pytest.approx(peak_v, abs=1e-3)


def test_what_the_peak_rests_on(charger, inputs_of, assumed_of):
    labelled = charger.one("bulk_peak_v")
    assert inputs_of(labelled) == {"label.input.voltage_max_v": 240} and assumed_of(labelled) == {"mains_tolerance_pct"}
    unlabelled = charger.one("bulk_peak_v", {"label": None})
    assert unlabelled.value == pytest.approx(373.352, abs=1e-3)
    assert inputs_of(unlabelled) == {} and assumed_of(unlabelled) == {"high_line_v"}


def test_behind_a_boost_stage_the_bus_counts(charger, inputs_of, assumed_of):
    assumed = charger.figures(BOOSTED)
    (peak,) = assumed.all("bulk_peak_v")
    assert peak.value == 390 and assumed_of(peak) == {"boost_bus_v"} and inputs_of(peak) == {}
    assert assumed.value("stored_energy_j") == pytest.approx(6.2361, abs=1e-12)
    assert assumed.value("bleed_time_to_60v_s") == pytest.approx(153.4878, abs=5e-5)
    assert [one.absent for one in assumed.all("bulk_valley_v")] == [
        "a boost stage holds the bus, so it has no valley of the mains half wave"
    ] * 3
    recorded = charger.figures(BOOSTED | {"conversion.bus_v": 400})
    (peak,) = recorded.all("bulk_peak_v")
    assert peak.value == 400 and inputs_of(peak) == {"conversion.bus_v": 400} and peak.assumed == ()
    assert recorded.value("bulk_voltage_margin_pct") == 0


def test_a_boost_stage_cannot_hold_the_bus_below_the_crest(charger, inputs_of):
    peak = charger.one("bulk_peak_v", BOOSTED | {"conversion.bus_v": 250})
    assert peak.value == pytest.approx(373.352, abs=1e-3)
    assert set(inputs_of(peak)) == {"conversion.bus_v", "label.input.voltage_max_v"}


@pytest.mark.parametrize(
    ("changes", "peak_v"),
    [
        ({"conversion.pfc": None, "components[7]": {"ref": "Q9", "roles": ["pfc-switch"]}}, 390),
        ({"conversion": None, "coverage": {"parts": "main"}}, 373.352),
        ({"conversion.pfc": "passive"}, 373.352),
        ({"conversion.pfc": None, "coverage": {"parts": "visible"}}, None),
        ({"conversion": None}, None),
        ({"conversion.pfc": "undetermined", "coverage": {"parts": "every"}}, None),
    ],
)
def test_boost_stage_is_concluded_seen_or_unknown(charger, changes, peak_v):
    peak = charger.one("bulk_peak_v", changes)
    if peak_v is None:
        assert peak.absent == "it is not recorded whether a boost stage feeds the bulk capacitor"
    else:
        assert peak.value == pytest.approx(peak_v, abs=1e-3)


def test_margin(charger, inputs_of):
    margin = charger.one("bulk_voltage_margin_pct")
    # by hand: 100 (1 - 373.3524 / 400)
    assert margin.value == pytest.approx(6.6619, abs=1e-4)
    assert inputs_of(margin) == {"components[0].ratings.voltage_v": 400, "label.input.voltage_max_v": 240}
    string = {"components[0].ratings.voltage_v": 200, "components[0].series_string": "a", "components[0].quantity": 2}
    assert charger.one("bulk_voltage_margin_pct", string).value == pytest.approx(6.6619, abs=1e-4)
    # of several parallel capacitors the one with the lowest rating counts
    weaker = {"ref": "C2", "roles": ["bulk-capacitor"], "ratings": {"voltage_v": 350, "capacitance_uf": 10}}
    assert charger.one("bulk_voltage_margin_pct", {"components[7]": weaker}).value == pytest.approx(-6.6721, abs=1e-4)


def test_energy_at_another_voltage(charger):
    # published check value: 100 uF at 375 V
    changes = BOOSTED | {"conversion.bus_v": 375, "components[0].ratings.capacitance_uf": 100}
    energy = charger.one("stored_energy_j", changes)
    assert energy.value == pytest.approx(7.03125, rel=1e-12)


def test_bleed_path(charger, inputs_of):
    bleed = charger.one("bleed_time_to_60v_s")
    # by hand: 82 s x ln(373.3524 / 60)
    assert bleed.value == pytest.approx(149.9106, abs=1e-4)
    assert inputs_of(bleed) == {
        "components[6].ratings.resistance_ohm": 1e6, "components[0].ratings.capacitance_uf": 82, "label.input.voltage_max_v": 240,
    }  # fmt: skip
    string = {"components[6].quantity": 3, "components[6].series_string": "a"}
    assert charger.one("bleed_time_to_60v_s", string).value == pytest.approx(3 * 149.9106, abs=3e-4)


@pytest.mark.parametrize(
    ("id", "changes", "reason"),
    [
        ("bulk_capacitance_uf", {"components": []}, "no bulk capacitor is recorded"),
        ("bulk_capacitance_uf", {"components[0].ratings": None}, "the capacitance of C1 is not recorded"),
        ("bulk_uf_per_w", {"product.rated_power_w": None}, "no rated power is recorded"),
        ("stored_energy_j", {"components[0].ratings.capacitance_uf": None}, "the capacitance of C1 is not recorded"),
        ("bulk_voltage_margin_pct", {"components": []}, "no bulk capacitor is recorded"),
        (
            "bulk_voltage_margin_pct",
            {"components[0].ratings.voltage_v": None},
            "the rated voltage of C1 is not recorded",
        ),
        (
            "bulk_voltage_margin_pct",
            {
                "components[0].series_string": "a",
                "components[7]": {
                    "ref": "C2",
                    "roles": ["bulk-capacitor"],
                    "series_string": "a",
                    "ratings": {"voltage_v": 200, "capacitance_uf": 47},
                },
            },
            "unequal bulk capacitors in series: how the voltage divides is not known",
        ),
        ("bleed_time_to_60v_s", {"components[6].roles": ["resistor"]}, "no bleed resistor is recorded"),
        ("bleed_time_to_60v_s", {"components[6].ratings": None}, "the resistance of R1 is not recorded"),
        (
            "bleed_time_to_60v_s",
            {"components[6].quantity": 2},
            "several bleed resistors are recorded, but not that they form one series string",
        ),
        (
            "bleed_time_to_60v_s",
            {"components[6].ratings.resistance_ohm": 0},
            "the formula does not hold for the recorded values (resistance: found 0.0, expected a finite number above 0)",
        ),
    ],
)
def test_absence(charger, id, changes, reason):
    figure = charger.one(id, changes)
    assert figure.value is None and figure.absent == reason


def test_valley_is_absent_with_its_inputs(charger):
    assert {one.absent for one in charger.all("bulk_valley_v", {"product.rated_power_w": None})} == {
        "no rated power is recorded"
    }


def test_energy_at_low_line_is_not_worked_out_behind_a_boost_stage(charger):
    low = charger.one("stored_energy_j", BOOSTED | {"components[7]": SMALL}, of=Corner(mains_v=115))
    assert low.absent == "a boost stage holds the bus, whatever the mains voltage"
