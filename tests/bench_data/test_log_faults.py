"""Files that can't be read give one fault with its line, never an exception; odd ones are read and say what was odd."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.bench import log_text
from lidoff.bench.log_columns import run_columns
from lidoff.bench.log_report import Unreadable
from lidoff.bench.log_samples import make_samples
from lidoff.bench.log_table import read_table
from lidoff.bench.log_time import time_axis

GOOD = "t,v,i\n0,5,1\n1,5,1\n2,5,1\n"


@pytest.mark.parametrize(
    ("content", "found", "line"),
    [
        (b"", "an empty file", 1),
        (b" \n\n\t\n", "an empty file", 1),
        (b"PK\x03\x04\x14\x00", "a spreadsheet or another archive", 1),
        (b"%PDF-1.7 ...", "a PDF document", 1),
        (b"\x89PNG\r\n", "a picture", 1),
        (bytes(range(256)) * 4, "a file that is not text", 1),
        ("no table here\njust words\n", "no line of headings", 1),
        ("# a note\nt,volts,i\n0,5,1\n", 'no column "v"; the headings are "t", "volts", "i"', 2),
        ("t,v,i\n", "no row below the headings", 1),
        ("t,v,i\n\n\n,,\n", "no row below the headings", 1),
        ("t,v,i,v\n0,5,1,5\n", 'two columns "v"', 1),
        ("t,v,i\n0,five,1\n1,five,1\n2,5,1\n", 'text in most cells of "v"', 2),
        ("t,v,i\n0,,1\n1,,1\n", 'nothing in the column "v"', 2),
        ("t,v,i\n0,5,1,1,0\n1,5,1,1,0\n", "5 values in a row under 3 headings", 2),
        ('t,v,i\n0,"5,1\n1,5,1\n', "rows that can't be told apart, mostly for a quotation mark that is not closed", 2),
        ("t,v,i\n0,5,1\n", "1 row with a number in every column that is needed", 2),
        ("t,v,i\n7,5,1\n7,5,1\n7,5,1\n", "the same time in every row", 2),
        ("t,v,i\n" + "".join(f"{9 - k},5,1\n" for k in range(9)), "a time that runs backwards 8 times", 3),
        ("t,v,i\n0,5000,1\n1,5001,1\n", '5000 V in the middle under "v"', 2),
        ("t,v,i\n0,5,900\n1,5,900\n", '900 A in the middle under "i"', 2),
        ("t,v,i\n0,0.005,1\n1,0.009,1\n", '0.009 V at most under "v"', 2),
        ("t,v,i\n0,OL,1\n1,,1\n", 'text in most cells of "v"', 2),
        ("x" * 3_000_000, "no line of headings", 1),
    ],
)
def test_bad_files(read, content, found, line):
    result = read(content)
    assert result.fault.found.startswith(found) and result.fault.line == line
    assert result.charge is None and result.report is None
    assert result.fault.expected and result.fault.fix


@pytest.mark.parametrize(
    ("columns", "found", "fix"),
    [
        ({"time_s": "t", "volts_v": "v", "current_a": "i"}, 'the quantity "volts_v"', "write voltage_v"),
        ({"time_s": "t", "voltage_v": "v", "voltage_mv": "v"}, "voltage_mv beside voltage_v", "keep one of the two"),
        ({"voltage_v": "v", "current_a": "i"}, "no column with the time", "add time_s or time to columns"),
        (
            {"time_s": "t", "voltage_v": "v"},
            "neither power nor both voltage and current among the columns",
            "name the columns in the record",
        ),
        (
            {"time": "t", "voltage_v": "v", "current_a": "i"},
            '1 and the like under "t", numbers without a unit',
            "write time_s for seconds, time_ms for milliseconds, time_min or time_h",
        ),
    ],
)
def test_columns_that_do_not_fit(read, columns, found, fix):
    fault = read(GOOD, columns).fault
    assert (fault.found, fault.fix) == (found, fix)


@pytest.mark.parametrize(
    ("time", "fix"),
    [
        ("03/09/2026 14:05", "export dates as 2026-03-09: with slashes, day and month can't be told apart"),
        ("14:05", "export the time with hours, minutes and seconds: two parts can mean either"),
        ("noon", "export the time in one of these forms"),
    ],
)
def test_times_that_can_be_read_in_two_ways(read, time, fix):
    fault = read(f"t,v,i\n{time},5,1\n{time},5,1\n", {"time": "t", "voltage_v": "v", "current_a": "i"}).fault
    assert fault.fix == fix and fault.key == "time" and fault.line == 2


def test_a_file_that_is_too_large_is_not_read(read, monkeypatch):
    monkeypatch.setattr(log_text, "MOST_BYTES", 1_000_000)
    assert read(b"x" * 1_200_000).fault.found == "a file of 1 MB"


def test_the_bound_leaves_room_for_a_million_readings():
    assert 1_000_000 * len("12345.678,20.0312,3.2471,65.0433\n") <= log_text.MOST_BYTES


def test_a_file_that_may_not_be_read(tmp_path):
    with pytest.raises(Unreadable, match="a file that can't be read"):
        log_text.read_text(tmp_path / "gone.csv")


@pytest.mark.parametrize(
    ("text", "said", "line", "is_grave"),
    [
        ("t,v,i\n0,5,1\n1,OL,1\n2,5,1\n", '1 row with text in place of a number under "v", left out', 3, True),
        (
            "t,v,i\n" + "".join(f"{k},5,1\n" for k in range(150)) + "150,OL,1\n151,5,1\n",
            '1 row with text in place of a number under "v", left out',
            152,
            False,
        ),
        ("t,v,i\n0,5,1\n1,5,\n2,5,1\n", "1 row without a number in each of the needed columns, left out", 3, True),
        (
            "t [ms],v,i\n0,5,1\n1,5,1\n",
            '"t [ms]" is in ms by its heading and in s by the record, which was followed',
            1,
            True,
        ),
        (
            "t,v,i\ns,mV,A\n0,5,1\n1,5,1\n",
            '"v" is in mV by its heading and in V by the record, which was followed',
            1,
            True,
        ),
        (
            "t,v,i\n0,-5,1\n1,-5,1\n2,-5,1\n",
            "most voltages are below 0: the instrument's leads were the other way round, and the sign was turned",
            2,
            True,
        ),
        (
            "t,v,i\n0,5,-1\n1,5,-1\n2,5,-1\n",
            "most readings are below 0: power flows the other way through the instrument, and its sign was turned",
            2,
            True,
        ),
        (
            "t,v,i\n0,5,1\n1,5,-0.5\n2,5,1\n",
            "1 row with a power below 0, -2.5 W at the lowest, counted as they are",
            3,
            False,
        ),
    ],
)
def test_odd_contents(read, text, said, line, is_grave):
    heading = text.partition(",")[0]
    result = read(text, {"time_s": heading, "voltage_v": "v", "current_a": "i"})
    assert [(odd.text, odd.line, odd.is_grave) for odd in result.report.oddities] == [(said, line, is_grave)]


def test_a_number_with_commas_for_thousands_is_not_guessed(read):
    rows = "".join(f'{k},"{5 + k % 2},0{k:02d}.5",1\n' for k in range(10))
    assert (
        read("t,v,i\n" + rows, {"time_s": "t", "voltage_mv": "v", "current_a": "i"}).fault.found
        == 'text in most cells of "v"'
    )


def test_decimal_commas_that_show_only_later(read):
    rows = "".join(f"{k};5;1\n" for k in range(400)) + "".join(f"{k};5,1;1,5\n" for k in range(400, 801))
    result = read("t;v;i\n" + rows)
    assert result.report.decimal == "comma" and result.report.oddities == ()
    # by hand: 399 s at 5 W, a second between, 400 s at 7.65 W
    assert result.charge.energy == pytest.approx(399 * 5 + (5 + 7.65) / 2 + 400 * 7.65)


def test_a_quantity_that_is_logged_less_often_loses_no_row(read_row):
    rows = "".join(f"{k},60,{25 + k / 10 if k % 10 == 0 else ''}\n" for k in range(101))
    result = read_row(
        "soak", "t,p,hot\n" + rows, ports={"C1": 60.0}, columns={"time_s": "t", "power_w": "p", "surface_c": "hot"}
    )
    assert result.soak.samples == 101 and result.report.oddities == ()
    assert result.soak.surface_c == pytest.approx(34.5)  # mean of the last tenth, 34 to 35


def test_a_column_of_power_that_is_another(read, told):
    text = "t,v,i,p\n0,5,1,6\n1,5,1,6\n2,5,1,6\n"
    result = read(text, {"time_s": "t", "voltage_v": "v", "current_a": "i", "power_w": "p"})
    assert told(result) == ["the column of power is 20 % off voltage times current, which counts"]
    assert result.charge.energy == pytest.approx(10)


def test_noise_around_zero_is_not_worth_a_word(read):
    assert read("t,v,i\n0,5,2\n1,5,2\n2,5,-0.001\n").report.oddities == ()


def test_reversed_readings_count_with_their_sign_turned(read):
    assert read("t,v,i\n0,5,-1\n1,5,-1\n2,5,-1\n").charge.energy == pytest.approx(10)


@given(st.binary(max_size=400))
def test_any_bytes_give_a_fault_or_a_log(content):
    """Not one file makes the reader fail in another way."""
    wanted = run_columns({"time_s": "t", "voltage_v": "v"})
    try:
        text, _ = log_text.decoded(b"t,v\n0,5\n" + content)
        table = read_table(text, wanted)
        samples = make_samples(table, time_axis(table, wanted), 5.0)
    except Unreadable as unreadable:
        assert unreadable.fault.found and unreadable.fault.line >= 1
    else:
        assert (samples.times[1:] >= samples.times[:-1]).all()


CELLS = st.one_of(
    st.sampled_from(["", "0", "1", "5.5", "-3", "OL", "1e400", "nan", "12:00:01", '"', "2026-03-09", ";", "é", "1,5"]),
    st.floats(-1e6, 1e6).map(str),
)


@given(
    st.lists(st.tuples(CELLS, CELLS, CELLS), max_size=12),
    st.sampled_from([",", ";", "\t"]),
    st.sampled_from(["time", "time_s"]),
)
def test_any_cells_give_a_fault_or_a_log(rows, separator, key):
    wanted = run_columns({key: "t", "voltage_v": "v", "current_a": "i"})
    text = "\n".join(separator.join(row) for row in [("t", "v", "i"), *rows])
    try:
        table = read_table(text, wanted)
        samples = make_samples(table, time_axis(table, wanted), 5.0)
    except Unreadable as unreadable:
        assert unreadable.fault.found and unreadable.fault.line >= 1
    else:
        assert len(samples.times) >= 2 and samples.covered_s >= 0
