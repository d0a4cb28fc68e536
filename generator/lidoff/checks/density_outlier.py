"""Power density far from that of comparable products."""

from collections.abc import Iterator, Sequence
from math import exp, log

from lidoff.checks.amounts import computed, values_behind
from lidoff.checks.check import CollectionCheck, Gist, Notice
from lidoff.checks.tiers import tier_name
from lidoff.engineering.statistics_robust import median, robust_z
from lidoff.figures.figure import Figure
from lidoff.figures.label import rated_power_w
from lidoff.figures.show import shown
from lidoff.rule import Rule

RULE = Rule(
    id="density-outlier",
    title="Power density is near that of comparable products",
    severity="note",
    scope="collection",
    why=(
        "Products of one kind and power tier are of similar size. One far from the middle of the others may be "
        "unusually small or large, or an edge or the rated power has a slip in it. Distances are taken of the "
        "logarithm, since densities differ by factors. It is a reason to look and no fault. The products are no "
        "random sample, and several may be one design, so nothing is said below 8 of them."
    ),
    source=(
        "B. Iglewicz and D. C. Hoaglin, How to detect and handle outliers, 1993, modified z-score (from memory); the "
        "bound of 4 and the groups: common practice, no source"
    ),
    formula=(
        r"|z_i| > 4, \quad z_i = \frac{x_i - m}{1.4826 \cdot \text{median} |x_i - m|}, "
        r"\quad x_i = \ln \frac{P_i}{V_i}"
    ),
)

FEWEST = 8
FAR = 4.0
SMALLEST_FACTOR = 1.5
"""In a group of near-equal sizes a small difference lies far from the middle; below this factor it is none."""

Member = tuple[Gist, Figure]


def run(subjects: Sequence[Gist]) -> Iterator[tuple[str, Notice]]:
    """Notices for products far from the middle of their kind and tier."""
    groups: dict[tuple[str, str], list[Member]] = {}
    for subject in subjects:
        power = rated_power_w(subject.record)
        densities = subject.figures.present("power_density_w_per_cm3")
        if power is not None and densities:
            group = (subject.record.product.kind, tier_name(power, subject.tiers_w))
            groups.setdefault(group, []).append((subject, densities[0]))
    for (kind, tier), members in groups.items():
        if len(members) >= FEWEST:
            yield from _outliers(f"products of the kind {kind} {tier}", members)


def _outliers(group: str, members: Sequence[Member]) -> Iterator[tuple[str, Notice]]:
    logarithms = [log(density.value) for _, density in members]
    distances = robust_z(logarithms)
    if distances is None:
        return
    middle = exp(median(logarithms))
    for (subject, density), distance in zip(members, distances, strict=True):
        factor = max(density.value / middle, middle / density.value)
        if abs(distance) > FAR and factor > SMALLEST_FACTOR:
            yield (
                subject.path,
                Notice(
                    field="measured.body_mm.size",
                    found=f"{shown(density).text}, {computed(abs(distance), '', 2).strip()} robust standard deviations "
                    f"{'above' if distance > 0 else 'below'} the median",
                    expected=f"something near {computed(middle, 'W/cm³')}, the median of {len(members)} {group}",
                    fix="check the edges of the body and rated_power_w; if they stand, leave them",
                    related=(("", "product.rated_power_w"),),
                    inputs=values_behind(density),
                ),
            )


CHECK = CollectionCheck(RULE, run)
