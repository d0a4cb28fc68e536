"""The record's ``columns`` -> quantities: which key means what, in which unit, and whether a heading says otherwise."""

import difflib
import re
from collections.abc import Mapping
from dataclasses import dataclass

from lidoff.bench.log_report import Unreadable, shown

SECONDS = {"s": 1.0, "ms": 1e3, "us": 1e6, "min": 1 / 60, "h": 1 / 3600}
UNITS: Mapping[str, Mapping[str, float]] = {
    "time": SECONDS,
    "voltage": {"v": 1.0, "mv": 1e3},
    "current": {"a": 1.0, "ma": 1e3, "ua": 1e6},
    "power": {"w": 1.0, "mw": 1e3},
    "energy": {"wh": 1 / 3600, "mwh": 1e3 / 3600, "j": 1.0},
    "charge": {"ah": 1 / 3600, "mah": 1e3 / 3600},
    "surface": {"c": 1.0},
    "ambient": {"c": 1.0},
}
"""How many of a unit make one SI unit, by quantity; a unit is the end of a key."""
TIME_AS_TEXT = {"time": ("time", None), "date": ("date", None)}
RUN_KEYS: Mapping[str, tuple[str, float | None]] = TIME_AS_TEXT | {
    f"{quantity}_{unit}": (quantity, per_si) for quantity, units in UNITS.items() for unit, per_si in units.items()
}
SWEEP_KEYS: Mapping[str, tuple[str, float | None]] = {
    "mains_v": ("mains_v", 1.0), "mains_hz": ("mains_hz", 1.0), "set_v": ("set_v", 1.0),
    "output_v": ("output_v", 1.0), "output_mv": ("output_v", 1e3), "output_a": ("output_a", 1.0),
    "output_ma": ("output_a", 1e3), "output_w": ("output_w", 1.0), "output_mw": ("output_w", 1e3),
    "input_w": ("input_w", 1.0), "input_mw": ("input_w", 1e3), "load_pct": ("load_pct", 1.0),
    "load_base_a": ("load_base_a", 1.0), "power_factor": ("power_factor", 1.0), "cable_mohm": ("cable_mohm", 1.0),
    "warm_up_min": ("warm_up_min", 1.0),
}  # fmt: skip
SYMBOLS = {
    "v": "V", "mv": "mV", "a": "A", "ma": "mA", "ua": "µA", "w": "W", "mw": "mW", "wh": "Wh", "mwh": "mWh", "j": "J",
    "ah": "Ah", "mah": "mAh", "s": "s", "ms": "ms", "us": "µs", "min": "min", "h": "h", "c": "°C",
}  # fmt: skip
READ_AS = {
    "sec": "s", "secs": "s", "seconds": "s", "msec": "ms", "hr": "h", "hrs": "h", "μs": "us", "µs": "us", "µa": "ua",
    "μa": "ua", "°c": "c",
}  # fmt: skip
IN_HEADING = re.compile(r"[\[(/]\s*([^\])/(\[]{1,7}?)\s*[\])]?\s*$")


@dataclass(frozen=True, slots=True)
class Wanted:
    """One column that the record names: its key, its heading, the quantity, how many of its unit make one SI unit.

    ``per_si`` is None where the text says the unit itself, as a date does.
    """

    key: str
    heading: str
    quantity: str
    per_si: float | None

    @property
    def unit(self) -> str:
        """The unit that ends the key, in lower case; empty where there is none."""
        ending = self.key.rpartition("_")[2]
        return ending if ending in SYMBOLS and ending != self.key else ""


def run_columns(columns: Mapping[str, str]) -> tuple[Wanted, ...]:
    """The columns of a charge or a long run."""
    return _wanted(columns, RUN_KEYS, "time_s, voltage_v or current_a")


def sweep_columns(columns: Mapping[str, str]) -> tuple[Wanted, ...]:
    """The columns of an efficiency sweep."""
    return _wanted(columns, SWEEP_KEYS, "output_v, output_a or input_w")


def _wanted(
    columns: Mapping[str, str], known: Mapping[str, tuple[str, float | None]], example: str
) -> tuple[Wanted, ...]:
    """The columns that a record names; raises Unreadable for a key that means nothing here or comes twice."""
    found: dict[str, Wanted] = {}
    for key, heading in columns.items():
        if key not in known:
            near = difflib.get_close_matches(key, known, n=1, cutoff=0.5)
            raise Unreadable(
                f"the quantity {shown(key)}",
                f"a quantity with its unit, such as {example}",
                f"write {near[0]}" if near else "take it out, if no figure needs it",
                key=key,
            )
        quantity, per_si = known[key]
        if quantity in found:
            raise Unreadable(
                f"{key} beside {found[quantity].key}", "every quantity once", "keep one of the two", key=key
            )
        found[quantity] = Wanted(key, heading, quantity, per_si)
    return tuple(found.values())


def unit_in(text: str) -> str:
    """The unit that ends a heading in brackets or behind a slash, in lower case; empty where none is known.

    Examples
    --------
    >>> unit_in("U [mV]"), unit_in("Current(A)"), unit_in("t/s"), unit_in("Voltage")
    ('mv', 'a', 's', '')
    """
    found = IN_HEADING.search(text)
    return unit_of(found.group(1)) if found else ""


def unit_of(text: str) -> str:
    """A unit as keys end in it; empty where it is none that a key can end in."""
    unit = text.strip().strip("[]()").strip().casefold()
    unit = READ_AS.get(unit, unit)
    return unit if unit in SYMBOLS else ""


def contradiction(wanted: Wanted, unit: str) -> str:
    """What a unit in the file says against the key of the record; empty where they agree or either says none."""
    if not unit or not wanted.unit or unit == wanted.unit:
        return ""
    return (
        f"{shown(wanted.heading)} is in {SYMBOLS[unit]} by its heading and in {SYMBOLS[wanted.unit]} by the record, "
        f"which was followed"
    )
