"""A stated load in percent must be that of the recorded currents."""

from collections.abc import Iterator

from lidoff.checks.amounts import computed, recorded
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.points import each_file_once, field_of, fields_of, lines_of, points
from lidoff.record.model.electrical import EfficiencyPoint
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
    yield from each_file_once(_found(subject))


def _found(subject: Subject) -> Iterator[tuple[EfficiencyPoint, Notice]]:
    for place, row in points(subject):
        if row.load_pct is None or row.load_base_a is None:
            continue
        load = 100 * row.output_a / row.load_base_a
        if abs(load - row.load_pct) > ALLOWED_POINTS:
            yield (
                row,
                Notice(
                    field=field_of(place, row, "load_pct"),
                    found=f"load_pct {row.load_pct:g}, where {recorded(row.output_a, 'A')} of "
                    f"{recorded(row.load_base_a, 'A')} make {computed(load, '%')}",
                    expected=f"a percentage within {ALLOWED_POINTS:g} points of the currents",
                    fix="correct load_pct, output_a or load_base_a, whichever is wrong",
                    related=fields_of(place, row, "output_a", "load_base_a"),
                    inputs=(row.load_pct, row.output_a, row.load_base_a),
                    places=lines_of(subject, row),
                ),
            )


CHECK = RecordCheck(RULE, run)
