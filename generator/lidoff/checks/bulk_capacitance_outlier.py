"""Bulk capacitance for each watt far from that of comparable products."""

from collections.abc import Iterator, Sequence

from lidoff.checks.amounts import computed, rounded, values_behind
from lidoff.checks.check import CollectionCheck, Gist, Notice
from lidoff.checks.ratings import boosted
from lidoff.checks.tiers import tier_name
from lidoff.engineering.statistics_robust import median, robust_z
from lidoff.figures.figure import Figure
from lidoff.figures.label import rated_power_w
from lidoff.figures.show import shown
from lidoff.rule import Rule

RULE = Rule(
    id="bulk-capacitance-outlier",
    title="Bulk capacitance for each watt is near that of comparable products",
    severity="note",
    scope="collection",
    why=(
        "Products of one power tier, with a boost stage or without one, carry similar bulk capacitance for each watt. "
        "One far from the middle of the others may be an unusual design, a range for high mains only, or a capacitor "
        "missed or misread. It is a reason to look and no fault. The products are no random sample, and several may "
        "be one design, so nothing is said below 8 of them."
    ),
    source=(
        "B. Iglewicz and D. C. Hoaglin, How to detect and handle outliers, 1993, modified z-score, bound of 3.5 (from "
        "memory); the groups: common practice, no source"
    ),
    formula=r"z_i = \frac{x_i - m}{1.4826 \cdot \text{median} |x_i - m|}, \quad |z_i| > 3.5",
)

FEWEST = 8
FAR = 3.5

Member = tuple[Gist, Figure]


def run(subjects: Sequence[Gist]) -> Iterator[tuple[str, Notice]]:
    """Notices for products far from the middle of their group."""
    groups: dict[tuple[str, bool], list[Member]] = {}
    for subject in subjects:
        power, is_boosted = rated_power_w(subject.record), boosted(subject.record)
        ratios = subject.figures.present("bulk_uf_per_w")
        if power is not None and is_boosted is not None and ratios:
            groups.setdefault((tier_name(power, subject.tiers_w), is_boosted), []).append((subject, ratios[-1]))
    for (tier, is_boosted), members in groups.items():
        if len(members) >= FEWEST:
            yield from _outliers(f"{tier} {'with' if is_boosted else 'without'} a boost stage", members)


def _outliers(group: str, members: Sequence[Member]) -> Iterator[tuple[str, Notice]]:
    values = [ratio.value for _, ratio in members]
    distances = robust_z(values)
    if distances is None:
        return
    middle = median(values)
    for (subject, ratio), distance in zip(members, distances, strict=True):
        if abs(distance) > FAR:
            yield (
                subject.path,
                Notice(
                    field=ratio.inputs[0].field,
                    found=f"{shown(ratio).text}, {rounded(abs(distance), 2)} robust standard deviations "
                    f"{'above' if distance > 0 else 'below'} the median",
                    expected=f"about {computed(middle, 'µF/W')}, the median of {len(members)} products {group}",
                    fix="check the capacitors' print and number, and rated_power_w; if they stand, leave them",
                    inputs=values_behind(ratio),
                ),
            )


CHECK = CollectionCheck(RULE, run)
