"""Average efficiency far below the published curve, where the measurement is not that of the test procedure."""

from collections.abc import Iterator

from lidoff.checks.amounts import recorded, values_behind
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.efficiency_limit import BEYOND_METERS_POINTS
from lidoff.checks.points import field_of, lines_of
from lidoff.engineering.rounding import round_places
from lidoff.engineering.supply_class import power_class
from lidoff.engineering.supply_limits import efficiency_limit
from lidoff.figures.efficiency import fullest
from lidoff.figures.figure import Figure
from lidoff.figures.label import rated_power_w
from lidoff.figures.points import PointRow
from lidoff.figures.show import corner_text, shown, written
from lidoff.rule import Rule

RULE = Rule(
    id="efficiency-far-below",
    title="Average efficiency is not far below the curve that the label's level stands for",
    severity="warning",
    scope="record",
    why=(
        "Where port, load or voltage are not those of the test procedure, no limit is set beside the average. Yet a "
        "supply that keeps level VI at its highest voltage is not much worse at the voltages between. An average at "
        "the connector more than 5 points below the curve, at half the rated power or more, is a slip in a power or a "
        "current, or worth a word in the record. Averages that have a limit are left to the rule on it."
    ),
    source=(
        "10 CFR 430.32(w)(1)(ii), level VI, for the curve, figures seen second-hand; the 5 points and the half of the "
        "rated power: common practice, no source"
    ),
    formula=r"\bar{\eta} + U < \eta_{VI} - 0.05",
)

AT_THE_UNIT = {"connector", "board"}
LEAST_SHARE = 0.5


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for averages without a limit that lie far below the curve."""
    label = subject.record.label
    if label is None or "efficiency-level-vi" not in (label.marks or ()):
        return
    judged = {limit.of for limit in subject.figures.present("efficiency_limit_pct")}
    for average in subject.figures.present("average_efficiency_pct"):
        if average.of not in judged and average.of in subject.series:
            yield from _judged(subject, average, fullest(subject.series[average.of]))


def _judged(subject: Subject, average: Figure, rows: list[PointRow]) -> Iterator[Notice]:
    record = subject.record
    current, rated = max(row.output_a for _, row in rows), rated_power_w(record)
    power = average.of.output_v * current
    if rated is None or power < LEAST_SHARE * rated or not {row.measured_at for _, row in rows} <= AT_THE_UNIT:
        return
    kind = "multiple-voltage" if len(record.ports) > 1 else power_class(average.of.output_v, current)
    limit = efficiency_limit(power, kind, "us-level-vi")
    if limit is None:
        return
    curve, spread = 100 * limit.efficiency, average.expanded_uncertainty or 0.0
    gap = average.value + spread - curve
    if gap < -BEYOND_METERS_POINTS:
        points = written(round_places(curve - average.value, 1))
        yield Notice(
            field=field_of(*rows[0], "input_w"),
            found=(
                f"{shown(average).text} on average at {corner_text(average.of)}, "
                f"{points} points below the curve of level VI"
            ),
            expected=(
                f"no more than {recorded(BEYOND_METERS_POINTS, 'points')} below the "
                f"{written(round_places(curve, 1))} % for {written(round_places(power, 0))} W, "
                "though the procedure tests otherwise"
            ),
            fix="check powers, currents and the place of measurement; if the values stand, explain them in answered",
            inputs=(*values_behind(average), rated, curve),
            places=lines_of(subject, *(row for _, row in rows)),
        )


CHECK = RecordCheck(RULE, run)
