"""Average efficiency against the published minimum, where the measurement is that of the test procedure."""

from collections.abc import Iterator

from lidoff.checks.amounts import values_behind
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.engineering.rounding import round_places
from lidoff.figures.figure import Figure
from lidoff.figures.show import corner_text, shown, written
from lidoff.rule import Rule

RULE = Rule(
    id="efficiency-limit",
    title="Average efficiency is not below the published minimum",
    severity="warning",
    scope="record",
    why=(
        "The mean of the four efficiencies is set beside the minimum for its class and nameplate power, but only "
        "where port, load, mains and connection are those of the test procedure; else nothing is judged. Below by "
        "more than the expanded uncertainty of the instruments is a warning, within it the comparison is not decided. "
        "Where no accuracy is recorded, only what is more than 5 points below is a warning. It is one unit on the "
        "reviewer's instruments and no compliance test."
    ),
    source=(
        "10 CFR 430.32(w)(1)(ii), level VI, figures seen second-hand, tested after 10 CFR 430 subpart B appendix Z; "
        "Regulation (EU) 2019/1782, Annex II point 1(b), low-voltage row from memory; the 5 points: "
        "common practice, no source"
    ),
    formula=r"\bar{\eta} + U < \eta_{min}",
)

BEYOND_METERS_POINTS = 5.0
"""What no meter that is fit for such a measurement is off, whatever its accuracy."""
HEDGE = "one unit, our instruments, not a compliance test"


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for averages below their limit or too near to it to tell."""
    limits = {limit.of: limit for limit in subject.figures.present("efficiency_limit_pct")}
    for average in subject.figures.present("average_efficiency_pct"):
        limit = limits.get(average.of)
        if limit is not None:
            yield from _judged(average, limit)


def _judged(average: Figure, limit: Figure) -> Iterator[Notice]:
    gap, spread = average.value - limit.value, average.expanded_uncertainty
    if gap >= 0 and (spread is None or gap > spread):
        return
    is_below = gap < -(BEYOND_METERS_POINTS if spread is None else spread)
    points = f"{written(round_places(abs(gap), 2))} points {'below' if gap < 0 else 'above'} the published curve"
    why = "the accuracy of the instruments is not recorded" if spread is None else "that is within the uncertainty"
    decided = "" if is_below else f"; not decided, because {why}"
    row = average.inputs[0].field.rpartition(".")[0]
    yield Notice(
        field=row,
        found=f"{shown(average).text} on average at {corner_text(average.of)}, {points}{decided}",
        expected=f"{shown(limit).text} or more, the published minimum for this nameplate power; {HEDGE}",
        fix="check loads, connection and instruments; if the values stand, leave them and explain in answered",
        severity=None if is_below else "note",
        inputs=(*values_behind(average, limit), limit.value),
    )


CHECK = RecordCheck(RULE, run)
