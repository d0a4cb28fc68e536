"""The assumptions that figures rest on: their defaults, and what a knowledge base puts in their place."""

import csv
import difflib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType

from lidoff.figures.figure import Assumed
from lidoff.figures.known import Known
from lidoff.settings import SettingsError

OF_THE_KNOWLEDGE_BASE = "mkdocs.yml of this knowledge base"
# what differs from unit to unit and decides about stress or safety is recorded or unknown, never assumed
NEVER_ASSUMED = MappingProxyType(
    {
        "turns_ratio": "record the turns: magnetics[].windings[].turns",
        "cold_resistance_ohm": "record it with its part: components[].ratings.cold_resistance_ohm",
        "bleed_resistor_ohm": "record it with its part: components[].ratings.resistance_ohm",
    }
)


@dataclass(frozen=True, slots=True)
class Assumption:
    """One row of assumptions.csv; a value outside ``least`` to ``most`` can belong to no charger."""

    id: str
    default: float
    unit: str
    least: float
    most: float
    source: str
    explanation: str


@dataclass(frozen=True, slots=True)
class Assumptions:
    """The value of every assumption, by id."""

    values: Mapping[str, Assumed]

    def known(self, id: str) -> Known:
        """The assumption as a quantity that says so; a percentage as a ratio."""
        assumed = self.values[id]
        return Known(assumed.value / 100 if assumed.unit == "%" else assumed.value, assumed=(assumed,))


@cache
def all_assumptions() -> tuple[Assumption, ...]:
    """Every assumption with its default."""
    with files("lidoff.engineering").joinpath("assumptions.csv").open(encoding="utf-8", newline="") as table:
        return tuple(
            Assumption(
                row["id"], float(row["default"]), row["unit"], float(row["least"]), float(row["most"]),
                row["source"], row["explanation"],
            )
            for row in csv.DictReader(table)
        )  # fmt: skip


def read_assumptions(replaced: Mapping[str, float] | None = None) -> Assumptions:
    """The assumptions of a knowledge base; raises SettingsError for an id or a value that can't be used."""
    replaced = replaced or {}
    known = {one.id: one for one in all_assumptions()}
    for id, value in replaced.items():
        if id not in known:
            raise SettingsError(_unknown(id, tuple(known)))
        if not known[id].least <= value <= known[id].most:
            raise SettingsError(_out_of_range(known[id], value))
    return Assumptions(
        MappingProxyType(
            {
                id: Assumed(id, float(replaced[id]), one.unit, OF_THE_KNOWLEDGE_BASE)
                if id in replaced
                else Assumed(id, one.default, one.unit, one.source)
                for id, one in known.items()
            }
        )
    )


def _unknown(id: str, known: tuple[str, ...]) -> str:
    if id in NEVER_ASSUMED:
        return f"found     assumptions: {id}\nexpected  nothing: it is never assumed\nfix       {NEVER_ASSUMED[id]}"
    near = difflib.get_close_matches(id, known, n=1)
    hint = f"rename it to {near[0]}" if near else f"use one of {', '.join(known)}"
    return f"found     assumptions: {id}\nexpected  a known assumption\nfix       {hint}"


def _out_of_range(one: Assumption, value: float) -> str:
    unit = "" if one.unit == "1" else f" {one.unit}"
    return (
        f"found     assumptions: {one.id}: {value:g}\n"
        f"expected  {one.least:g} to {one.most:g}{unit}\n"
        f"fix       correct plugins: - lidoff: assumptions: in mkdocs.yml"
    )
