"""Where a product stands among the others of its power tier."""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import log

from lidoff.engineering.statistics_robust import robust_z
from lidoff.entry import Entry
from lidoff.figures.catalogue import KINDS
from lidoff.figures.points import with_sweeps
from lidoff.impact.change import Standing
from lidoff.impact.stock import Counts, Said
from lidoff.rows.measured_values import efficiency_at
from lidoff.rows.tiers import tier_label

FEWEST = 5
"""Fewer values than this have a rank and no distance from the middle."""

FULL_LOAD_PCT = 100.0


@dataclass(frozen=True, slots=True)
class _Measure:
    """A value that products of a tier are ranked by."""

    name: str
    unit: str
    value: Callable[[Entry], float | None]


def _figure(figure_id: str) -> _Measure:
    return _Measure(KINDS[figure_id].title, KINDS[figure_id].unit, lambda entry: entry.figures.value(figure_id))


MEASURES = (
    _figure("power_density_w_per_cm3"),
    _figure("bulk_uf_per_w"),
    _Measure(
        "Efficiency at full load, 220 to 240 V mains", "%",
        lambda entry: efficiency_at(with_sweeps(entry.record, entry.logs), FULL_LOAD_PCT),
    ),
)  # fmt: skip


def places_said(entry: Entry, tiers_w: Sequence[float]) -> Iterator[Said]:
    """The values that a published product is ranked by, under its tier and the measure."""
    tier = tier_label(entry.record.product.rated_power_w, tiers_w)
    for measure in MEASURES:
        value = measure.value(entry)
        if value is not None:
            yield _topic(tier, measure), repr(value)


def standings(
    entry: Entry, is_published: bool, said: Callable[[str], Counts], tiers_w: Sequence[float]
) -> tuple[Standing, ...]:
    """The product's place by each measure among the published products of its tier, itself included.

    ``said`` are the values of the published products under each topic.
    """
    tier = tier_label(entry.record.product.rated_power_w, tiers_w)
    found = []
    for measure in MEASURES:
        value = measure.value(entry)
        if value is not None:
            counts = Counter(said(_topic(tier, measure)))
            counts[repr(value)] -= is_published
            others = [float(text) for text, count in counts.items() for _ in range(count)]
            found.append(_standing(measure, value, others, tier))
    return tuple(found)


def _topic(tier: str, measure: _Measure) -> str:
    return f"rank\0{tier}\0{measure.name}"


def _standing(measure: _Measure, value: float, others: Sequence[float], tier: str) -> Standing:
    values = (value, *others)
    rank = 1 + sum(1 for other in others if other > value)
    return Standing(measure.name, value, measure.unit, tier, rank, len(values), _distance(values))


def _distance(values: Sequence[float]) -> float | None:
    """Robust z-score of the first value's logarithm: such values differ by factors."""
    if len(values) < FEWEST or min(values) <= 0:
        return None
    distances = robust_z([log(value) for value in values])
    return None if distances is None else distances[0]
