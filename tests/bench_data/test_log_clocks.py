"""Gaps, repeated times, clocks that are set and counters that start again: nothing is counted that was not logged."""

import pytest


def log(times: list, watts: float = 10.0) -> str:
    return "\n".join(["t,p", *(f"{time},{watts}" for time in times)]) + "\n"


BY_POWER = {"time_s": "t", "power_w": "p"}
CLOCK = {"time": "t", "power_w": "p"}


def test_a_gap_is_not_bridged(read, told):
    result = read(log([0, 1, 2, 3, 20, 21, 22]), BY_POWER)
    assert result.charge.energy == pytest.approx(50) and result.charge.gap_s == 17 and result.charge.covered_s == 5
    assert told(result) == ["a gap of 17 s, longer than 5 usual intervals; nothing is counted for it"]
    assert result.report.oddities[0].line == 6 and result.report.oddities[0].is_grave


def test_what_is_no_gap_is_bridged(read):
    result = read(log([0, 1, 2, 3, 8, 9, 10]), BY_POWER)
    assert result.charge.energy == pytest.approx(100) and result.charge.gap_s == 0 and result.report.oddities == ()


def test_several_gaps_and_another_ratio(read, told):
    result = read(log([0, 1, 2, 6, 7, 8, 12, 13]), BY_POWER, gap_ratio=3)
    assert told(result) == ["2 gaps, together of 8 s, longer than 3 usual intervals; nothing is counted for it"]
    assert result.charge.gap_s == 8 and result.charge.energy == pytest.approx(50)


def test_a_short_gap_of_a_long_log_is_not_grave(read):
    result = read(log([*range(200), *range(209, 400)]), BY_POWER)
    assert [odd.is_grave for odd in result.report.oddities] == [False]


def test_a_time_that_starts_again(read, told):
    result = read(log([0, 1, 2, 3, 0, 1, 2]), BY_POWER)
    assert told(result) == [
        "the time starts again from its beginning once; how long the pause was is not known, and nothing is counted for it"
    ]
    assert result.charge.energy == pytest.approx(50) and result.report.oddities[0].line == 6
    assert result.charge.length_s == 6  # three seconds, one usual interval, two seconds


def test_a_clock_that_jumps_back(read, told):
    result = read(log(["10:00:00", "10:00:10", "10:00:20", "09:30:30", "09:30:40"]), CLOCK)
    assert told(result) == [
        "the clock jumps back once; how long the pause was is not known, and nothing is counted for it"
    ]
    assert result.charge.energy == pytest.approx(300)


def test_the_end_of_summer_time(read, told):
    times = [f"2026-10-25 02:{minute}:00" for minute in range(50, 60)] + [
        f"2026-10-25 02:0{minute}:00" for minute in range(9)
    ]
    result = read(log(times), CLOCK)
    assert told(result)[0].startswith("the clock jumps back once")
    assert result.charge.energy == pytest.approx(10 * 60 * (9 + 8))


def test_midnight_is_no_jump(read):
    result = read(log(["23:59:58", "23:59:59", "00:00:00", "00:00:01"]), CLOCK)
    assert result.report.oddities == () and result.charge.energy == pytest.approx(30)


def test_rows_of_one_time_count_once_with_their_mean(read, told):
    text = "t,p\n0,10\n1,10\n1,30\n2,10\n3,10\n"
    result = read(text, BY_POWER)
    assert told(result) == ["1 row with the time of the row before; the mean of their readings counts"]
    assert result.report.oddities[0].line == 4
    # by hand: 0 to 1: 15, 1 to 2: 15, 2 to 3: 10
    assert result.charge.energy == pytest.approx(40) and result.charge.samples == 4


def test_a_clock_of_whole_seconds(read):
    rows = [f"12:00:{second:02d},{10}" for second in range(30) for _ in range(5)]
    result = read("\n".join(["t,p", *rows]), CLOCK)
    assert result.charge.samples == 30 and result.charge.energy == pytest.approx(290)
    assert [odd.is_grave for odd in result.report.oddities] == [False]


def test_rows_out_of_order_are_refused(read):
    assert read(log([0, 5, 1, 6, 2, 7, 3, 8, 4, 9]), BY_POWER).fault.found == "a time that runs backwards 4 times"
