"""Units as people write and say them: what they measure, and how many SI units they are."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: what it measures, and ``factor`` and ``offset`` to the unit in which values are held."""

    name: str
    measures: str
    factor: float
    offset: float = 0.0

    def held(self, value: float) -> float:
        """A value of this unit as it is held."""
        return value * self.factor + self.offset

    def shown(self, held: float) -> float:
        """A held value in this unit."""
        return (held - self.offset) / self.factor


INCH, OUNCE, POUND = 25.4, 28.349523125, 453.59237
_UNITS = (
    Unit("V", "voltage", 1), Unit("mV", "voltage", 1e-3), Unit("kV", "voltage", 1e3),
    Unit("A", "current", 1), Unit("mA", "current", 1e-3), Unit("µA", "current", 1e-6),
    Unit("W", "power", 1), Unit("mW", "power", 1e-3), Unit("kW", "power", 1e3),
    Unit("J", "energy", 1), Unit("mJ", "energy", 1e-3), Unit("Wh", "energy", 3600),
    Unit("g", "mass", 1), Unit("kg", "mass", 1e3), Unit("oz", "mass", OUNCE), Unit("lb", "mass", POUND),
    Unit("mm", "length", 1), Unit("cm", "length", 10), Unit("m", "length", 1e3), Unit("in", "length", INCH),
    Unit("cm³", "volume", 1), Unit("in³", "volume", INCH**3 / 1e3),
    Unit("W/cm³", "power density", 1), Unit("W/in³", "power density", 1e3 / INCH**3),
    Unit("W/g", "specific power", 1), Unit("W/oz", "specific power", 1 / OUNCE), Unit("g/cm³", "density", 1),
    Unit("s", "time", 1), Unit("ms", "time", 1e-3), Unit("µs", "time", 1e-6), Unit("min", "time", 60),
    Unit("h", "time", 3600), Unit("Hz", "frequency", 1), Unit("kHz", "frequency", 1e3), Unit("MHz", "frequency", 1e6),
    Unit("F", "capacitance", 1), Unit("µF", "capacitance", 1e-6), Unit("nF", "capacitance", 1e-9),
    Unit("pF", "capacitance", 1e-12), Unit("µF/W", "capacitance a watt", 1),
    Unit("µH", "inductance", 1e-6), Unit("mH", "inductance", 1e-3),
    Unit("Ω", "resistance", 1), Unit("mΩ", "resistance", 1e-3), Unit("kΩ", "resistance", 1e3),
    Unit("MΩ", "resistance", 1e6), Unit("%", "share", 1), Unit("K", "difference", 1),
    Unit("°C", "temperature", 1), Unit("°F", "temperature", 5 / 9, -160 / 9), Unit("mT", "flux", 1),
    Unit("USD", "money USD", 1), Unit("EUR", "money EUR", 1), Unit("GBP", "money GBP", 1),
)  # fmt: skip
UNITS = {unit.name: unit for unit in _UNITS}

# as written beside digits or in full; the longest comes first
_WRITTEN: dict[str, tuple[str, ...]] = {
    "W/cm³": ("W/cm³", "W/cm3", "watts per cubic centimetre", "watts per cubic centimeter",
              "watt per cubic centimetre"),
    "W/in³": ("W/in³", "W/in3", "watts per cubic inch", "watt per cubic inch"),
    "W/g": ("W/g", "watts per gram", "watt per gram"),
    "W/oz": ("W/oz", "watts per ounce", "watt per ounce"),
    "g/cm³": ("g/cm³", "g/cm3", "grams per cubic centimetre"),
    "µF/W": ("µF/W", "μF/W", "uF/W", "microfarads per watt", "microfarads a watt", "µF a watt", "µF per watt"),
    "cm³": ("cm³", "cm3", "cubic centimetres", "cubic centimeters", "cubic centimetre"),
    "in³": ("in³", "in3", "cubic inches", "cubic inch"),
    "V": ("V", "volts", "volt"), "mV": ("mV", "millivolts", "millivolt"), "kV": ("kV", "kilovolts", "kilovolt"),
    "A": ("A", "amperes", "ampere", "amps", "amp"), "mA": ("mA", "milliamps", "milliamp", "milliamperes"),
    "µA": ("µA", "μA", "uA", "microamps", "microamp", "microamperes"),
    "W": ("W", "watts", "watt"), "mW": ("mW", "milliwatts", "milliwatt"), "kW": ("kW", "kilowatts", "kilowatt"),
    "J": ("J", "joules", "joule"), "mJ": ("mJ", "millijoules"), "Wh": ("Wh", "watt hours", "watt-hours", "watt hour"),
    "g": ("g", "grams", "gram", "grammes"), "kg": ("kg", "kilograms", "kilogram"), "oz": ("oz", "ounces", "ounce"),
    "lb": ("lb", "lbs", "pounds of weight"),
    "mm": ("mm", "millimetres", "millimeters", "millimetre", "millimeter"),
    "cm": ("cm", "centimetres", "centimeters", "centimetre"), "m": ("metres", "meters", "metre"),
    "in": ("in", "inches", "inch", "″"),
    "ms": ("ms", "milliseconds", "millisecond"), "µs": ("µs", "microseconds"), "s": ("s", "seconds", "second"),
    "min": ("min", "minutes", "minute"), "h": ("h", "hours", "hour"),
    "kHz": ("kHz", "kilohertz"), "MHz": ("MHz", "megahertz"), "Hz": ("Hz", "hertz"),
    "µF": ("µF", "μF", "uF", "microfarads", "microfarad"), "nF": ("nF", "nanofarads", "nanofarad"),
    "pF": ("pF", "picofarads", "picofarad"), "µH": ("µH", "μH", "uH", "microhenries"), "mH": ("mH", "millihenries"),
    "mΩ": ("mΩ", "milliohms", "milliohm"), "kΩ": ("kΩ", "kilohms", "kilo-ohms"), "MΩ": ("MΩ", "megohms"),
    "Ω": ("Ω", "ohms", "ohm"), "%": ("%", "per cent", "percent"), "K": ("K", "kelvins", "kelvin", "degrees above"),
    "°C": ("°C", "degrees Celsius", "degrees centigrade", "degrees C", "degree Celsius", "degrees"),
    "°F": ("°F", "degrees Fahrenheit", "degrees F"), "mT": ("mT", "millitesla"),
    "USD": ("USD", "US dollars", "dollars"), "EUR": ("EUR", "euros", "euro", "€"), "GBP": ("GBP", "pounds"),
}  # fmt: skip
SPELLINGS: dict[str, str] = {
    spelling: name
    for spelling, name in sorted(
        ((spelling, name) for name, spellings in _WRITTEN.items() for spelling in spellings),
        key=lambda one: (-len(one[0]), one[0]),
    )
}

# the end of a field's name in the record -> its unit; the longest comes first
SUFFIXES: dict[str, str] = {
    "_w_per_cm3": "W/cm³", "_w_per_in3": "W/in³", "_per_us": "", "_mm2": "", "_cm3": "cm³", "_mohm": "mΩ", "_ohm": "Ω",
    "_pct": "%", "_khz": "kHz", "_mhz": "MHz", "_min": "min", "_hz": "Hz", "_mv": "mV", "_ma": "mA", "_ua": "µA",
    "_uf": "µF", "_nf": "nF", "_pf": "pF", "_uh": "µH", "_mm": "mm", "_ms": "ms", "_us": "µs", "_nc": "", "_kv": "kV",
    "_v": "V", "_a": "A", "_w": "W", "_g": "g", "_s": "s", "_h": "h", "_c": "°C", "_j": "J", "_m": "m",
}  # fmt: skip


def unit_of_field(name: str) -> str:
    """The unit that the end of a field's name gives; empty where it gives none."""
    return next((unit for suffix, unit in SUFFIXES.items() if name.endswith(suffix)), "")
