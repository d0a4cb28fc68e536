"""Ratings of parts, and what a stress beside them is worth saying."""

from collections.abc import Iterable
from dataclasses import dataclass

from lidoff.checks.amounts import assumes, percent, recorded, values_behind
from lidoff.checks.check import Notice
from lidoff.engineering.observation import largest_observed
from lidoff.engineering.voltage_margin import voltage_margin
from lidoff.figures.bus import Part, is_boosted
from lidoff.figures.citation import dotted
from lidoff.figures.figure import Figure
from lidoff.figures.known import Absent
from lidoff.figures.show import shown
from lidoff.finding import Severity
from lidoff.record.model import Record
from lidoff.record.model.component import Component

WORTH_A_WORD = 0.10
"""Share of a rating that is left below which a stress is worth a word: a habit of design, never a limit."""
MEASURED = dotted(largest_observed)
"""The method of a stress that was measured and not computed."""


@dataclass(frozen=True, slots=True)
class Rating:
    """A rated voltage, the field it stands in, and the part."""

    field: str
    ref: str
    value: float


def voltage_rating(place: int, part: Component) -> Rating | None:
    """The rating that a peak is held against: the transient one where it is recorded."""
    for key in ("voltage_transient_v", "voltage_v"):
        value = getattr(part.ratings, key, None)
        if value is not None:
            return Rating(f"components[{place}].ratings.{key}", part.ref, value)
    return None


def with_any_role(record: Record, roles: Iterable[str]) -> list[Part]:
    """The components of any of the roles."""
    wanted = frozenset(roles)
    return [(place, part) for place, part in enumerate(record.components) if not wanted.isdisjoint(part.roles)]


def severity_of(rating: float, stress: float) -> Severity | None:
    """A warning above the rating, a note near to it, else nothing."""
    left = voltage_margin(rating, stress)
    return "warning" if left < 0 else "note" if left < WORTH_A_WORD else None


def boosted(record: Record) -> bool | None:
    """Whether a boost stage feeds the bus, None where the record leaves it open."""
    try:
        return is_boosted(record)
    except Absent:
        return None


def of_part(stresses: Iterable[Figure], port: str | None) -> Figure | None:
    """The highest stress that a part sees: one of a port counts for the parts of that port, and of no port."""
    mine = [one for one in stresses if one.of.port is None or port in (None, one.of.port)]
    return max(mine, key=lambda one: one.value, default=None)


def stress_notice(rating: Rating, stress: Figure, how: str, severity: Severity) -> Notice:
    """What is to be said of a part whose rating a computed stress reaches; one that rests on a guess is a note."""
    rests_on_guess = assumes(stress, "high_line_v", "boost_bus_v")
    how += ", an assumed spike included" if assumes(stress, "leakage_spike_ratio") else ""
    return Notice(
        field=rating.field,
        found=f"{rating.ref} sees {shown(stress).text} {how}: {percent(stress.value / rating.value)} of its rating",
        expected=f"a stress below the {recorded(rating.value, 'V')} that {rating.ref} is rated for",
        fix="check the rating, turns, the label's input and the kind of converter; add voltage_transient_v if known",
        severity="note" if rests_on_guess else severity,
        related=tuple(("", one.field) for one in stress.inputs[:4]),
        inputs=(rating.value, *values_behind(stress)),
    )
