"""Codes printed on capacitors: capacitance, dielectric and rated voltage."""

import re
from dataclasses import dataclass
from decimal import Decimal

from lidoff.engineering.component_markings import decimal_with_letter

_CAPACITANCE_EXPONENTS = {"p": -12, "n": -9, "u": -6, "µ": -6, "μ": -6, "m": -3, "F": 0}
_LETTER_CODE = re.compile(r"([0-9]*)([pnuµμmF])([0-9]*)([BCDFGJKMZ]?)")
_DIGIT_CODE = re.compile(r"([0-9]{2,3})([0-9])([BCDFGJKMZ]?)")
_DIGIT_EXPONENTS = {"8": -2, "9": -1}
_VOLTAGE_CODE = re.compile(r"([0-9])([ABCDEFVGWHJK])")
_VOLTAGES = {
    "A": "1", "B": "1.25", "C": "1.6", "D": "2", "E": "2.5", "F": "3.15",
    "V": "3.5", "G": "4", "W": "4.5", "H": "5", "J": "6.3", "K": "8",
}  # fmt: skip
_LOWEST_TEMPERATURES = {"X": -55.0, "Y": -30.0, "Z": 10.0}
_HIGHEST_TEMPERATURES = {"4": 65.0, "5": 85.0, "6": 105.0, "7": 125.0, "8": 150.0, "9": 200.0}
_CHANGES = {
    "A": (-0.01, 0.01), "B": (-0.015, 0.015), "C": (-0.022, 0.022), "D": (-0.033, 0.033), "E": (-0.047, 0.047),
    "F": (-0.075, 0.075), "P": (-0.1, 0.1), "R": (-0.15, 0.15), "S": (-0.22, 0.22), "T": (-0.33, 0.22),
    "U": (-0.56, 0.22), "V": (-0.82, 0.22),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class CapacitanceReading:
    """One way to read the marking of a capacitor.

    Attributes
    ----------
    capacitance : float
        Capacitance. [F]
    scheme : str
        letter code or digit code. [-]
    tolerance_letter : str or None
        Letter of the tolerance, where the marking has one. [-]
    """

    capacitance: float
    scheme: str
    tolerance_letter: str | None = None


@dataclass(frozen=True, slots=True)
class ClassOneDielectric:
    """Ceramic of class 1, whose capacitance follows the temperature in a straight line.

    Attributes
    ----------
    coefficient_limit : float
        Largest change per kelvin, up or down, as a ratio. [-]
    """

    coefficient_limit: float


@dataclass(frozen=True, slots=True)
class ClassTwoDielectric:
    """Ceramic of class 2.

    Attributes
    ----------
    lowest_temperature : float
        Lower end of the temperature range. [°C]
    highest_temperature : float
        Upper end of the temperature range. [°C]
    change_min : float
        Largest fall of the capacitance over that range, as a negative ratio. [-]
    change_max : float
        Largest rise of the capacitance over that range, as a ratio. [-]
    """

    lowest_temperature: float
    highest_temperature: float
    change_min: float
    change_max: float


def capacitance_readings(code: str) -> tuple[CapacitanceReading, ...]:
    """All capacitances that a marking on a capacitor can mean.

    Parameters
    ----------
    code : str
        The marking, as printed; u may stand for µ. [-]

    Returns
    -------
    tuple of CapacitanceReading
        Every reading, none where the marking is no known code. [-]

    Notes
    -----
    No equation: a letter p, n, u, m or F is the decimal point and stands for 1 pF, 1 nF, 1 µF, 1 mF or 1 F; of three
    or four digits the last is the power of ten of picofarads, with 8 for 0.01 and 9 for 0.1. A tolerance letter may
    follow. R as a decimal point is not read, since it is used for picofarads and for microfarads.

    Examples
    --------
    >>> capacitance_readings("104K")
    (CapacitanceReading(capacitance=1e-07, scheme='digit code', tolerance_letter='K'),)
    >>> capacitance_readings("4n7")[0].capacitance, capacitance_readings("479")[0].capacitance
    (4.7e-09, 4.7e-12)

    References
    ----------
    .. [1] IEC 60062:2016 (from memory).
    .. [2] EIA-198, three-digit code (from memory).
    """
    readings = []
    if (match := _LETTER_CODE.fullmatch(code)) and (match[1] or match[3]):
        value = decimal_with_letter(match[1], match[3], _CAPACITANCE_EXPONENTS[match[2]])
        readings.append(CapacitanceReading(value, "letter code", match[4] or None))
    if match := _DIGIT_CODE.fullmatch(code):
        exponent = _DIGIT_EXPONENTS.get(match[2], int(match[2]))
        value = float(Decimal(match[1]).scaleb(exponent - 12))
        readings.append(CapacitanceReading(value, "digit code", match[3] or None))
    return tuple(reading for reading in readings if reading.capacitance)


def dielectric_of_code(code: str) -> ClassOneDielectric | ClassTwoDielectric:
    """What a dielectric code of a ceramic capacitor promises.

    Parameters
    ----------
    code : str
        Three characters such as X7R; C0G and its older name NP0 for class 1. [-]

    Returns
    -------
    ClassOneDielectric or ClassTwoDielectric
        Temperature range and change of the capacitance. [-]

    Raises
    ------
    ValueError
        The code is not of class 2 and not C0G.

    Notes
    -----
    No equation: the first letter is the lowest temperature, the digit the highest, the last letter the change without
    voltage. The loss of capacitance under direct voltage is not part of the code. C0G is 0 ± 30 ppm per kelvin.

    Examples
    --------
    >>> dielectric_of_code("X5R")
    ClassTwoDielectric(lowest_temperature=-55.0, highest_temperature=85.0, change_min=-0.15, change_max=0.15)

    References
    ----------
    .. [1] EIA-198, class 2 codes and C0G (from memory).
    """
    if code in ("C0G", "NP0"):
        return ClassOneDielectric(30e-6)
    lowest, highest, change = (code[0:1], code[1:2], code[2:])
    if lowest not in _LOWEST_TEMPERATURES or highest not in _HIGHEST_TEMPERATURES or change not in _CHANGES:
        raise ValueError(f"code: found {code}, expected C0G or a class 2 code such as X7R")
    return ClassTwoDielectric(_LOWEST_TEMPERATURES[lowest], _HIGHEST_TEMPERATURES[highest], *_CHANGES[change])


def rated_voltage_of_code(code: str) -> float:
    r"""Rated voltage that a digit and a letter stand for.

    Parameters
    ----------
    code : str
        Digit and letter, such as 1E. [-]

    Returns
    -------
    float
        Rated voltage. [V]

    Raises
    ------
    ValueError
        It is not such a code.

    Notes
    -----
    .. math::

        V = v \cdot 10^{d}

    for the digit d and the value v of the letter.

    Examples
    --------
    >>> rated_voltage_of_code("0J"), rated_voltage_of_code("2G")
    (6.3, 400.0)

    References
    ----------
    .. [1] Rated-voltage code of the EIA and JIS (from memory).
    """
    match = _VOLTAGE_CODE.fullmatch(code)
    if not match:
        raise ValueError(f"code: found {code}, expected a digit and one of {', '.join(_VOLTAGES)}")
    return float(Decimal(_VOLTAGES[match[2]]).scaleb(int(match[1])))
