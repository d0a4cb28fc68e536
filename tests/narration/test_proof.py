"""The proofreader piece by piece: numbers in words, units, pairs, sizes, claims of rank, words of the trade."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from num2words import num2words

from lidoff.entry import Entry
from lidoff.narration.proof.passage import place_of
from lidoff.narration.proof.proofread import proofread
from lidoff.narration.proof.quantities import plain_numbers, quantities
from lidoff.settings import Settings


@pytest.fixture
def found(demo_entries: dict[str, Entry], demo_settings: Settings):
    def read(slug: str, text: str) -> list[str]:
        every = tuple(demo_entries.values())
        return [one.found for one in proofread(text, demo_entries[slug], every, demo_settings.tiers_w)]

    return read


@given(st.integers(0, 999_999))
def test_whole_numbers_in_words_are_read_as_num2words_writes_them(value: int) -> None:
    (number,) = plain_numbers(f"it is {num2words(value)} volts")
    assert (number.value, number.places) == (value, 0)


@given(st.decimals(0, 999, places=3).filter(lambda value: value % 1 and str(value)[-1] != "0"))
def test_numbers_with_a_point_are_read_as_num2words_writes_them(value) -> None:
    (number,) = plain_numbers(f"about {num2words(str(value))} amps")
    assert number.value == pytest.approx(float(value))
    assert number.places == 3


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("3.25 A", 3.25, "A"),
        ("65W", 65, "W"),
        ("a 65-watt charger", 65, "W"),
        ("1,020 ms", 1020, "ms"),
        ("four degrees Fahrenheit", 4, "°F"),
        ("$39.99", 39.99, "USD"),
        ("thirty-nine dollars and ninety-nine cents", 39.99, "USD"),
        ("2.28 in long", 2.28, "in"),
        ("two and a half hours", 2.5, "h"),
        ("15.3 watts per cubic inch", 15.3, "W/in³"),
    ],
)
def test_a_quantity_is_read_with_its_unit(text: str, value: float, unit: str) -> None:
    (one,) = quantities(text)
    assert (one.value, one.unit.name) == (value, unit)


def test_joined_numbers_share_their_unit_and_a_preposition_is_no_inch() -> None:
    assert [one.value for one in quantities("58 × 41.5 × 29 mm")] == [58, 41.5, 29]
    assert [one.unit.name for one in quantities("3.3 to 21 V")] == ["V", "V"]
    assert not quantities("two in use")
    assert not quantities("sold 12 in Europe")


@pytest.mark.parametrize(
    ("right", "wrong"),
    [
        ("C1 offers 20 V at 3.25 A.", "C1 offers 20 V at 2.22 A."),
        ("The body is 58 × 41.5 × 29 mm.", "The body is 58 × 37.4 × 29 mm."),
        ("Clearance is 6.2 mm.", "Clearance is 7.1 mm."),
        ("It weighs 3.96 oz.", "It weighs 3.96 g."),
        ("The case reached 171.7 °F.", "The case reached 77.6 °F."),
        ("About 112 g.", "About 130 g."),
        ("Q1 is likely GaN.", "Q1 is silicon."),
        ("It is not a forward converter.", "It is a forward converter."),
        ("Q2 is a Kelderby Devices part.", "Q2 is a Quillstone part."),
        ("It has two boards.", "It has three boards."),
        ("It is smaller than the Ostermere OM-65.", "It is larger than the Ostermere OM-65."),
        ("It is not the lightest charger we know.", "It is the lightest charger we know."),
        ("It is not the densest one in its tier.", "It is the densest one in its tier."),
        ("Launched in 2025.", "Launched in twenty twenty-four."),
        ("The fuse is a GORS-T3A15.", "The fuse is a GORS-T3A51."),
    ],
)
def test_what_agrees_is_quiet_and_what_does_not_is_found(found, right: str, wrong: str) -> None:
    assert found("fernhollow/fh-65", right) == []
    assert len(found("fernhollow/fh-65", wrong)) == 1


def test_what_the_record_does_not_know_is_no_disagreement(found) -> None:
    assert found("fernhollow/fh-65", "We like it. The box was blue, and USB-C came with IEC 62368-1 in mind.") == []


def test_the_first_thing_is_no_claim(found) -> None:
    assert (
        found("fernhollow/fh-65", "The first thing the mains meets is the fuse; the largest part is the transformer.")
        == []
    )


def test_lines_and_columns_count_from_one() -> None:
    assert place_of("ab\ncd", 0) == (1, 1)
    assert place_of("ab\ncd", 4) == (2, 2)


@given(st.text(max_size=200))
def test_no_text_brings_the_reader_down(text: str) -> None:
    for one in quantities(text):
        assert 0 <= one.start < one.end <= len(text)
