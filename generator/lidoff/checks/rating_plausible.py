"""Ratings lie within what a part of that role can have, by a wide margin."""

import csv
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from lidoff.checks.amounts import recorded
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.part_values import capacitance, farads, ohms
from lidoff.record.model.component import Component, Ratings
from lidoff.rule import Rule

RULE = Rule(
    id="rating-plausible",
    title="A rating is of the order that a part of its role can have",
    severity="warning",
    scope="record",
    why=(
        "A bulk capacitor of 82000 µF or a switch of 150 Ω is a slip of the unit or of the decimal point. The bounds "
        "are set several times beyond what chargers of 5 to 240 W are built with, so that they catch such slips and "
        "judge no design. A part of several roles passes when the rating is possible in one of them."
    ),
    formula="lowest ≤ rating ≤ highest, from a table of roles and ratings",
    source="Common practice, no source; the bounds are wide on purpose",
)

CAPACITANCE = "capacitance"


@dataclass(frozen=True, slots=True)
class Bounds:
    """What a rating of a role can be, in the unit of its key; a capacitance in farads."""

    low: float
    high: float
    unit: str


@cache
def bounds_by_role() -> Mapping[str, Mapping[str, Bounds]]:
    """The table of bounds: role, then key of the rating."""
    found: dict[str, dict[str, Bounds]] = {}
    with files(__package__).joinpath("plausible_ratings.csv").open(encoding="utf-8", newline="") as table:
        for row in csv.DictReader(table):
            bounds = Bounds(float(row["low"]), float(row["high"]), row["unit"])
            found.setdefault(row["role"], {})[row["key"]] = bounds
    return found


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for ratings that no role of their part can have."""
    bounds = bounds_by_role()
    for place, part in enumerate(subject.record.components):
        if part.ratings is not None:
            of_roles = [bounds[role] for role in part.roles if role in bounds]
            for key in dict.fromkeys(key for one in of_roles for key in one):
                allowed = [one[key] for one in of_roles if key in one]
                yield from _compared(place, part, part.ratings, key, allowed)


def _compared(place: int, part: Component, ratings: Ratings, key: str, allowed: list[Bounds]) -> Iterator[Notice]:
    key_of_record, value = (capacitance(ratings) or (key, None)) if key == CAPACITANCE else (key, getattr(ratings, key))
    if value is None or any(one.low <= value <= one.high for one in allowed):
        return
    role = next(role for role in part.roles if key in bounds_by_role().get(role, ()))
    yield Notice(
        field=f"components[{place}].ratings.{key_of_record}",
        found=f"{_written(value, allowed[0].unit)} for {part.ref} as {role}",
        expected=f"{_written(allowed[0].low, allowed[0].unit)} to {_written(allowed[0].high, allowed[0].unit)}",
        fix="check the unit in the key and the decimal point, then the role",
        inputs=(part.roles, key, value),
    )


def _written(value: float, unit: str) -> str:
    if unit == "F":
        return farads(value)
    return ohms(value) if unit == "Ω" else recorded(value, unit)


CHECK = RecordCheck(RULE, run)
