"""Numbers and quantities as they are spoken: twenty volts, three point two five amps."""

from dataclasses import dataclass
from decimal import Decimal

from babel.numbers import format_decimal
from babel.units import format_compound_unit, format_unit
from num2words import num2words

from lidoff.engineering.geometry import in_unit
from lidoff.engineering.rounding import round_significant
from lidoff.figures.figure import Figure
from lidoff.figures.show import MINUS, shown
from lidoff.narration.language import Language
from lidoff.pages.numbers import SPACE

# unit of a record or figure -> Babel's name; a pair is a unit over another
UNITS: dict[str, str | tuple[str, str]] = {
    "V": "electric-volt", "A": "electric-ampere", "W": "power-watt", "mW": "power-milliwatt", "J": "energy-joule",
    "Hz": "frequency-hertz", "kHz": "frequency-kilohertz", "MHz": "frequency-megahertz", "Ω": "electric-ohm",
    "%": "concentr-percent", "g": "mass-gram", "oz": "mass-ounce", "mm": "length-millimeter", "in": "length-inch",
    "cm³": "volume-cubic-centimeter", "in³": "volume-cubic-inch", "°C": "temperature-celsius",
    "°F": "temperature-fahrenheit", "K": "temperature-kelvin", "ms": "duration-millisecond", "s": "duration-second",
    "min": "duration-minute", "h": "duration-hour", "W/cm³": ("power-watt", "volume-cubic-centimeter"),
    "W/in³": ("power-watt", "volume-cubic-inch"), "W/g": ("power-watt", "mass-gram"),
    "W/oz": ("power-watt", "mass-ounce"),
}  # fmt: skip
ALL_DIGITS = "#,##0.############"
DIGITS = 3


@dataclass(frozen=True, slots=True)
class Voice:
    """Says numbers in one language: in words, or in digits for a text that is read."""

    language: Language
    in_digits: bool = False

    def number(self, value: float | Decimal) -> str:
        """A number in words; digits after the point one by one, needless zeros left out."""
        plain = _plain(value)
        if self.in_digits:
            return self._digits(plain)
        text = num2words(str(plain), lang=str(self.language.locale))
        return text.replace(",", "")

    def year(self, value: int) -> str:
        """A year as it is said."""
        if self.in_digits:
            return str(value)
        return num2words(value, lang=str(self.language.locale), to="year")

    def quantity(self, value: float | Decimal, unit: str) -> str:
        """A number with its unit in full."""
        plain = _plain(value)
        if self.in_digits:
            return f"{self._digits(plain)}{SPACE}{unit}"
        own = f"unit/{unit}/{self.language.locale.plural_form(plain)}"
        if own in self.language.texts:
            return self.language.text(own, number=self.number(plain))
        return _spaced(self._with_unit(plain, unit)).replace(_spaced(self._digits(plain)), self.number(plain), 1)

    def both(self, value: float, unit: str, imperial: str) -> str:
        """A recorded quantity and the same in another unit, computed exactly and rounded once."""
        return self._pair(self.quantity(value, unit), self.quantity(converted(value, unit, imperial), imperial))

    def figure(self, figure: Figure) -> str:
        """A figure's value as the site shows it, with the imperial one where there is one."""
        text = shown(figure)
        said = self.quantity(_read(text.value), figure.unit)
        if text.imperial:
            number, unit = text.imperial.split(" ", 1)
            said = self._pair(said, self.quantity(_read(number), unit))
        return self.language.text(f"bound/{text.bound.replace(' ', '-')}", value=said) if text.bound else said

    def _digits(self, value: Decimal) -> str:
        return format_decimal(value, format=ALL_DIGITS, locale=self.language.locale)

    def _pair(self, metric: str, imperial: str) -> str:
        return self.language.text("both", metric=metric, imperial=imperial)

    def _with_unit(self, value: Decimal, unit: str) -> str:
        name, locale = UNITS[unit], self.language.locale
        if isinstance(name, tuple):
            return format_compound_unit(
                value, name[0], denominator_unit=name[1], length="long", format=ALL_DIGITS, locale=locale
            )
        return format_unit(value, name, "long", ALL_DIGITS, locale=locale)


def converted(value: float, unit: str, other: str) -> Decimal:
    """A quantity in another unit, rounded once to three digits; temperatures and their differences to whole degrees."""
    if (unit, other) == ("°C", "°F"):
        return round(Decimal(repr(value)) * 9 / 5 + 32, 0)
    if (unit, other) == ("K", "°F"):
        return round(Decimal(repr(value)) * 9 / 5, 0)
    factor = in_unit(1.0, unit)
    return round_significant(in_unit(float(Decimal(repr(value)) / Decimal(repr(factor))), other), DIGITS)


def _plain(value: float | Decimal) -> Decimal:
    exact = value if isinstance(value, Decimal) else Decimal(repr(value))
    return exact.quantize(Decimal(1)) if exact == exact.to_integral_value() else exact.normalize()


def _spaced(text: str) -> str:
    """With plain spaces, since Babel binds numbers and units with others that nobody speaks."""
    return text.replace("\u00a0", " ").replace("\u202f", " ")


def _read(text: str) -> Decimal:
    return Decimal(text.replace(MINUS, "-"))
