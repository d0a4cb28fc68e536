"""Sweeps become the points that a record holds in rows of its own; long runs give their end and when they were reduced."""

import csv
import io

import pytest

from lidoff.bench.log_copy import points_as_csv

COLUMNS = {"output_v": "U", "output_a": "I", "input_w": "P"}
WHOLE = {"port": "C1", "mains_v": 230, "mains_hz": 50, "columns": COLUMNS}


def test_points_take_what_the_row_says_of_all(read_row):
    result = read_row(
        "efficiency_sweeps",
        "U;I;P\n20,05;0,8125;18,0\n\n19,98;3,25;70,4\n",
        **WHOLE,
        set_v=20,
        load_base_a=3.25,
        measured_at="connector",
        input_instrument="pm1",
    )
    first, last = result.points
    assert (
        first.mains_v,
        first.mains_hz,
        first.set_v,
        first.load_base_a,
        first.measured_at,
        first.input_instrument,
    ) == (230, 50, 20, 3.25, "connector", "pm1")
    assert (first.output_v, first.output_a, first.input_w, first.load_pct) == (20.05, 0.8125, 18.0, None)
    assert (last.at, last.line) == ("measured.efficiency_sweeps[0].log[4]", 4)
    assert result.report.decimal == "comma" and result.report.rows == 2


def test_a_column_comes_before_the_row(read_row):
    row = WHOLE | {"columns": COLUMNS | {"mains_v": "mains"}}
    result = read_row("efficiency_sweeps", "mains,U,I,P\n115,20,1,22\n,20,2,44\n", **row)
    assert [point.mains_v for point in result.points] == [115]
    assert [odd.text for odd in result.report.oddities] == [
        "1 row without a number in each of the needed columns, left out"
    ]


def test_milliamperes_and_a_power_in_place_of_a_current(read_row):
    row = WHOLE | {"columns": {"output_mv": "U", "output_mw": "P2", "input_mw": "P1"}}
    (point,) = read_row("efficiency_sweeps", "U,P2,P1\n20000,40000,44500\n", **row).points
    assert (point.output_v, point.output_a, point.input_w) == (20, 2, 44.5)


@pytest.mark.parametrize(
    ("text", "changes", "found"),
    [
        ("U,I,P\n20,1,22\n", {"mains_v": None}, "no mains_v"),
        ("U,I\n20,1\n", {"columns": {"output_v": "U", "output_a": "I"}}, "no input_w"),
        ("U,I,P\n20,1,22\n2000,1,22\n", {}, '2000 for "output_v"'),
        ("U,I,P\n20,-1,22\n", {}, '-1 for "output_a"'),
        ("U,I,P\n20,1,\n", {}, 'nothing in the column "P"'),
        ("U,I,P\n" + "20,1,22\n" * 501, {}, "501 rows"),
    ],
)
def test_sweeps_that_can_not_be_used(read_row, text, changes, found):
    result = read_row("efficiency_sweeps", text, **(WHOLE | changes))
    assert result.fault.found == found and result.points == ()


def test_the_points_as_a_file(read_row):
    result = read_row("efficiency_sweeps", "U,I,P\n20,1,22\n20,2,43.5\n", **WHOLE)
    assert list(csv.reader(io.StringIO(points_as_csv(result).decode("ascii")))) == [
        ["mains_v", "mains_hz", "output_v", "output_a", "input_w"],
        ["230.0", "50.0", "20.0", "1.0", "22.0"],
        ["230.0", "50.0", "20.0", "2.0", "43.5"],
    ]


def soak(read_row, rows: list[str], columns: dict[str, str]) -> object:
    heading = ",".join(columns.values())
    return read_row("soak", "\n".join([heading, *rows]) + "\n", ports={"C1": 65.0}, columns=columns)


def test_a_run_that_keeps_its_power(read_row):
    rows = [f"{minute},{65 if minute != 40 else 30}" for minute in range(61)]
    run = soak(read_row, rows, {"time_min": "t", "power_w": "p"}).soak
    assert run.sustained == 65 and run.reduced_after_s is None and run.length_s == 3600


def test_a_run_that_is_reduced(read_row):
    rows = [f"{minute},{65 if minute < 41 else 45}" for minute in range(61)]
    run = soak(read_row, rows, {"time_min": "t", "power_w": "p"}).soak
    assert run.sustained == 45 and run.reduced_after_s == pytest.approx(41 * 60)


def test_a_dip_at_the_very_end_is_no_reduction(read_row):
    rows = [f"{second},{65 if second < 590 else 0}" for second in range(601)]
    run = soak(read_row, rows, {"time_s": "t", "power_w": "p"}).soak
    assert run.reduced_after_s is None


def test_temperatures_alone(read_row):
    rows = [f"{minute},{25 + 40 * min(minute, 50) / 50},25" for minute in range(61)]
    result = soak(read_row, rows, {"time_min": "t", "surface_c": "hot", "ambient_c": "air"})
    run = result.soak
    assert run.sustained is None and (run.surface_c, run.ambient_c) == (pytest.approx(65), 25)
    assert [curve.name for curve in run.curves] == ["surface", "air"]
