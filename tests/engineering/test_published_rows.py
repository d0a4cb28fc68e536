"""Check values row by row: every CSV in published/ against the engineering functions, each row with its source."""

import csv
import importlib
import json
from collections.abc import Mapping
from pathlib import Path

import pytest

COLUMNS = ["function", "arguments", "expected", "tolerance", "tolerance_kind", "source", "location", "basis"]
BASES = ("published", "derived", "from-memory", "common-practice")
FOLDER = Path(__file__).with_name("published")


def rows() -> list:
    found = []
    for path in sorted(FOLDER.glob("*.csv")):
        with path.open(encoding="utf-8", newline="") as file:
            reader = csv.DictReader(file, strict=True)
            assert reader.fieldnames == COLUMNS, f"{path.name}: columns {reader.fieldnames}"
            found += [pytest.param(row, id=f"{path.stem}:{reader.line_num}:{row['function']}") for row in reader]
    return found


def call(dotted: str, arguments: list | dict) -> object:
    module, _, function = dotted.rpartition(".")
    target = getattr(importlib.import_module(f"lidoff.engineering.{module}"), function)
    return target(**arguments) if isinstance(arguments, dict) else target(*arguments)


def differences(found: object, expected: object, tolerance: float, kind: str, where: str = "") -> list[str]:
    """What differs between a result and the JSON value expected; an object names the attributes to compare."""
    if isinstance(expected, dict):
        part = (lambda name: found[name]) if isinstance(found, Mapping) else (lambda name: getattr(found, name))
        pairs = [(part(name), expected[name], f"{where}.{name}") for name in expected]
        return [text for one, other, place in pairs for text in differences(one, other, tolerance, kind, place)]
    if isinstance(expected, list):
        if not isinstance(found, list | tuple) or len(found) != len(expected):
            return [f"{where}: found {found!r}, expected {expected!r}"]
        pairs = [(found[i], expected[i], f"{where}[{i}]") for i in range(len(expected))]
        return [text for one, other, place in pairs for text in differences(one, other, tolerance, kind, place)]
    if isinstance(expected, bool) or not isinstance(expected, int | float):
        same = type(found) is type(expected) and found == expected
    elif isinstance(found, bool) or not isinstance(found, int | float):
        same = False
    else:
        same = abs(found - expected) <= tolerance * (abs(expected) if kind == "rel" else 1)
    return [] if same else [f"{where}: found {found!r}, expected {expected!r} within {tolerance} {kind}"]


def numbers_in(value: object) -> list[float]:
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list):
        return [number for part in value for number in numbers_in(part)]
    return [value] if isinstance(value, int | float) and not isinstance(value, bool) else []


@pytest.mark.parametrize("row", rows())
def test_row(row):
    arguments, expected = json.loads(row["arguments"]), json.loads(row["expected"])
    found = call(row["function"], arguments)
    assert not differences(found, expected, float(row["tolerance"]), row["tolerance_kind"])


@pytest.mark.parametrize("row", rows())
def test_row_names_its_basis(row):
    assert row["basis"] in BASES
    assert row["source"].strip(), "every row names a source, a derivation or the practice"
    if row["basis"] == "published":
        assert row["location"].strip(), "a published row names page, table or clause"


@pytest.mark.parametrize("row", rows())
def test_row_can_fail(row):
    tolerance = float(row["tolerance"])
    assert row["tolerance_kind"] in ("abs", "rel")
    assert tolerance >= 0
    for number in numbers_in(json.loads(row["expected"])):
        allowed = tolerance if row["tolerance_kind"] == "rel" or number == 0 else tolerance / abs(number)
        assert allowed <= 0.05, f"a tolerance of {allowed:.0%} of {number} proves little"


def test_there_are_rows():
    assert len(rows()) >= 40


@pytest.mark.parametrize(
    ("found", "expected", "tolerance", "kind"),
    [
        (1.02, 1.0, 0.01, "abs"),
        (102.0, 100.0, 0.01, "rel"),
        (True, 1, 0, "abs"),
        (1, True, 0, "abs"),
        (None, 0, 1, "abs"),
        ("a", "b", 0, "abs"),
        (float("nan"), 1.0, 0.1, "abs"),
        ((1.0,), [1.0, 2.0], 0.1, "abs"),
        ((1.0, 2.2), [1.0, 2.0], 0.1, "abs"),
        ({"a": 2}, {"a": 1}, 0.5, "abs"),
        (complex(1, 1), {"real": 1.0, "imag": 2.0}, 0.1, "abs"),
    ],
)
def test_a_difference_is_noticed(found, expected, tolerance, kind):
    assert len(differences(found, expected, tolerance, kind)) == 1


@pytest.mark.parametrize(
    ("found", "expected", "tolerance", "kind"),
    [
        (1.005, 1.0, 0.01, "abs"),
        (100.5, 100.0, 0.01, "rel"),
        (None, None, 0, "abs"),
        ((1.0, 2.0), [1, 2], 0, "abs"),
        (complex(1, 2), {"imag": 2}, 0, "abs"),
    ],
)
def test_an_equal_value_passes(found, expected, tolerance, kind):
    assert differences(found, expected, tolerance, kind) == []
