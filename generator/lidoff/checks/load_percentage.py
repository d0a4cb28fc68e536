"""A stated load in percent must be that of the recorded currents."""

from collections.abc import Iterator

from lidoff.checks.amounts import computed, recorded
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.figures.rows import measured
from lidoff.rule import Rule

RULE = Rule(
    id="load-percentage",
    title="The load in percent agrees with the currents",
    severity="warning",
    scope="record",
    why=(
        "The four loads of the average are told apart by their percentage. Where it does not agree with the measured "
        "current and the current that 100 % stands for, a row is in the wrong place of the average, or one of the "
        "three numbers has a slip."
    ),
    source="a definition, it needs no source; the 5 points allowed: common practice, no source",
    formula=r"\left| 100 \frac{I_o}{I_{base}} - p \right| > 5",
)

ALLOWED_POINTS = 5.0


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for rows whose percentage is not that of their currents."""
    for place, row in enumerate(measured(subject.record).efficiency):
        if row.load_pct is None or row.load_base_a is None:
            continue
        load = 100 * row.output_a / row.load_base_a
        if abs(load - row.load_pct) > ALLOWED_POINTS:
            at = f"measured.efficiency[{place}]"
            yield Notice(
                field=f"{at}.load_pct",
                found=f"load_pct {row.load_pct:g}, where {recorded(row.output_a, 'A')} of "
                f"{recorded(row.load_base_a, 'A')} make {computed(load, '%')}",
                expected=f"a percentage within {ALLOWED_POINTS:g} points of the currents",
                fix="correct load_pct, output_a or load_base_a, whichever is wrong",
                related=(("", f"{at}.output_a"), ("", f"{at}.load_base_a")),
                inputs=(row.load_pct, row.output_a, row.load_base_a),
            )


CHECK = RecordCheck(RULE, run)
