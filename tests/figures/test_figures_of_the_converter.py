"""Turns, stress and flux of the isolated converter. Check values: standards.md item 6 and checkvalues.json, unless by hand."""

import pytest

from lidoff.engineering.flyback_current import continuous_current
from lidoff.figures.figure import Corner

PPS = {"ports[0].label[3]": {"kind": "pps", "voltage_min_v": 3.3, "voltage_max_v": 21, "current_a": 3.25}}
NO_TURNS = {"magnetics": []}
BUS_373 = 373.3523804664971
SWITCH, RECTIFIER = "switch_stress_v", "sync_rectifier_stress_v"
TWO_PORTS = {
    "ports[1]": {"id": "A1", "connector": "usb-a", "label": [{"kind": "fixed", "voltage_v": 5, "current_a": 2.4}]}
}


def test_turns_ratio(charger, inputs_of):
    ratio = charger.one("turns_ratio")
    assert ratio.value == 6 and ratio.unit == "1"
    assert inputs_of(ratio) == {"magnetics[0].windings[0].turns": 24, "magnetics[0].windings[1].turns": 4}


def test_reflected_voltage_counts_the_highest_output(charger, inputs_of, assumed_of):
    # by hand: 6 x (20 V + 0.1 V), 6 x (21 V + 0.1 V), 6 x (28 V + 0.5 V)
    assert charger.one("reflected_voltage_v").value == pytest.approx(120.6)
    adjustable = charger.one("reflected_voltage_v", PPS)
    assert adjustable.value == pytest.approx(126.6) and assumed_of(adjustable) == {"sync_rectifier_drop_v"}
    assert "ports[0].label[3].voltage_max_v" in inputs_of(adjustable)
    # 0x0008C1F4: fixed, 28 V 5 A, advertised and not on the label
    epr = {
        "ports[0].advertised[0].message": "epr",
        "ports[0].advertised[0].words[3]": "0x0008C1F4",
        "conversion.secondary": "diode",
    }
    advertised = charger.one("reflected_voltage_v", epr)
    assert advertised.value == pytest.approx(171) and assumed_of(advertised) == {"output_diode_drop_v"}
    assert inputs_of(advertised)["ports[0].advertised[0].words[3]"] == 28


def test_recorded_drop_of_the_diode_goes_first(charger, inputs_of):
    diode = {
        "conversion.secondary": "diode",
        "components[2]": {"ref": "D1", "roles": ["rectifier-diode"], "ratings": {"forward_v": 0.4}},
    }
    reflected = charger.one("reflected_voltage_v", diode)
    assert reflected.value == pytest.approx(122.4) and inputs_of(reflected)["components[2].ratings.forward_v"] == 0.4


def test_unknown_rectifier_counts_as_a_diode_unless_a_part_says_more(charger, assumed_of):
    unsaid = {"conversion.secondary": None}
    assert "sync_rectifier_drop_v" in assumed_of(charger.one("reflected_voltage_v", unsaid))
    assert "output_diode_drop_v" in assumed_of(
        charger.one("reflected_voltage_v", unsaid | {"components[2].roles": ["other"]})
    )


def test_per_port_converters_hang_on_their_own_bus(charger, inputs_of):
    bus = charger.one("reflected_voltage_v", PPS | {"conversion.per_port": "buck", "conversion.intermediate_v": 24})
    assert bus.value == pytest.approx(6 * 24.1) and inputs_of(bus)["conversion.intermediate_v"] == 24
    shared = charger.one("reflected_voltage_v", TWO_PORTS | {"conversion.per_port": "load-switch"})
    assert shared.value == pytest.approx(120.6)


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"conversion.per_port": "buck"}, "the voltage of the bus that feeds the per-port converters is not recorded"),
        (TWO_PORTS | {"conversion.per_port": None}, "how the ports are fed is not recorded"),
        (
            {"conversion.per_port": "separate-converters"},
            "each port has a converter of its own, and which port this transformer feeds is not recorded",
        ),
        ({"ports[0].label": [], "ports[0].advertised": []}, "no output voltage is recorded"),
        ({"conversion.primary": "undetermined"}, "the kind of isolated converter is not determined"),
        ({"conversion.primary": None}, "the kind of isolated converter is not determined"),
        ({"conversion.primary": "forward"}, "a reflected output voltage is a notion of flyback converters"),
        (NO_TURNS, "no turns of a transformer are recorded"),
        ({"magnetics[0].windings[1].turns": None}, "no turns of a transformer are recorded"),
        ({"components[3].roles": ["pfc-inductor"]}, "no turns of a transformer are recorded"),
        (
            {"magnetics[0].windings[2]": {"name": "primary", "turns": 12}},
            "T1 has several windings named primary: whether they are in series is not recorded",
        ),
        (
            {
                "magnetics[1]": {
                    "ref": "T2",
                    "windings": [{"name": "primary", "turns": 30}, {"name": "secondary", "turns": 3}],
                }
            },
            "several transformers are recorded, and which port each one feeds is not",
        ),
    ],
)
def test_reflected_voltage_absent(charger, changes, reason):
    figure = charger.one("reflected_voltage_v", changes)
    assert figure.value is None and figure.absent == reason


def test_switch_stress_of_a_flyback(charger, inputs_of, assumed_of):
    stress = charger.one(SWITCH, PPS)
    # by hand: 373.352 V + 126.6 V + half of 126.6 V
    assert stress.value == pytest.approx(BUS_373 + 189.9)
    assert inputs_of(stress) == {
        "label.input.voltage_max_v": 240, "magnetics[0].windings[0].turns": 24, "magnetics[0].windings[1].turns": 4,
        "ports[0].label[3].voltage_max_v": 21,
    }  # fmt: skip
    assert assumed_of(stress) == {"mains_tolerance_pct", "sync_rectifier_drop_v", "leakage_spike_ratio"}
    clamped = charger.one(SWITCH, PPS | {"conversion.primary": "flyback-active-clamp"})
    assert clamped.value == pytest.approx(BUS_373 + 126.6) and "leakage_spike_ratio" not in assumed_of(clamped)
    boosted = charger.one(SWITCH, PPS | {"conversion.pfc": "boost", "conversion.bus_v": 400})
    assert boosted.value == pytest.approx(400 + 189.9)


def test_rectifier_stress_of_a_flyback(charger, inputs_of):
    stress = charger.one(RECTIFIER)
    # the check values rest on a crest rounded to 373.352 V, so they hold to 1e-4 V
    assert stress.value == pytest.approx(82.22533, abs=1e-4)
    assert stress.method == "lidoff.engineering.flyback.rectifier_stress"
    # second check value: n = 8, 12 V
    other = {"magnetics[0].windings[0].turns": 32, "ports[0].label[2].voltage_v": 12, "ports[0].advertised": []}
    assert charger.one(RECTIFIER, other).value == pytest.approx(58.669, abs=5e-4)


def test_half_bridges_clamp_their_switches_to_the_bus(charger, inputs_of):
    boosted = {"conversion.pfc": "boost", "conversion.bus_v": 400, "magnetics[0].windings[0].turns": 32}
    hybrid = charger.figures(boosted | {"conversion.primary": "flyback-asymmetric-half-bridge"})
    assert hybrid.value(SWITCH) == 400 and hybrid.value(RECTIFIER) == 50
    assert hybrid.value("reflected_voltage_v") == pytest.approx(160.8)
    llc = charger.figures(
        boosted
        | {"conversion.primary": "llc-half-bridge", "conversion.secondary": "sync-rectified-centre-tap"}
        | NO_TURNS
    )
    assert llc.value(SWITCH) == 400 and llc.value(RECTIFIER) == 40
    assert inputs_of(llc.all(SWITCH)[0]) == {"conversion.bus_v": 400}
    bridge = charger.one(
        RECTIFIER, boosted | {"conversion.primary": "llc-half-bridge", "conversion.secondary": "sync-rectified-bridge"}
    )
    assert bridge.value == 20


def test_hybrid_flyback_without_turns_still_has_its_switch_stress(charger):
    figures = charger.figures({"conversion.primary": "flyback-asymmetric-half-bridge"} | NO_TURNS)
    assert figures.value(SWITCH) == pytest.approx(BUS_373)
    assert [one.absent for one in figures.all(RECTIFIER)] == ["no turns of a transformer are recorded"]


@pytest.mark.parametrize(
    ("id", "changes", "reason"),
    [
        (SWITCH, NO_TURNS, "no turns of a transformer are recorded"),
        (RECTIFIER, NO_TURNS, "no turns of a transformer are recorded"),
        (
            SWITCH,
            {"conversion.primary": "forward"},
            "the formula holds for flyback and half-bridge converters, not for a forward converter",
        ),
        (
            RECTIFIER,
            {"conversion.primary": "forward"},
            "the formula holds for flyback and half-bridge converters, not for a forward converter",
        ),
        (
            SWITCH,
            {"conversion.pfc": "undetermined"},
            "it is not recorded whether a boost stage feeds the bulk capacitor",
        ),
        (
            RECTIFIER,
            {"conversion.primary": "llc-half-bridge"},
            "whether the secondary is centre-tapped or has a bridge is not recorded",
        ),
        (SWITCH, {"conversion.primary": "undetermined"}, "the kind of isolated converter is not determined"),
    ],
)
def test_stress_absent(charger, id, changes, reason):
    figure = charger.one(id, changes)
    assert figure.value is None and figure.absent == reason


def test_a_measured_peak_goes_first_and_has_its_own_corner(charger, inputs_of):
    row = {
        "ref": "Q1",
        "peak_v": 548,
        "mains_v": 264,
        "mains_hz": 50,
        "port": "C1",
        "output_v": 20,
        "instrument": "scope",
    }
    scope = {"id": "scope", "quantity": "voltage", "pct_reading": 3}
    figures = charger.figures({"measured.waveforms": [row, row | {"peak_v": 540}], "instruments": [scope]})
    measured, computed = figures.all(SWITCH)
    assert measured.value == 548 and measured.of == Corner("C1", 264, 50, 20) and measured.assumed == ()
    assert inputs_of(measured) == {"measured.waveforms[0].peak_v": 548}
    assert measured.method == "lidoff.engineering.observation.largest_observed"
    # by hand: 2 x 3 % of 548 V / root 3
    assert measured.expanded_uncertainty == pytest.approx(18.98, abs=5e-3)
    assert computed.of == Corner() and computed.value == pytest.approx(BUS_373 + 1.5 * 120.6)
    assert len(figures.all(RECTIFIER)) == 1


def test_a_measured_peak_without_a_corner_replaces_the_computed_one(charger):
    assert charger.one(SWITCH, {"measured.waveforms": [{"ref": "Q1", "peak_v": 548}]}).value == 548


def test_a_measured_peak_needs_no_turns(charger):
    assert (
        charger.one(SWITCH, NO_TURNS | {"measured.waveforms": [{"ref": "Q1", "peak_v": 548, "mains_v": 264}]}).value
        == 548
    )


def test_peaks_of_samples_are_not_mixed(charger):
    rows = [{"ref": "Q1", "peak_v": 600, "sample": "s2"}, {"ref": "Q1", "peak_v": 548, "sample": "s1"}]
    assert charger.one(SWITCH, {"measured.waveforms": rows}).value == 548
    assert charger.one(SWITCH, {"measured.waveforms": rows[:1]}).value == 600


def test_several_transformers_have_a_port_each(charger):
    changes = TWO_PORTS | {
        "conversion.per_port": "separate-converters",
        "components[3].port": "C1",
        "components[7]": {"ref": "T2", "roles": ["transformer"], "port": "A1"},
        "magnetics[1]": {
            "ref": "T2",
            "windings": [{"name": "primary", "turns": 90}, {"name": "secondary", "turns": 9}],
        },
    }
    figures = charger.figures(changes)
    assert [(one.of.port, one.value) for one in figures.all("turns_ratio")] == [("C1", 6), ("A1", 10)]
    assert [(one.of.port, one.value) for one in figures.all("reflected_voltage_v")] == [
        ("C1", pytest.approx(120.6)),
        ("A1", pytest.approx(51)),
    ]
    assert {one.absent for one in figures.all("peak_flux_mt")} == {
        "how the rated power divides between several transformers is not recorded"
    }


def test_window_of_ratios_without_turns(charger, inputs_of, assumed_of):
    changes = NO_TURNS | {"components[2].ratings.voltage_v": 80, "components[1].ratings": {"voltage_v": 585}}
    least, largest = charger.all("turns_ratio_window", changes, sync_rectifier_drop_v=0.0)
    # the check value rests on a crest rounded to 373.352 V
    assert least.value == pytest.approx(6.222533, abs=1e-5)
    # by hand: (585 - 373.35238) / (1.5 x 20)
    assert largest.value == pytest.approx(7.054921, abs=1e-6)
    assert least.method.endswith("turns_ratio_by_rectifier") and largest.method.endswith("turns_ratio_by_switch")
    assert inputs_of(least) == {
        "components[2].ratings.voltage_v": 80,
        "label.input.voltage_max_v": 240,
        "ports[0].label[2].voltage_v": 20,
    }
    assert assumed_of(largest) == {"mains_tolerance_pct", "sync_rectifier_drop_v", "leakage_spike_ratio"}


def test_window_takes_the_transient_rating_and_no_spike_of_an_active_clamp(charger, inputs_of):
    changes = NO_TURNS | {"conversion.primary": "flyback-active-clamp"}
    _, largest = charger.all("turns_ratio_window", changes, sync_rectifier_drop_v=0.0)
    assert (
        largest.value == pytest.approx((800 - BUS_373) / 20)
        and inputs_of(largest)["components[1].ratings.voltage_transient_v"] == 800
    )


@pytest.mark.parametrize(
    ("changes", "reasons"),
    [
        ({}, ["the turns are recorded"]),
        (NO_TURNS | {"conversion.primary": None}, ["the kind of isolated converter is not determined"]),
        (
            NO_TURNS | {"conversion.primary": "forward"},
            ["the window is worked out for flyback converters with one main switch"],
        ),
        (
            NO_TURNS | {"components[2].ratings": None, "components[1].ratings": None},
            [
                "the rated voltage of the output rectifier Q2 is not recorded",
                "the rated voltage of the primary switch Q1 is not recorded",
            ],
        ),
        (
            NO_TURNS | {"components[1].roles": ["other"], "components[2].roles": ["other"]},
            ["no output rectifier is recorded", "no primary switch is recorded"],
        ),
        (
            NO_TURNS | {"components[2].ratings.voltage_v": 20, "components[1].ratings": {"voltage_v": 373}},
            [
                "the rating of the output rectifier is not above the highest output voltage",
                "the bus alone reaches the rating of the primary switch",
            ],
        ),
    ],
)
def test_window_absent(charger, changes, reasons):
    figures = charger.all("turns_ratio_window", changes)
    assert [one.absent for one in figures] == reasons and all(one.value is None for one in figures)


def test_peak_flux_at_the_boundary(charger, inputs_of, assumed_of):
    # by hand: 65 W from a 120 uF bus with its published valley of 88.4694 V; reflected 6 x 20 V, D = 120 / 208.4694,
    # I = 2 x 65 / (88.4694 x D) = 2.55279 A, B = 310 uH x I / (24 x 110 mm2)
    changes = {"measured.efficiency": [], "components[0].ratings.capacitance_uf": 120} | PPS
    ideal = {"converter_efficiency": 1.0, "bridge_drop_v": 0.0, "sync_rectifier_drop_v": 0.0}
    flux = charger.one("peak_flux_mt", changes, **ideal)
    assert flux.value == pytest.approx(299.76, abs=0.01)
    assert {
        "magnetics[0].inductance_uh",
        "magnetics[0].core.area_mm2",
        "magnetics[0].windings[0].turns",
        "ports[0].label[2].voltage_v",
    } <= set(inputs_of(flux))
    assert assumed_of(flux) == set(ideal)
    boosted = charger.one("peak_flux_mt", changes | {"conversion.pfc": "boost", "conversion.bus_v": 400}, **ideal)
    # by hand: D = 120 / 520, I = 130 / (400 x D) = 1.40833 A
    assert boosted.value == pytest.approx(165.37, abs=0.01)


def test_peak_flux_by_the_measured_frequency(charger, inputs_of):
    # by hand: I = root(2 x 65 / (310 uH x 100 kHz)) = 2.04782 A
    changes = {
        "measured.efficiency": [],
        "magnetics[0].switching_khz": 100,
        "conversion.primary": "flyback-zero-voltage",
    }
    flux = charger.one("peak_flux_mt", changes, converter_efficiency=1.0)
    assert flux.value == pytest.approx(240.46, abs=0.01)
    assert inputs_of(flux)["magnetics[0].switching_khz"] == 100


def test_peak_flux_in_continuous_mode(charger):
    # the ramp of the bus at 88.4694 V, D = 0.575624, 310 uH and 200 kHz, from the formula that its own tests check
    ramp = continuous_current(65, 88.4694, 120 / 208.4694, 310e-6, 200e3)
    changes = {
        "measured.efficiency": [], "components[0].ratings.capacitance_uf": 120, "magnetics[0].switching_khz": 200,
        "conversion.primary": "flyback-fixed-frequency",
    }  # fmt: skip
    ideal = {"converter_efficiency": 1.0, "bridge_drop_v": 0.0, "sync_rectifier_drop_v": 0.0}
    assert charger.one("peak_flux_mt", changes, **ideal).value == pytest.approx(
        310 * ramp.end / (24 * 110) * 1e3, rel=1e-5
    )
    slow = charger.one("peak_flux_mt", changes | {"magnetics[0].switching_khz": 50}, **ideal)
    # discontinuous at 50 kHz, by hand: I = root(2 x 65 / (310 uH x 50 kHz)) = 2.89606 A
    assert slow.value == pytest.approx(340.07, abs=0.01)


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        (NO_TURNS, "no turns of a transformer are recorded"),
        ({"magnetics[0].core": None}, "the effective cross-section of the core is not recorded"),
        ({"magnetics[0].core.area_mm2": None}, "the effective cross-section of the core is not recorded"),
        ({"magnetics[0].inductance_uh": None}, "the primary inductance is not recorded"),
        ({"conversion.primary": "flyback"}, "no switching frequency at full load is recorded"),
        (
            {"conversion.primary": "llc-half-bridge"},
            "the peak flux density is worked out for flyback converters with one main switch",
        ),
        ({"components": []}, "no bulk capacitor is recorded"),
        ({"product.rated_power_w": None}, "no rated power is recorded"),
    ],
)
def test_peak_flux_absent(charger, changes, reason):
    figure = charger.one("peak_flux_mt", changes)
    assert figure.value is None and figure.absent == reason
