"""Ratings lie within what a part of that role can have, by a wide margin."""

import csv
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
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
    for place, part in enumerate(subject.record.components):
        if part.ratings is not None:
            for key, allowed in bounds_of(part.roles).items():
                key_of_record, value = _rating(part.ratings, key)
                if value is not None and not any(one.low <= value <= one.high for one in allowed):
                    yield _notice(place, part, key, key_of_record, value, allowed)


@lru_cache(maxsize=1024)
def bounds_of(roles: tuple[str, ...]) -> Mapping[str, Sequence[Bounds]]:
    """What each rating of a part with these roles can be, role by role."""
    found: dict[str, list[Bounds]] = {}
    for role in roles:
        for key, bounds in bounds_by_role().get(role, {}).items():
            found.setdefault(key, []).append(bounds)
    return found


def _rating(ratings: Ratings, key: str) -> tuple[str, float | None]:
    """A rating with the key that it has in the record."""
    return (capacitance(ratings) or (key, None)) if key == CAPACITANCE else (key, getattr(ratings, key))


def _notice(
    place: int, part: Component, key: str, key_of_record: str, value: float, allowed: Sequence[Bounds]
) -> Notice:
    role = next(role for role in part.roles if key in bounds_by_role().get(role, ()))
    return Notice(
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
