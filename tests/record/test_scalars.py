"""The rules for plain scalars, held against ruamel.yaml and a JavaScript parser by YAML 1.1 and 1.2, and JSON."""

import datetime
import itertools
import json
import os
import re
import subprocess
from collections.abc import Sequence
from pathlib import Path

import pytest
import ruamel.yaml
from hypothesis import given
from hypothesis import strategies as st

from lidoff.record.scalars import is_day, number, other_reading, plain_number

# written so that each way that a scalar can be something else comes at least once
PLAIN = (
    # words for true, false and nothing, and words like them
    "yes", "Yes", "YES", "yEs", "no", "No", "NO", "on", "On", "ON", "off", "Off", "OFF", "true", "True", "TRUE", "tRUE",
    "false", "False", "FALSE", "y", "n", "Y", "N", "~", "null", "Null", "NULL", "nULL", "Null.", "none", "N/A", "nil",
    # whole numbers: octal, binary, hexadecimal, leading zeros and signs, underscores
    "0", "-0", "+0", "00", "007", "0755", "08", "0o7", "0O7", "0o755", "0o8", "0b101", "-0b1", "0b2", "0x1F", "0X1F",
    "-0x1f", "0xZZ", "0x", "0b", "0o", "1_000", "_1", "1_", "1__0", "+12", "-12", "+ 1", "65", "1" * 25,
    # base 60
    "12:30", "12:30:45", "1:99", "190:20:30.15", "-12:30", "0:0", "12:60", "1:2:3:4", "01:02",
    # decimal fractions and exponents
    "4.70", "0.0", ".5", "-.5", "+.5", "5.", "+5", "-5", "1.2.3", "1e3", "1.0e3", "1.5e+3", "1E3", "1e", "e3", "1.e3",
    "1_0.5", "6.8e-6", "1e-6", "1e400", "1.5E", ".e1", "._5", ".", "..", "...x", "4.7k", "23.7",
    # not finite
    "-.inf", ".inf", "+.INF", ".Inf", ".iNf", ".NaN", ".nan", ".NAN", "-.nan", "nan", "inf", "Infinity", "NaN",
    # dates and what looks like them
    "2026-03-09", "2026-3-9", "2026-03-09T12:00:00Z", "2026-03-09t12:00:00+01:00", "2026-03-09 12:00",
    "2026-03-09 12:00:00", "2026-03-09 12:00:00 +1", "2026-03", "2026", "2541", "26-03-09", "1-2",
    # special signs and ordinary text
    "=", "<<", "--", "x", "FH-65", "QS650", "A/B", "V-0",
)  # fmt: skip

# an e without a digit or point before it is no number by YAML 1.1's own grammar; the JavaScript parser makes "not a
# number" of it, and to refuse it would force quotes on every model that is called E30
MISREAD = re.compile(r"[-+]?[eE][-+]?[0-9]+")
# read as text by all three, and refused because people read something else
OF_OUR_OWN_CAUTION = {"0X1F", ".iNf", "-.nan", "2026-03-09 12:00"}

# ruamel.yaml warns of numbers such as 1e3, which YAML 1.1 takes for text
pytestmark = pytest.mark.filterwarnings("ignore::ruamel.yaml.error.MantissaNoDotYAML1_1Warning")


def ruamel_reads(text: str, version: tuple[int, int]) -> object:
    reader = ruamel.yaml.YAML(typ="safe", pure=True)
    reader.version = version
    return reader.load(f"value: {text}\n")["value"]


def javascript_reads(texts: Sequence[str], node_modules: Path) -> list[list[str]]:
    """What each text is to another parser: by YAML 1.1, and by the core schema of YAML 1.2."""
    program = Path(__file__).parent / "editor" / "read_scalars.cjs"
    surroundings = os.environ | {"NODE_PATH": str(node_modules)}
    run = subprocess.run(
        ["node", str(program)], input=json.dumps(texts), capture_output=True, text=True, check=True, env=surroundings
    )
    return json.loads(run.stdout)


def json_reads(text: str) -> object:
    try:
        return json.loads(text, parse_constant=lambda name: text)
    except ValueError:
        return text


def all_text(text: str) -> bool:
    """Whether ruamel.yaml, by either version, and JSON read text; what a reader can't take at all is no text to it."""
    readings = [json_reads(text)]
    for version in ((1, 1), (1, 2)):
        try:
            readings.append(ruamel_reads(text, version))
        except (ruamel.yaml.error.YAMLError, ValueError):
            readings.append(None)
    return all(isinstance(reading, str) for reading in readings)


@pytest.mark.parametrize("text", PLAIN)
def test_what_another_reader_takes_for_something_else_is_refused_as_text(text: str) -> None:
    assert all_text(text) or other_reading(text) is not None


@pytest.fixture(scope="module")
def javascript(node_modules: Path) -> dict[str, set[str]]:
    """What each of the texts is to the JavaScript parser."""
    readings = javascript_reads(PLAIN, node_modules)
    return {text: set(kinds) for text, kinds in zip(PLAIN, readings, strict=True)}


@pytest.mark.long
def test_what_a_javascript_reader_takes_for_something_else_is_refused_as_text(javascript: dict[str, set[str]]) -> None:
    assert set().union(*javascript.values()) >= {"string", "number", "boolean", "date", "nothing"}
    missed = {text for text, kinds in javascript.items() if kinds != {"string"} and other_reading(text) is None}
    assert {text for text in missed if not MISREAD.fullmatch(text)} == set()
    assert missed == {"e3"}


@pytest.mark.long
def test_no_reading_of_digits_and_signs_is_missed_by_a_javascript_reader(node_modules: Path) -> None:
    signs = "019.:_+-eExobn~"
    texts = ["".join(chosen) for length in (1, 2, 3) for chosen in itertools.product(signs, repeat=length)]
    readings = javascript_reads(texts, node_modules)
    other = {text for text, kinds in zip(texts, readings, strict=True) if set(kinds) & {"number", "boolean", "date"}}
    assert len(other) > 200
    assert [text for text in sorted(other) if other_reading(text) is None and not MISREAD.fullmatch(text)] == []


@pytest.mark.long
def test_what_is_refused_as_text_is_something_else_to_some_reader(javascript: dict[str, set[str]]) -> None:
    refused = [text for text in PLAIN if other_reading(text) is not None]
    assert len(refused) > 80
    assert {text for text in refused if javascript[text] == {"string"} and all_text(text)} == OF_OUR_OWN_CAUTION


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
