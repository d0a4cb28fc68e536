"""Efficiency sweeps and long runs in files: the same figures from them as from the rows of a record."""

import pytest

from lidoff.figures.figure import Corner

AVERAGE, LIMIT, LOSS = "average_efficiency_pct", "efficiency_limit_pct", "loss_w"
SWEEP = {
    "port": "C1", "log": "logs/sweep.csv", "mains_v": 115, "mains_hz": 60, "load_base_a": 3.25, "measured_at": "connector",
    "warm_up_min": 30, "columns": {"load_pct": "load", "output_v": "U", "output_a": "I", "input_w": "P"},
}  # fmt: skip
FOUR = "load;U;I;P\n25;20;0.8125;18.2\n50;20;1.625;35.4\n75;20;2.4375;52.6\n100;20;3.25;70.1\n"
SOAK_COLUMNS = {"time_min": "t", "power_w": "p", "surface_c": "hot", "ambient_c": "air"}


def changes(charger, **rows: object) -> dict:
    return {"measured.efficiency": [], "measured.efficiency_sweeps": [SWEEP], **rows}


def test_a_sweep_gives_the_figures_of_the_same_rows(charger, with_logs):
    inline, swept = charger.figures(), with_logs({"logs/sweep.csv": FOUR}, changes(charger))
    for id in (AVERAGE, LIMIT, LOSS, "heat_flux_mw_per_cm2", "mains_current_a", "bulk_valley_v", "peak_flux_mt"):
        assert [(one.of, one.value, one.absent) for one in swept.all(id)] == [
            (one.of, one.value, one.absent) for one in inline.all(id)
        ]
    # by hand: the mean of the four ratios, not the ratio of the sums, which is 92.17
    assert swept.value(AVERAGE) == pytest.approx(91.6247278, abs=5e-8)


def test_inputs_name_the_line_of_the_file(charger, with_logs, inputs_of):
    (loss,) = with_logs({"logs/sweep.csv": FOUR}, changes(charger)).all(LOSS)
    at = "measured.efficiency_sweeps[0].log[5]"
    assert inputs_of(loss) == {f"{at}.output_v": 20, f"{at}.output_a": 3.25, f"{at}.input_w": 70.1}


def test_mains_and_voltages_as_columns(charger, with_logs):
    sweep = {"port": "C1", "log": "logs/sweep.csv", "measured_at": "connector"}
    sweep["columns"] = {
        "mains_v": "U1",
        "mains_hz": "f",
        "set_v": "set",
        "load_pct": "%",
        "output_mv": "U2",
        "output_ma": "I2",
        "input_mw": "P1",
    }
    rows = [
        f"{mains},{hz},{v},{pct},{v * 1000},{pct * 20},{v * pct * 22}"
        for mains, hz in ((115.2, 60), (229.7, 50))
        for v in (9, 15)
        for pct in (25, 50, 75, 100)
    ]
    figures = with_logs(
        {"logs/sweep.csv": "\n".join(["U1,f,set,%,U2,I2,P1", *rows]) + "\n"},
        changes(charger) | {"measured.efficiency_sweeps": [sweep]},
    )
    assert [one.of for one in figures.present(AVERAGE)] == [
        Corner("C1", v1, hz, v2) for v1, hz in ((115, 60), (230, 50)) for v2 in (9, 15)
    ]
    assert [one.value for one in figures.present(AVERAGE)] == [pytest.approx(100 * 20 / 22)] * 4


def test_power_in_place_of_current(charger, with_logs):
    sweep = SWEEP | {"columns": {"load_pct": "load", "output_v": "U", "output_w": "P2", "input_w": "P"}}
    text = "load;U;P2;P\n25;20;16.25;18.2\n50;20;32.5;35.4\n75;20;48.75;52.6\n100;20;65;70.1\n"
    figures = with_logs({"logs/sweep.csv": text}, changes(charger) | {"measured.efficiency_sweeps": [sweep]})
    assert figures.value(AVERAGE) == pytest.approx(91.6247278, abs=5e-8)


def test_points_of_two_series_are_never_put_together(charger, with_logs, inputs_of):
    three = "\n".join(FOUR.splitlines()[:4]) + "\n"
    alone = {"measured.efficiency": charger.rows()[3:], "measured.efficiency_sweeps": [SWEEP]}
    (average,) = with_logs({"logs/sweep.csv": three}, alone).all(AVERAGE)
    assert average.absent == "the average needs points at 25, 50, 75 and 100 % load, found 25, 50, 75 %"
    both = {"measured.efficiency": charger.rows(), "measured.efficiency_sweeps": [SWEEP]}
    (average,) = with_logs({"logs/sweep.csv": three}, both).all(AVERAGE)
    assert set(inputs_of(average)) == {
        f"measured.efficiency[{i}].{key}" for i in range(4) for key in ("output_v", "output_a", "input_w")
    }


def test_a_sweep_of_another_sample_stands_back(charger, with_logs, inputs_of):
    other = {"measured.efficiency": charger.rows()[:2], "measured.efficiency_sweeps": [SWEEP | {"sample": "s2"}]}
    (average,) = with_logs({"logs/sweep.csv": FOUR}, other).all(AVERAGE)
    assert average.absent == "the average needs points at 25, 50, 75 and 100 % load, found 25, 50 %"


def test_a_file_that_can_not_be_read_leaves_the_other_points(charger, with_logs):
    figures = with_logs({"logs/sweep.csv": "not a table"}, {"measured.efficiency_sweeps": [SWEEP]})
    assert figures.value(AVERAGE) == charger.figures().value(AVERAGE)


def soak_log() -> str:
    """65 W for 40 minutes, then 45 W; the surface ends at 71 °C in air of 25 °C."""
    rows = [f"{minute / 2},{65 if minute < 80 else 45},{25 + 46 * min(minute, 100) / 100},25" for minute in range(121)]
    return "\n".join(["t,p,hot,air", *rows]) + "\n"


def test_a_long_run_from_its_log(with_logs, inputs_of):
    run = {"ports": {"C1": 65}, "mains_v": 230, "mains_hz": 50, "log": "logs/soak.csv", "columns": SOAK_COLUMNS}
    figures = with_logs({"logs/soak.csv": soak_log()}, {"measured.soak": [run]})
    (power,), (rise,) = figures.all("sustained_power_w"), figures.all("surface_rise_k")
    assert power.value == pytest.approx(45) and inputs_of(power) == {"measured.soak[0].log": pytest.approx(45)}
    assert rise.value == pytest.approx(46) and set(inputs_of(rise)) == {
        "measured.soak[0].columns.surface_c",
        "measured.soak[0].columns.ambient_c",
    }


def test_what_the_record_says_comes_before_its_log(with_logs):
    run = {
        "ports": {"C1": 65},
        "log": "logs/soak.csv",
        "columns": SOAK_COLUMNS,
        "sustained_w": 44.8,
        "surface_c": 70,
        "ambient_c": 24,
    }
    figures = with_logs({"logs/soak.csv": soak_log()}, {"measured.soak": [run]})
    assert figures.value("sustained_power_w") == 44.8 and figures.value("surface_rise_k") == 46
