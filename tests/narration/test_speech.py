"""Numbers in words and their units, held against num2words, Babel and pint."""

from decimal import Decimal

import pint
import pytest

from lidoff.figures.figure import Figure
from lidoff.narration.language import DEFAULT, UnknownLanguage, read_language
from lidoff.narration.speech import UNITS, Voice, converted

VOICE = Voice(read_language())


@pytest.mark.parametrize(
    ("value", "unit", "said"),
    [
        (20.0, "V", "twenty volts"),
        (3.25, "A", "three point two five amps"),
        (1.0, "A", "one amp"),
        (0.058, "W", "zero point zero five eight watts"),
        (1.0, "W", "one watt"),
        (62.0, "mV", "sixty-two millivolts"),
        (94.0, "µF", "ninety-four microfarads"),
        (-4.0, "°C", "minus four degrees Celsius"),
        (1200.0, "g", "one thousand two hundred grams"),
        (90.59, "%", "ninety point five nine per cent"),
        (0.931, "W/cm³", "zero point nine three one watts per cubic centimetre"),
        (100000.0, "Hz", "one hundred thousand hertz"),
    ],
)
def test_a_quantity_is_spoken_as_people_say_it(value: float, unit: str, said: str) -> None:
    assert VOICE.quantity(value, unit) == said


def test_every_unit_can_be_spoken() -> None:
    assert all(VOICE.quantity(2.5, unit).startswith("two point five ") for unit in UNITS)


@pytest.mark.parametrize(
    ("value", "unit", "other", "names"),
    [
        (112.3, "g", "oz", ("gram", "ounce")),
        (58.0, "mm", "in", ("millimetre", "inch")),
        (69.8, "cm³", "in³", ("centimetre**3", "inch**3")),
        (77.6, "°C", "°F", ("degC", "degF")),
        (52.7, "K", "°F", ("delta_degC", "delta_degF")),
    ],
)
def test_a_converted_quantity_agrees_with_pint(value: float, unit: str, other: str, names: tuple[str, str]) -> None:
    by_pint = pint.UnitRegistry(autoconvert_offset_to_baseunit=True).Quantity(value, names[0]).to(names[1]).magnitude
    ours = converted(value, unit, other)
    assert abs(float(ours) - by_pint) <= 0.5 * 10.0 ** ours.as_tuple().exponent * 1.000001


def test_both_systems_are_said_and_rounded_once() -> None:
    assert VOICE.both(112.3, "g", "oz") == "one hundred and twelve point three grams, or three point nine six ounces"


def test_a_figure_is_spoken_as_the_site_shows_it() -> None:
    figure = Figure("specific_power_w_per_g", "W/g", 0.57881)
    assert VOICE.figure(figure) == "zero point five seven nine watts per gram, or sixteen point four watts per ounce"


def test_a_number_has_no_needless_zero() -> None:
    assert VOICE.number(Decimal("20.10")) == "twenty point one"


def test_an_unknown_language_names_those_that_there_are() -> None:
    with pytest.raises(UnknownLanguage, match=DEFAULT):
        read_language("zz")


def test_another_language_needs_no_code() -> None:
    """Numbers by num2words and units by Babel; only the sentences come from a catalogue."""
    from babel import Locale

    from lidoff.narration.language import Language

    german = Voice(Language("de", Locale("de"), {"both": "{metric}, also {imperial}"}))
    assert german.quantity(3.25, "A") == "drei Komma zwei fünf Ampere"
    assert german.quantity(2.0, "g") == "zwei Gramm"
    assert german.both(25.4, "mm", "in") == "fünfundzwanzig Komma vier Millimeter, also eins Zoll"


def test_a_text_that_is_read_has_digits() -> None:
    written = Voice(read_language(), in_digits=True)
    assert written.quantity(1234.5, "V") == "1,234.5\u00a0V"
    assert written.year(2025) == "2025"
