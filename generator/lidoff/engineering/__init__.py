"""Power-electronics formulas and limits: pure functions, SI floats in and out, the standard library only.

One topic a module. Every public function states its equation, range of validity and source; a test reads them all.
"""

UNIT_SPELLINGS: tuple[str, ...] = (
    "V",
    "A",
    "W",
    "J",
    "F",
    "H",
    "Ω",
    "Hz",
    "s",
    "m",
    "m²",
    "m³",
    "kg",
    "K",
    "°C",
    "T",
    "C",
    "A²s",
    "rad",
    "F/W",
    "Ω·C",
    "W/m²",
    "W/m³",
    "W/kg",
    "kg/m³",
    "px",
    "m/px",
    "-",
)
"""The one spelling of each unit in this package's docstrings; ``-`` is a plain number, a count, a word or a flag."""
