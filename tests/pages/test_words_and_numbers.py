"""Numbers with their units, labels of words, pieces of sentences."""

import doctest
import importlib
import pkgutil

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff import pages
from lidoff.pages.numbers import edges, edges_in_inches, number, ounces, rounded
from lidoff.pages.part_groups import GROUPS
from lidoff.pages.vocabulary import definitions, label, labels

UNITS = pint.UnitRegistry()
# lists that a page shows by their definition, or not at all
SHOWN_BY_DEFINITION = {
    "package_family", "board_role", "coverage_boards", "coverage_parts", "coverage_label", "status", "potting_extent",
}  # fmt: skip


@pytest.mark.parametrize("name", [info.name for info in pkgutil.walk_packages(pages.__path__, f"{pages.__name__}.")])
def test_examples_in_the_docstrings_hold(name: str) -> None:
    result = doctest.testmod(importlib.import_module(name), optionflags=doctest.NORMALIZE_WHITESPACE)
    assert result.failed == 0


@given(st.floats(min_value=1e-9, max_value=1e12, allow_nan=False))
def test_a_number_is_shown_as_it_was_written(value: float) -> None:
    assert float(number(value)) == value
    assert "e" not in number(value)


@given(st.floats(min_value=0.1, max_value=2000))
def test_inches_are_those_of_pint(value: float) -> None:
    exact = UNITS.Quantity(value, "mm").to("inch").magnitude
    shown = float(edges_in_inches([value]).split("\u00a0")[0])
    assert shown == pytest.approx(exact, rel=5.1e-3)


def test_ounces_are_those_of_pint() -> None:
    for mass in (1.0, 44.2, 112.3, 999.0):
        exact = UNITS.Quantity(mass, "gram").to("ounce").magnitude
        assert ounces(mass) == f"{rounded(exact)}\u00a0oz"


def test_a_converted_value_is_rounded_once() -> None:
    # 28.95 mm are 1.13976... in; by way of the rounded 29.0 mm they would be 1.14173...
    assert edges_in_inches([28.95]) == "1.14\u00a0in"
    assert edges_in_inches([63.45]) == "2.50\u00a0in"
    assert edges([58.0, 41.5, 29.0]) == "58\u00a0×\u00a041.5\u00a0×\u00a029\u00a0mm"


def test_each_label_belongs_to_a_word_of_the_schema() -> None:
    for vocabulary, word in labels():
        assert word in definitions()[vocabulary], f"{vocabulary}: {word}"


def test_each_word_reads_like_a_person_wrote_it() -> None:
    for vocabulary, words in definitions().items():
        if vocabulary in SHOWN_BY_DEFINITION:
            continue
        for word in words:
            text = label(vocabulary, word)
            assert text and "_" not in text and text == text.strip()
            for abbreviation in ("pfc", "usb", "gan", "llc", "esd", "vbus", "dc dc", "iec"):
                assert abbreviation not in text.split(), f"{vocabulary}: {word} is shown as {text}"


def test_labels_of_one_list_differ() -> None:
    for vocabulary, words in definitions().items():
        shown = [label(vocabulary, word) for word in words]
        assert len(shown) == len(set(shown)), vocabulary


def test_each_role_belongs_to_one_group() -> None:
    grouped = [role for roles in GROUPS.values() for role in roles]
    assert len(grouped) == len(set(grouped))
    left = set(definitions()["role"]) - set(grouped)
    assert set(grouped) <= set(definitions()["role"])
    assert left == {
        "indicator", "display", "crystal", "memory", "bias-regulator", "signal-transistor", "signal-diode",
        "zener-diode", "resistor", "capacitor", "inductor", "connector", "other",
    }  # fmt: skip
