"""The rules for plain scalars, held against ruamel.yaml's readings by YAML 1.1 and by YAML 1.2, and against JSON."""

import datetime
import json

import pytest
import ruamel.yaml
from hypothesis import given
from hypothesis import strategies as st

from lidoff.record.scalars import is_day, number, other_reading, plain_number

# written so that each way that a scalar can be something else comes at least once
PLAIN = (
    "yes", "Yes", "YES", "no", "No", "NO", "on", "On", "ON", "off", "Off", "OFF", "true", "True", "TRUE", "false",
    "False",
    "FALSE", "y", "n", "Y", "N", "~", "null", "Null", "NULL", "0755", "0o7", "0O7", "0o755", "08", "0b101", "0x1F",
    "0xZZ",
    "1_000", "12:30", "12:30:45", "1:99", "190:20:30.15", "1e3", "1.0e3", "1.5e+3", "1E3", "1e", ".5", "5.", "+5", "-5",
    "+.5", "-.inf", ".inf", "+.INF", ".NaN", ".nan", "nan", "inf", "4.70", "0", "-0", "00", "0.0", "2026-03-09",
    "2026-3-9",
    "2026-03-09T12:00:00Z", "2026-03-09 12:00", "2026-03-09 12:00:00", "2026-03", "2026", "=", "<<", "FH-65", "4.7k",
    "1.2.3", "1-2", "e3", "_1", "1_", "0x", "0b", "0o", "1.e3", "1_0.5", "-12:30", "0:0", "Null.", "none", "N/A", "--",
    "...x", "x", "QS650", "23.7", "6.8e-6", "1e-6", "1e400",
)  # fmt: skip

# ruamel.yaml warns of numbers such as 1e3, which YAML 1.1 takes for text
pytestmark = pytest.mark.filterwarnings("ignore::ruamel.yaml.error.MantissaNoDotYAML1_1Warning")


def ruamel_reads(text: str, version: tuple[int, int]) -> object:
    reader = ruamel.yaml.YAML(typ="safe", pure=True)
    reader.version = version
    return reader.load(f"value: {text}\n")["value"]


def json_reads(text: str) -> object:
    try:
        return json.loads(text, parse_constant=lambda name: text)
    except ValueError:
        return text


@pytest.mark.parametrize("text", PLAIN)
def test_what_another_reader_takes_for_something_else_is_refused_as_text(text: str) -> None:
    readings = [json_reads(text)]
    for version in ((1, 1), (1, 2)):
        try:
            readings.append(ruamel_reads(text, version))
        except (ruamel.yaml.error.YAMLError, ValueError):
            # this reader can't take the text at all, so it must stand in quotes too
            readings.append(None)
    if any(not isinstance(reading, str) for reading in readings):
        assert other_reading(text) is not None


@pytest.mark.parametrize(
    "text",
    [
        "FH-65",
        "4.7k",
        "1.2.3",
        "none",
        "N/A",
        "2026-03",
        "QS650",
        "e3",
        "DFN 8x8",
        "A/B",
        "0xZZ",
        "nope",
        "yes!",
        "12:30:61:x",
        "v1.0",
        "1e",
        "+",
        "-",
        ".",
        "..",
        "5 V",
    ],
)
def test_ordinary_text_needs_no_quotes(text: str) -> None:
    assert other_reading(text) is None


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("0", 0),
        ("-0", 0),
        ("65", 65),
        ("3.25", 3.25),
        ("-4.5", -4.5),
        ("4.70", 4.7),
        ("0.03", 0.03),
        ("1000000", 1000000),
    ],
)
def test_a_json_number_without_exponent_is_a_number(text: str, value: float) -> None:
    assert number(text) == value == json.loads(text)


@pytest.mark.parametrize(
    "text",
    ["1e3", "+5", ".5", "5.", "0755", "1_000", "0x1F", ".inf", "", " 5", "5 ", "12:30", "1,5", "--5", "٣", "1" * 25],
)
def test_every_other_writing_is_no_number(text: str) -> None:
    assert number(text) is None


@given(st.from_regex(r"\A-?(0|[1-9][0-9]{0,8})(\.[0-9]{1,8})?\Z"))
def test_a_number_is_what_json_says(text: str) -> None:
    assert number(text) == json.loads(text)


@given(st.text(alphabet="0123456789.:_+-eExob", min_size=1, max_size=8))
def test_no_reading_of_digits_and_signs_is_missed(text: str) -> None:
    for version in ((1, 1), (1, 2)):
        try:
            reading = ruamel_reads(text, version)
        except (ruamel.yaml.error.YAMLError, ValueError, OverflowError):
            # not one scalar, or a scalar that this reader can't hold
            continue
        if isinstance(reading, (int, float, datetime.date)):
            assert other_reading(text) is not None


@pytest.mark.parametrize(
    ("text", "usual"),
    [
        ("1e3", "1000"),
        ("1_120", "1120"),
        ("+0.03", "0.03"),
        (".5", "0.5"),
        ("1e-6", "0.000001"),
        ("5.", "5"),
        ("2.50e1", "25"),
    ],
)
def test_an_odd_number_is_written_out(text: str, usual: str) -> None:
    assert plain_number(text) == usual and number(usual) is not None


@pytest.mark.parametrize("text", ["0755", "0x1F", ".inf", "12:30", "n/a", "1e999", "", "65 W"])
def test_what_has_no_one_usual_writing_has_none(text: str) -> None:
    assert plain_number(text) is None


def test_days_are_days_of_the_calendar() -> None:
    assert is_day("2028-02-29") and is_day("2026-12-31")
    assert not is_day("2026-02-29") and not is_day("2026-13-01") and not is_day("2026-00-10")
