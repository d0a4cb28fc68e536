"""Energy and peak of a charge from its log, with what they assume and how sure they are."""

import pytest

from lidoff.figures.figure import Corner

LOG = "logs/phone.csv"
COLUMNS = "measured.charging[0].columns"
VOLTAGE_AND_CURRENT = {
    COLUMNS: {"time_s": "t", "voltage_v": "v", "current_a": "i"},
    "measured.charging[0].instrument": "usb",
}
METERS = [
    {"id": "usb", "quantity": "voltage", "pct_reading": 0.05, "digits": 2, "digit_size": 0.001},
    {"id": "usb", "quantity": "current", "pct_reading": 0.1, "digits": 3, "digit_size": 0.001},
]


def log_of(**columns: list[float]) -> str:
    lines = [",".join(columns), *(",".join(map(str, row)) for row in zip(*columns.values(), strict=True))]
    return "\n".join(lines) + "\n"


def test_charges_wait_for_their_log(charger):
    unread = charger.figures()
    assert [(one.of.port, one.absent) for one in (*unread.all("charge_peak_w"), *unread.all("charge_energy_wh"))] == [
        ("C1", "the log was not read")
    ] * 2
    none = charger.figures({"measured.charging": []})
    assert {one.absent for one in (*none.all("charge_peak_w"), *none.all("charge_energy_wh"))} == {
        "no log of a charge is recorded"
    }


def test_charge_from_a_log(with_logs, inputs_of, assumed_of):
    # by hand: 5 + 11 + 24 + 11.5 + 21 = 72.5 J; the two medians of five are 11 and 11
    figures = with_logs({LOG: log_of(t=[0, 1, 2, 4, 5, 8], p=[0, 10, 12, 12, 11, 3])})
    (energy,), (peak,) = figures.all("charge_energy_wh"), figures.all("charge_peak_w")
    assert energy.value == pytest.approx(72.5 / 3600) and assumed_of(energy) == {"log_gap_ratio"}
    assert peak.value == 11 and assumed_of(peak) == {"peak_window_samples"}
    assert inputs_of(energy) == {"measured.charging[0].log": 6} and energy.of == Corner(port="C1")
    assert energy.expanded_uncertainty is peak.expanded_uncertainty is None


def test_a_single_spike_is_no_peak(with_logs):
    text = {LOG: log_of(t=list(range(9)), p=[20, 20, 20, 95, 20, 20, 21, 21, 21])}
    assert with_logs(text).value("charge_peak_w") == 21
    assert with_logs(text, peak_window_samples=1).value("charge_peak_w") == 95


def test_the_gap_of_an_assumption(with_logs):
    text = {LOG: log_of(t=[0, 1, 2, 3, 7, 8], p=[10] * 6)}
    assert with_logs(text).value("charge_energy_wh") == pytest.approx(80 / 3600)
    assert with_logs(text, log_gap_ratio=3).value("charge_energy_wh") == pytest.approx(40 / 3600)


@pytest.mark.parametrize(
    ("text", "replaced", "reason"),
    [
        ("nothing", {}, "the log could not be read, for the reason that the checks give"),
        (log_of(t=[0, 1, 2], p=[5, 5, 5]), {}, "the log has 3 readings, fewer than the 5 whose median counts"),
        (
            log_of(t=[0, 1, 2], p=[5, 5, 5]),
            {"peak_window_samples": 4},
            "the window of the running median is even, and so has no middle",
        ),
    ],
)
def test_no_peak(with_logs, text, replaced, reason):
    (peak,) = with_logs({LOG: text}, **replaced).all("charge_peak_w")
    assert peak.value is None and peak.absent == reason


def test_the_first_charge_that_could_be_read(with_logs, inputs_of):
    two = {"measured.charging[1]": {"log": "logs/second.csv", "columns": {"time_s": "t", "power_w": "p"}, "port": "C1"}}
    figures = with_logs({LOG: "", "logs/second.csv": log_of(t=[0, 1, 2, 3, 4], p=[7] * 5)}, two)
    (energy,) = figures.all("charge_energy_wh")
    assert energy.value == pytest.approx(28 / 3600) and inputs_of(energy) == {"measured.charging[1].log": 5}


def test_uncertainty_by_the_accuracy_of_a_power_meter(with_logs, assumed_of):
    meter = {
        "instruments": [{"id": "pm", "quantity": "power", "pct_reading": 1, "digits": 2, "digit_size": 0.1}],
        "measured.charging[0].instrument": "pm",
    }
    figures = with_logs({LOG: log_of(t=[0, 10, 20, 30, 40], p=[10, 20, 20, 20, 20])}, meter)
    (energy,), (peak,) = figures.all("charge_energy_wh"), figures.all("charge_peak_w")
    # by hand: 2 x (1 % of 20 W + 0.2 W) / root 3; and 2 x (1 % of 750 J + 0.2 W for 40 s) / root 3
    assert peak.expanded_uncertainty == pytest.approx(2 * 0.4 / 3**0.5)
    assert energy.expanded_uncertainty == pytest.approx(2 * (7.5 + 8) / 3**0.5 / 3600)
    assert assumed_of(peak) == {"peak_window_samples"}


def test_uncertainty_by_voltage_and_current_of_one_meter(with_logs, assumed_of):
    changes = VOLTAGE_AND_CURRENT | {"instruments": METERS}
    text = {LOG: log_of(t=[0, 10, 20, 30, 40], v=[20.0] * 5, i=[3.0] * 5)}
    u_voltage, u_current = (0.0005 * 20 + 0.002) / 3**0.5, (0.001 * 3 + 0.003) / 3**0.5
    for shared, crossed in ((0.0, 0.0), (0.5, 1.0), (1.0, 2.0)):
        figures = with_logs(text, changes, same_meter_correlation=shared)
        (energy,), (peak,) = figures.all("charge_energy_wh"), figures.all("charge_peak_w")
        by_hand = ((3 * u_voltage) ** 2 + (20 * u_current) ** 2 + crossed * 3 * u_voltage * 20 * u_current) ** 0.5
        assert peak.expanded_uncertainty == pytest.approx(2 * by_hand)
        # a constant power: the energy is as uncertain as the power, for 40 s
        assert energy.expanded_uncertainty == pytest.approx(2 * by_hand * 40 / 3600)
        assert assumed_of(energy) == {"log_gap_ratio", "same_meter_correlation"}


def test_no_uncertainty_without_both_accuracies(with_logs):
    changes = VOLTAGE_AND_CURRENT | {"instruments": METERS[:1]}
    figures = with_logs({LOG: log_of(t=[0, 1, 2, 3, 4], v=[20.0] * 5, i=[3.0] * 5)}, changes)
    assert figures.all("charge_peak_w")[0].expanded_uncertainty is None
    assert figures.all("charge_energy_wh")[0].expanded_uncertainty is None
