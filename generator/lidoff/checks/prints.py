"""What the print on a resistor or capacitor can mean: every value that its characters allow."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from lidoff.engineering.capacitor_markings import capacitance_readings, rated_voltage_of_code
from lidoff.engineering.component_markings import ResistanceReading, resistance_readings
from lidoff.record.model.component import Component, Marking

CHIP = re.compile(r"(0201|0402|0603|0805|1206|1210|1812|2010|2512)\b")
WITHOUT_DIGIT_CODES = frozenset({"aluminium-electrolytic", "aluminium-polymer", "aluminium-hybrid", "tantalum"})
"""Cans and moulded bodies whose bare digits may be microfarads, volts or a lot: only written units are read there."""

REMEMBERED = 4096
"""The prints that are read once: the same parts are in many chargers."""
_CAPACITANCE = re.compile(r"(?<![0-9.,A-Za-z?])([0-9]*[.,]?[0-9]+) ?(?:([pnuµμ])F|(M)FD)(?![A-Za-z])", re.IGNORECASE)
_VOLTAGE = re.compile(r"(?<![0-9.,A-Za-z?])([0-9]+(?:[.,][0-9]+)?) ?V(?:AC|DC)?(?![A-Za-z0-9])")
_LETTER_CODE = re.compile(r"[0-9]*[pnuµμ][0-9]*[FGJKMZ]?")
_DIGIT_CODE = re.compile(r"[0-9]{3}[FGJKMZ]")
_VOLTAGE_AND_VALUE = re.compile(r"([0-9][A-HJKVW])([0-9]{3}[FGJKM])")
_BARE_DIGITS = re.compile(r"[0-9]{3}")
_FARADS = {"p": 1e-12, "n": 1e-9, "u": 1e-6, "µ": 1e-6, "μ": 1e-6, "m": 1e-6}
_MILLI_FOR_MEGA = 1e-9


@dataclass(frozen=True, slots=True)
class Print:
    """A piece of print, the line it stands in, and every value in SI units that it can mean."""

    line: int
    text: str
    values: tuple[float, ...]


def resistance_print(part: Component) -> Print | None:
    """The value code of a chip resistor: its whole print, where every character of it was read."""
    if part.package is None or not CHIP.match(part.package) or part.marking is None:
        return None
    lines = part.marking.lines
    return _resistance(lines[0]) if len(lines) == 1 and "?" not in lines[0] else None


def capacitance_prints(part: Component) -> tuple[Print, ...]:
    """Every piece of a capacitor's print that can only be its capacitance."""
    is_can = part.ratings is not None and part.ratings.chemistry in WITHOUT_DIGIT_CODES
    return _capacitances(_lines(part.marking), is_can)


def voltage_prints(part: Component) -> tuple[Print, ...]:
    """Every piece of a capacitor's print that is a rated voltage, written out or in front of a value code."""
    return _voltages(_lines(part.marking))


@lru_cache(REMEMBERED)
def _resistance(text: str) -> Print | None:
    readings = resistance_readings(text.upper())
    values = tuple(value for reading in readings for value in _resistances(text, reading))
    return Print(0, text, values) if values else None


@lru_cache(REMEMBERED)
def _capacitances(lines: tuple[str, ...], is_can: bool) -> tuple[Print, ...]:
    written = tuple(
        Print(number, match[0], (_number(match[1]) * _FARADS[(match[2] or match[3]).lower()],))
        for number, line in enumerate(lines)
        if "F" in line.upper()
        for match in _CAPACITANCE.finditer(line)
    )
    return written if written or is_can else tuple(_coded_capacitances(lines))


@lru_cache(REMEMBERED)
def _voltages(lines: tuple[str, ...]) -> tuple[Print, ...]:
    found = []
    for number, line in enumerate(lines):
        if "V" in line:
            found += [Print(number, match[0], (_number(match[1]),)) for match in _VOLTAGE.finditer(line)]
        codes = filter(None, map(_VOLTAGE_AND_VALUE.fullmatch, line.split()))
        found += [Print(number, match[0], (rated_voltage_of_code(match[1]),)) for match in codes]
    return tuple(found)


def _lines(marking: Marking | None) -> tuple[str, ...]:
    return marking.lines if marking is not None else ()


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def _resistances(text: str, reading: ResistanceReading) -> Iterator[float]:
    """A reading, and on a letter code with M the thousandths of an ohm that makers of shunts mean by it."""
    yield reading.resistance
    if reading.scheme == "letter code" and "m" in text.lower():
        yield reading.resistance * _MILLI_FOR_MEGA


def _coded_capacitances(lines: tuple[str, ...]) -> Iterator[Print]:
    tokens = [(number, token) for number, line in enumerate(lines) for token in line.split()]
    for number, token in tokens:
        combined = _VOLTAGE_AND_VALUE.fullmatch(token)
        is_code = _LETTER_CODE.fullmatch(token) or _DIGIT_CODE.fullmatch(token)
        is_alone = len(tokens) == 1 and _BARE_DIGITS.fullmatch(token)
        code = combined[2] if combined else token if is_code or is_alone else ""
        values = tuple(reading.capacitance for reading in capacitance_readings(code))
        if values:
            yield Print(number, token, values)
