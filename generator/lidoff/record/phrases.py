"""What the schema wants at a place, in words (``a number of volts, 3 to 50``), for messages and the field reference."""

from collections.abc import Mapping

from lidoff.record.schema import Shape

UNITS_IN_WORDS: Mapping[str, str] = {
    "V": "volts", "kV": "kilovolts", "mV": "millivolts",
    "A": "amperes", "mA": "milliamperes", "µA": "microamperes", "A/µs": "amperes per microsecond",
    "A²s": "ampere-squared seconds",
    "W": "watts", "J": "joules", "Hz": "hertz", "kHz": "kilohertz", "MHz": "megahertz",
    "Ω": "ohms", "mΩ": "milliohms", "µF": "microfarads", "nF": "nanofarads", "pF": "picofarads", "µH": "microhenries",
    "nC": "nanocoulombs", "m": "metres", "mm": "millimetres", "mm²": "square millimetres", "cm³": "cubic centimetres",
    "g": "grams",
    "µs": "microseconds", "ms": "milliseconds", "s": "seconds", "min": "minutes", "h": "hours",
    "°C": "degrees Celsius", "px": "pixels",
}  # fmt: skip

_NUMBERS_OF_THEIR_OWN: Mapping[str, str] = {
    "1": "a number",
    "%": "a percentage",
    "year": "a year",
    "currency": "an amount of money",
    "same as the quantity": "a number in the unit of the quantity",
}

_MOST_WORDS = 10
_MOST_KEYS = 12


def expected(shape: Shape) -> str:
    """What the schema wants at a place."""
    schema = shape.schema
    if "const" in schema:
        return f"{schema['const']}, the version of the record format"
    if "enum" in schema:
        return one_of(shape)
    if shape.kind == "text":
        return _text(schema)
    if shape.kind in ("number", "whole"):
        return _number(shape)
    if shape.kind == "flag":
        return "true or false"
    return _list(shape) if shape.kind == "list" else _mapping(shape)


def one_of(shape: Shape) -> str:
    """A choice of words."""
    words = shape.schema["enum"]
    if len(words) <= _MOST_WORDS:
        return f"one of {', '.join(words)}"
    return f"one of the {len(words)} words of the vocabulary {shape.word_list}"


def quantity(shape: Shape) -> str:
    """A number with its unit in words, without its bounds: ``a number of volts``."""
    unit = shape.schema.get("x-unit", "1")
    if unit in UNITS_IN_WORDS:
        return f"a number of {UNITS_IN_WORDS[unit]}"
    phrase = _NUMBERS_OF_THEIR_OWN[unit]
    return "a whole number" if shape.kind == "whole" and unit == "1" else phrase


def bounds(schema: Mapping) -> str:
    """The bounds of a number: ``3 to 50``, ``above 0, up to 1000``; empty where there are none."""
    low, above, high = schema.get("minimum"), schema.get("exclusiveMinimum"), schema.get("maximum")
    if low is not None and high is not None:
        return f"{plain(low)} to {plain(high)}"
    limits = [f"above {plain(above)}"] if above is not None else [f"at least {plain(low)}"] if low is not None else []
    return ", ".join(limits + ([f"up to {plain(high)}"] if high is not None else []))


def plain(number: float) -> str:
    """A number as a record writes it, without an exponent."""
    return str(int(number)) if number == int(number) else f"{number:.12f}".rstrip("0")


def counted(count: int, one: str, many: str | None = None) -> str:
    """A count with its noun."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def _number(shape: Shape) -> str:
    limits = bounds(shape.schema)
    return f"{quantity(shape)}, {limits}" if limits else quantity(shape)


def _text(schema: Mapping) -> str:
    if "patternErrorMessage" in schema:
        return schema["patternErrorMessage"]
    return f"text of up to {counted(schema['maxLength'], 'character')}"


def _list(shape: Shape) -> str:
    least, most = shape.schema.get("minItems", 0), shape.schema.get("maxItems")
    if least == most:
        count = f"a list of {counted(least, 'item')}"
    elif most is not None:
        count = f"a list of {least} to {most} items" if least else f"a list of up to {most} items"
    else:
        count = "a list"
    return f"{count}, each {expected(shape.items)}" if shape.items else count


def _mapping(shape: Shape) -> str:
    if shape.others is not None:
        key = shape.schema["propertyNames"]["patternErrorMessage"]
        return f"a mapping from {key}, to {expected(shape.others)}"
    return f"a mapping with the keys {key_list(shape)}"


def key_list(shape: Shape) -> str:
    """The keys that a mapping may have; long lists are cut."""
    keys = list(shape.keys)
    return ", ".join(keys[:_MOST_KEYS]) + (", ..." if len(keys) > _MOST_KEYS else "")
