"""Numbers and units as people write them in tables -> a number in the unit of a record's field.

Inch and ounce are exact by definition (1 in = 25.4 mm, 1 lb = 453.59237 g; international yard and pound agreement of
1959, from memory). The tests hold every factor against the package pint.
"""

import re
from decimal import ROUND_HALF_EVEN, Decimal

_PREFIXES = {"": 0, "k": 3, "M": 6, "m": -3, "µ": -6, "n": -9, "p": -12}
_OUNCE = Decimal("28.349523125")


def _scaled(dimension: str, unit: str, prefixes: str) -> dict[str, tuple[str, Decimal]]:
    return {prefix + unit: (dimension, Decimal(1).scaleb(_PREFIXES[prefix])) for prefix in ("", *prefixes)}


# unit: what it measures, and its worth in the base unit of that
UNITS: dict[str, tuple[str, Decimal]] = {
    **_scaled("voltage", "V", "km"), **_scaled("current", "A", "mµ"), **_scaled("power", "W", "km"),
    **_scaled("resistance", "Ω", "kMm"), **_scaled("capacitance", "F", "mµnp"), **_scaled("inductance", "H", "mµn"),
    **_scaled("frequency", "Hz", "kM"), "µC": ("charge", Decimal("1e-6")), "nC": ("charge", Decimal("1e-9")),
    "pC": ("charge", Decimal("1e-12")), **_scaled("energy", "J", "km"),
    **_scaled("time", "s", "mµ"), "min": ("time", Decimal(60)), "h": ("time", Decimal(3600)),
    "d": ("time", Decimal(86400)), "g": ("mass", Decimal(1)), "kg": ("mass", Decimal(1000)), "oz": ("mass", _OUNCE),
    "lb": ("mass", 16 * _OUNCE), "mm": ("length", Decimal(1)), "cm": ("length", Decimal(10)),
    "m": ("length", Decimal(1000)), "in": ("length", Decimal("25.4")), "ft": ("length", Decimal("304.8")),
    "mil": ("length", Decimal("0.0254")), "mm²": ("area", Decimal(1)), "cm²": ("area", Decimal(100)),
    "in²": ("area", Decimal("645.16")), "cm³": ("volume", Decimal(1)), "in³": ("volume", Decimal("16.387064")),
    "%": ("ratio", Decimal(1)), "°C": ("temperature", Decimal(1)), "°F": ("temperature", Decimal(5) / Decimal(9)),
    "A²s": ("melting integral", Decimal(1)), "A/µs": ("current slope", Decimal(1)),
}  # fmt: skip

_SPELLINGS = {
    '"': "in", "″": "in", "inch": "in", "inches": "in", "ounce": "oz", "ounces": "oz", "pound": "lb", "pounds": "lb",
    "lbs": "lb", "gram": "g", "grams": "g", "gr": "g", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm",
    "millimeters": "mm", "volt": "V", "volts": "V", "watt": "W", "watts": "W", "ampere": "A", "amperes": "A",
    "amp": "A", "amps": "A", "ohm": "Ω", "ohms": "Ω", "mohm": "mΩ", "Mohm": "MΩ", "kohm": "kΩ", "sec": "s",
    "hour": "h", "hours": "h", "hr": "h", "hrs": "h", "minutes": "min", "percent": "%", "C": "°C", "F": "°F",
    "degC": "°C", "degF": "°F", "mm2": "mm²", "cm2": "cm²", "cm3": "cm³", "cc": "cm³", "in3": "in³", "A2s": "A²s",
}  # fmt: skip

_NUMBER = re.compile(r"[+-]?\d+(?:[.,]\d+)?(?:[eE][+-]?\d{1,2})?|[+-]?[.,]\d+")
_AMOUNT = re.compile(rf"(?P<number>{_NUMBER.pattern})\s*(?P<unit>[^\d\s.,+-].*)?")
_UNDECIDED = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}")


def unit_named(text: str) -> str | None:
    """The unit that a text names, in the writing of the table above; None where it names none."""
    name = text.strip().replace("\u03bc", "µ").replace("Ohm", "ohm").replace("\u2126", "Ω")
    if name in UNITS:
        return name
    if name in _SPELLINGS:
        return _SPELLINGS[name]
    if len(name) > 1 and name[0] == "u" and "µ" + name[1:] in UNITS:
        return "µ" + name[1:]
    return _SPELLINGS.get(name.lower()) if len(name) > 3 else None


def dimension(unit: str) -> str | None:
    """What a unit of the table measures."""
    return UNITS[unit][0] if unit in UNITS else None


def amount(text: str) -> tuple[str, str] | None:
    """A number as written, with a plain minus, and the text of the unit behind it; None where a text is no amount.

    Examples
    --------
    >>> amount("2.36 in"), amount("112g"), amount("65"), amount("n/a")
    (('2.36', 'in'), ('112', 'g'), ('65', ''), None)
    """
    match = _AMOUNT.fullmatch(text.replace("\u2212", "-").strip())
    return (match["number"], (match["unit"] or "").strip()) if match else None


def is_undecided(number: str) -> bool:
    """Whether a comma may set off thousands or decimals: 1,500."""
    return _UNDECIDED.fullmatch(number) is not None


def as_decimal(number: str, decimal: str) -> Decimal | None:
    """The number that a text writes with this decimal sign; None where it has the other one."""
    other = "," if decimal == "." else "."
    return None if other in number else Decimal(number.replace(",", "."))


def converted(value: Decimal, unit: str, to: str) -> Decimal:
    """A value in another unit of the same dimension.

    Where the factor is no power of ten the outcome keeps digits down to a tenth of what the last given one is worth,
    so that 3.5 oz do not turn into 99.2233309375 g. Raises ValueError for units of different dimensions.

    Examples
    --------
    >>> converted(Decimal("2.36"), "in", "mm"), converted(Decimal("3.5"), "oz", "g")
    (Decimal('59.94'), Decimal('99.2'))
    """
    if dimension(unit) != dimension(to) or dimension(unit) is None:
        raise ValueError(f"{unit} is not in {to}")
    if unit == to:
        return value
    factor = UNITS[unit][1] / UNITS[to][1]
    exact = _celsius(value, unit, to) if dimension(unit) == "temperature" else value * factor
    if factor == Decimal(1).scaleb(factor.adjusted()):
        return exact.normalize() if exact else Decimal(0)
    step = (Decimal(1).scaleb(value.as_tuple().exponent) * factor / 10).adjusted()
    return exact.quantize(Decimal(1).scaleb(min(step, 0)), rounding=ROUND_HALF_EVEN)


def _celsius(value: Decimal, unit: str, to: str) -> Decimal:
    return (value - 32) * 5 / 9 if to == "°C" else value * 9 / 5 + 32
