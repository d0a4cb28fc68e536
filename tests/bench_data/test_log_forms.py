"""The same readings in every form that instruments write: the same numbers, and the form is stated."""

import datetime
from collections.abc import Callable

import pytest

SECONDS = [0.0, 1.0, 2.0, 3.0, 4.0, 5.5]
VOLTS = [5.05, 5.1, 9.02, 9.0, 9.0, 9.01]
AMPERES = [0.4, 1.25, 2.0, 2.2, 2.0, 0.05]
# by hand: trapezoids of the products
ENERGY = sum(
    (b - a) * (va * ia + vb * ib) / 2
    for a, b, va, vb, ia, ib in zip(SECONDS, SECONDS[1:], VOLTS, VOLTS[1:], AMPERES, AMPERES[1:], strict=False)
)
START = datetime.datetime(2026, 3, 9, 14, 5, 31, tzinfo=datetime.UTC)


def clock(seconds: float) -> str:
    return f"{(START + datetime.timedelta(seconds=seconds)).strftime('%H:%M:%S')}.{round(seconds % 1 * 10)}"


def table(times: list, separator: str = ",", decimal: str = ".", above: str = "", heading: str = "t") -> str:
    rows = [[heading, "v", "i"], *zip(times, VOLTS, AMPERES, strict=True)]
    cell: Callable[[object], str] = lambda value: (
        str(value).replace(".", decimal) if isinstance(value, float) else str(value)
    )
    return above + "\n".join(separator.join(map(cell, row)) for row in rows) + "\n"


def assert_same(result) -> None:
    assert result.fault is None, result.fault
    assert result.charge.energy == pytest.approx(ENERGY) and result.charge.samples == 6
    assert result.charge.charge == pytest.approx(
        sum((b - a) * (x + y) / 2 for a, b, x, y in zip(SECONDS, SECONDS[1:], AMPERES, AMPERES[1:], strict=False))
    )
    assert result.report.oddities == ()


@pytest.mark.parametrize(("separator", "name"), [(",", "comma"), (";", "semicolon"), ("\t", "tab")])
def test_separators(read, separator, name):
    result = read(table(SECONDS, separator))
    assert_same(result)
    assert (result.report.separator, result.report.decimal) == (name, "point")


@pytest.mark.parametrize("separator", [";", "\t"])
def test_decimal_commas(read, separator):
    result = read(table(SECONDS, separator, ","))
    assert_same(result)
    assert result.report.decimal == "comma"


def test_decimal_commas_in_quotes_between_commas(read):
    rows = [
        "t,v,i",
        *(
            f'"{str(t).replace(".", ",")}","{str(v).replace(".", ",")}","{str(i).replace(".", ",")}"'
            for t, v, i in zip(SECONDS, VOLTS, AMPERES, strict=True)
        ),
    ]
    assert_same(read("\n".join(rows)))


@pytest.mark.parametrize(
    ("codec", "name"),
    [
        ("ascii", "ASCII"),
        ("utf-8-sig", "UTF-8 with a byte-order mark"),
        ("utf-16", "UTF-16"),
        ("utf-16-le", "UTF-16"),
        ("utf-16-be", "UTF-16"),
    ],
)
def test_encodings(read, codec, name):
    result = read(table(SECONDS).encode(codec))
    assert_same(result)
    assert result.report.encoding == name


@pytest.mark.parametrize(("codec", "name"), [("latin-1", "Latin-1"), ("utf-8", "UTF-8")])
def test_a_heading_beyond_ascii(read, codec, name):
    result = read(
        table(SECONDS, heading="Zeit für °").encode(codec), {"time_s": "Zeit für °", "voltage_v": "v", "current_a": "i"}
    )
    assert_same(result)
    assert result.report.encoding == name


@pytest.mark.parametrize("ends", ["\r\n", "\r"])
def test_line_ends(read, ends):
    assert_same(read(table(SECONDS).replace("\n", ends)))


def test_lines_above_the_table_and_a_line_of_units(read):
    above = "Meter of an invented make\nSerial;0815\n\nChannel;1;2\n"
    result = read(above + table(SECONDS, ";", ",").replace("t;v;i", "t;v;i\n[s];[V];[A]"))
    assert_same(result)
    assert result.report.header_line == 5 and result.report.rows == 6


def test_headings_are_found_whatever_their_case_and_spaces(read):
    assert_same(read(table(SECONDS, heading=" T "), {"time_s": "t", "voltage_v": "V", "current_a": " i"}))


def test_a_file_without_headings_by_the_number_of_the_column(read):
    body = table(SECONDS).partition("\n")[2]
    result = read(body, {"time_s": "1", "voltage_v": "2", "current_a": "3"})
    assert_same(result)
    assert result.report.header_line == 0


@pytest.mark.parametrize(
    ("key", "written", "form"),
    [
        ("time_s", lambda s: s, "elapsed time in s"),
        ("time_ms", lambda s: int(s * 1000), "elapsed time in ms"),
        ("time_min", lambda s: s / 60, "elapsed time in min"),
        ("time_s", lambda s: START.timestamp() + s, "seconds since 1970"),
        ("time_ms", lambda s: int(START.timestamp() * 1000 + s * 1000), "milliseconds since 1970"),
        ("time", lambda s: START.timestamp() + s, "seconds since 1970"),
        ("time", lambda s: int(START.timestamp() * 1000 + s * 1000), "milliseconds since 1970"),
        ("time", lambda s: int(START.timestamp() * 1e6 + s * 1e6), "microseconds since 1970"),
        ("time", clock, "hours, minutes and seconds"),
        ("time", lambda s: f"0:00:0{s:.1f}", "hours, minutes and seconds"),
        ("time", lambda s: f"2026-03-09T{clock(s)}Z", "date and time, year first"),
        ("time", lambda s: f"2026-03-09 {clock(s)}+01:00", "date and time, year first"),
        ("time", lambda s: f"2026/03/09 {clock(s)}", "date and time, year first"),
        ("time_s", lambda s: f"2026-03-09 {clock(s)}", "date and time, year first"),
        ("time", lambda s: f"9.3.2026 {clock(s)}", "date and time, day first"),
    ],
)
def test_forms_of_time(read, key, written, form):
    result = read(table([written(seconds) for seconds in SECONDS], ";"), {key: "t", "voltage_v": "v", "current_a": "i"})
    assert_same(result)
    assert result.report.time_form == form
    assert result.charge.length_s == pytest.approx(5.5, abs=1e-6)


def test_a_date_beside_the_time(read):
    text = table([f"09.03.2026;{clock(seconds)}" for seconds in SECONDS], ";").replace("t;", "day;t;")
    result = read(text, {"date": "day", "time": "t", "voltage_v": "v", "current_a": "i"})
    assert_same(result)
    assert result.report.time_form == "date and time, day first"


@pytest.mark.parametrize(
    ("columns", "scale"),
    [
        ({"voltage_mv": "v", "current_a": "i"}, (1000, 1)),
        ({"voltage_v": "v", "current_ma": "i"}, (1, 1000)),
        ({"voltage_mv": "v", "current_ua": "i"}, (1000, 1e6)),
    ],
)
def test_units(read, columns, scale):
    lines = ["t,v,i", *(f"{t},{v * scale[0]},{i * scale[1]}" for t, v, i in zip(SECONDS, VOLTS, AMPERES, strict=True))]
    assert_same(read("\n".join(lines), {"time_s": "t"} | columns))


def test_power_alone(read):
    lines = ["t,p", *(f"{t},{v * i * 1000}" for t, v, i in zip(SECONDS, VOLTS, AMPERES, strict=True))]
    result = read("\n".join(lines), {"time_s": "t", "power_mw": "p"})
    assert result.charge.energy == pytest.approx(ENERGY) and result.charge.kind == "power"
    assert result.charge.charge is None and result.charge.voltages is None


def test_the_counter_of_the_instrument(read):
    lines = ["t,p,e", "0,10,1", "1,10,1.5", "2,10,2", "3,10,0.25", "4,10,0.75"]
    result = read("\n".join(lines), {"time_s": "t", "power_w": "p", "energy_mwh": "e"})
    # up by 1 mWh, set back, up by 0.5 mWh
    assert result.charge.counter == pytest.approx(1.5 * 3.6)
