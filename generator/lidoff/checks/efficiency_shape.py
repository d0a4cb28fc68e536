"""The loss of a supply rises with its load, and not faster than the load's square by far."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from lidoff.checks.amounts import computed, recorded
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.points import field_of, fields_of, lines_of
from lidoff.engineering.supply_efficiency import operating_point
from lidoff.engineering.uncertainty import expanded_uncertainty
from lidoff.figures.meters import power_spread
from lidoff.figures.points import PointRow
from lidoff.record.model import Record
from lidoff.record.model.electrical import EfficiencyPoint
from lidoff.rule import Rule

RULE = Rule(
    id="efficiency-shape",
    title="The measured losses of one voltage make a curve that a converter can have",
    severity="warning",
    scope="record",
    why=(
        "The loss of a converter has a constant part, a part that grows with the load and one that grows with its "
        "square; warming up adds to it. Between two points of the same mains and output voltage it may shrink where "
        "the converter changes its mode, but hardly by half, and it does not grow much faster than the square of the "
        "load. A pair of points that breaks this has most likely a wrong digit in one of them."
    ),
    source="common practice, no source",
    formula=r"0.5 L_1 \le L_2 \le 1.5 L_1 \left( \frac{P_2}{P_1} \right)^2",
)

LEAST_STEP = 1.1
LEAST_RATIO = 0.5
ALLOWANCE = 1.5


@dataclass(frozen=True, slots=True)
class Loss:
    """Output power and loss of one row, in watts."""

    place: int
    row: EfficiencyPoint
    output: float
    loss: float


def run(subject: Subject) -> Iterator[Notice]:
    """One notice for each curve that no converter has."""
    for corner in subject.series.values():
        for rows in corner:
            losses = sorted(_losses(rows), key=lambda one: one.output)
            odd = next((pair for pair in pairwise(losses) if _is_odd(subject.record, *pair)), None)
            if odd is not None:
                yield _notice(subject, *odd)


def _losses(rows: list[PointRow]) -> Iterator[Loss]:
    for place, row in rows:
        output = row.output_v * row.output_a
        if output > 0 and row.input_w > output:
            yield Loss(place, row, output, operating_point(row.output_v, row.output_a, row.input_w).loss)


def _is_odd(record: Record, lower: Loss, higher: Loss) -> bool:
    if higher.output < LEAST_STEP * lower.output:
        return False
    falls = LEAST_RATIO * lower.loss - higher.loss
    grows = higher.loss - ALLOWANCE * lower.loss * (higher.output / lower.output) ** 2
    excess = max(falls, grows)
    return excess > 0 and excess > expanded_uncertainty(_uncertainty(record, lower) + _uncertainty(record, higher))


def _uncertainty(record: Record, one: Loss) -> float:
    """Standard uncertainty of a loss; without recorded accuracy the shares themselves leave room enough."""
    spread = power_spread(record, one.row)
    return 0.0 if spread is None else spread.of_loss()


def _notice(subject: Subject, lower: Loss, higher: Loss) -> Notice:
    step = "falls" if higher.loss < lower.loss else "rises"
    return Notice(
        field=field_of(higher.place, higher.row, "input_w"),
        found=(
            f"the loss {step} from {computed(lower.loss, 'W')} at {computed(lower.output, 'W')} to "
            f"{computed(higher.loss, 'W')} at {computed(higher.output, 'W')}, {recorded(higher.row.mains_v, 'V')} mains"
        ),
        expected="a loss that rises with the load, at most with its square and half as much again",
        fix="compare both rows with the notes of the measurement; one of them has most likely a wrong digit",
        related=fields_of(lower.place, lower.row, "input_w"),
        inputs=tuple(value for one in (lower.row, higher.row) for value in (one.output_v, one.output_a, one.input_w)),
        places=lines_of(subject, lower.row, higher.row),
    )


CHECK = RecordCheck(RULE, run)
