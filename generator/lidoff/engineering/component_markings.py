"""Value codes printed on resistors, and the tolerance letters that resistors and capacitors share."""

import re
from dataclasses import dataclass
from decimal import Decimal

from lidoff.engineering._arguments import require_positive
from lidoff.engineering.preferred_values import series_values

_RESISTANCE_EXPONENTS = {"L": -3, "R": 0, "K": 3, "M": 6, "G": 9}
_LETTER_CODE = re.compile(r"([0-9]*)([LRKMG])([0-9]*)([BCDFGJKM]?)")
_DIGIT_CODE = re.compile(r"([0-9]{2,3})([0-7])")
_EIA_96 = re.compile(r"([0-9]{2})([ZYRXSABHCDEF])")
_EIA_96_EXPONENTS = {
    "Z": -3, "Y": -2, "R": -2, "X": -1, "S": -1, "A": 0, "B": 1, "H": 1, "C": 2, "D": 3, "E": 4, "F": 5,
}  # fmt: skip
_TOLERANCES = {"B": 0.001, "C": 0.0025, "D": 0.005, "F": 0.01, "G": 0.02, "J": 0.05, "K": 0.1, "M": 0.2}
_ABSOLUTE_TOLERANCES = {"B": 0.1e-12, "C": 0.25e-12, "D": 0.5e-12}


@dataclass(frozen=True, slots=True)
class ResistanceReading:
    """One way to read the marking of a resistor.

    Attributes
    ----------
    resistance : float
        Resistance. [Ω]
    scheme : str
        letter code, digit code or EIA-96. [-]
    tolerance_letter : str or None
        Letter of the tolerance, where the marking has one. [-]
    """

    resistance: float
    scheme: str
    tolerance_letter: str | None = None


@dataclass(frozen=True, slots=True)
class Tolerance:
    """Limits around a nominal value.

    Attributes
    ----------
    below : float
        Largest shortfall, as a ratio, or in farads where ``absolute`` is set. [-]
    above : float
        Largest excess, as a ratio, or in farads where ``absolute`` is set. [-]
    absolute : bool
        The limits are farads and not ratios. [-]
    """

    below: float
    above: float
    absolute: bool = False


def decimal_with_letter(whole: str, decimals: str, exponent: int) -> float:
    r"""Value of a code whose letter stands for the decimal point.

    Parameters
    ----------
    whole : str
        Digits before the letter, may be empty. [-]
    decimals : str
        Digits after the letter, may be empty. [-]
    exponent : int
        Power of ten that the letter stands for. [-]

    Returns
    -------
    float
        Value in the base unit. [-]

    Notes
    -----
    .. math::

        x = d \cdot 10^{e}

    for the decimal number d of both groups of digits; computed in decimal, so that 4K7 is 4700 and nothing near it.

    Examples
    --------
    >>> decimal_with_letter("4", "7", 3), decimal_with_letter("", "22", -3)
    (4700.0, 0.00022)

    References
    ----------
    .. [1] IEC 60062:2016, letter and digit code (from memory).
    """
    return float(Decimal(f"{whole or 0}.{decimals or 0}").scaleb(exponent))


def resistance_readings(code: str) -> tuple[ResistanceReading, ...]:
    """All resistances that a marking on a resistor can mean.

    Parameters
    ----------
    code : str
        The marking, as printed, in capitals. [-]

    Returns
    -------
    tuple of ResistanceReading
        Every reading, none where the marking is no known code. [-]

    Notes
    -----
    No equation: a letter L, R, K, M or G is the decimal point and stands for 1 mΩ, 1 Ω, 1 kΩ, 1 MΩ or 1 GΩ; of three or
    four digits the last is the power of ten (digits 8 and 9 there are not read, they have no settled meaning on
    resistors); two digits and a letter of EIA-96 are an index into E96 and a factor. Some markings fit two schemes.

    Examples
    --------
    >>> [(reading.resistance, reading.scheme) for reading in resistance_readings("10R")]
    [(10.0, 'letter code'), (1.24, 'EIA-96')]
    >>> [reading.resistance for reading in resistance_readings("L22")]
    [0.00022]

    References
    ----------
    .. [1] IEC 60062:2016 (from memory).
    .. [2] EIA-96 marking (from memory; E96 values equal to the package eseries 1.2.1).
    """
    readings = []
    if (match := _LETTER_CODE.fullmatch(code)) and (match[1] or match[3]):
        value = decimal_with_letter(match[1], match[3], _RESISTANCE_EXPONENTS[match[2]])
        readings.append(ResistanceReading(value, "letter code", match[4] or None))
    if match := _DIGIT_CODE.fullmatch(code):
        readings.append(ResistanceReading(float(Decimal(match[1]).scaleb(int(match[2]))), "digit code"))
    if code == "0":
        readings.append(ResistanceReading(0.0, "digit code"))
    if (match := _EIA_96.fullmatch(code)) and 1 <= int(match[1]) <= 96:
        significant = Decimal(series_values(96)[int(match[1]) - 1])
        readings.append(ResistanceReading(float(significant.scaleb(_EIA_96_EXPONENTS[match[2]])), "EIA-96"))
    return tuple(readings)


def tolerance_of_letter(letter: str, capacitance: float | None = None) -> Tolerance:
    """Tolerance that a letter stands for.

    Parameters
    ----------
    letter : str
        One of B, C, D, F, G, J, K, M, Z. [-]
    capacitance : float, optional
        Nominal capacitance, of a capacitor. [F]

    Returns
    -------
    Tolerance
        Limits as ratios; in farads for B, C and D on a capacitor below 10 pF. [-]

    Raises
    ------
    ValueError
        The letter has no meaning here, or the capacitance is not above 0.

    Notes
    -----
    No equation: B 0.1 %, C 0.25 %, D 0.5 %, F 1 %, G 2 %, J 5 %, K 10 %, M 20 %, Z −20 % to +80 %; below 10 pF B, C
    and D are 0.1, 0.25 and 0.5 pF.

    Examples
    --------
    >>> tolerance_of_letter("J")
    Tolerance(below=0.05, above=0.05, absolute=False)

    References
    ----------
    .. [1] IEC 60062:2016, tolerance letters (from memory).
    """
    if capacitance is not None:
        require_positive(capacitance=capacitance)
        if capacitance < 10e-12 and letter in _ABSOLUTE_TOLERANCES:
            return Tolerance(_ABSOLUTE_TOLERANCES[letter], _ABSOLUTE_TOLERANCES[letter], absolute=True)
    if letter == "Z":
        return Tolerance(0.2, 0.8)
    if letter not in _TOLERANCES:
        raise ValueError(f"letter: found {letter}, expected one of {', '.join(_TOLERANCES)}, Z")
    return Tolerance(_TOLERANCES[letter], _TOLERANCES[letter])
