"""Shares of power against the rating and against what a port gives alone."""

from collections.abc import Iterator

from lidoff.checks.captures import amount, listed
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.label_offers import largest_offer_w
from lidoff.figures.label import rated_power_w
from lidoff.record.model.label import Port
from lidoff.rule import Rule

RULE = Rule(
    id="sharing-sums",
    title="Shares of power add up to no more than the rating",
    severity="warning",
    scope="record",
    why=(
        "The ports together give at most the rated power, and a port beside others no more than the label promises "
        "for it alone. More than the rating under load is a note: a supply has reserves."
    ),
    formula="sum of the shares ≤ rated power + 0.5 W for each port; single share ≤ largest output of the port + 1 W",
    source="Lidoff's own decision",
)

ROUNDING = 0.5
FIX = "correct the shares or the rated power; where both are right, answer it"
FIX_OF_LOADED = "check both; a supply may well give more than its rating"


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for sums above the rating, then for single shares of the label, row by row."""
    record = subject.record
    rated = rated_power_w(record)
    for number, row in enumerate(record.port_sharing or ()):
        total = sum(row.ports.values())
        if rated is not None and total > rated + ROUNDING * len(row.ports):
            shares = listed([f"{port} {amount(power, 'W')}" for port, power in row.ports.items()])
            yield Notice(
                field=f"port_sharing[{number}].ports",
                found=f"{shares}, together {amount(total, 'W')}",
                expected=f"at most the rated {amount(rated, 'W')}",
                fix=FIX_OF_LOADED if row.basis == "loaded" else FIX,
                severity="note" if row.basis == "loaded" else None,
                inputs=(rated, *row.ports.items()),
            )
        for port in record.ports if row.basis == "label" else ():
            alone, share = _alone_w(port), row.ports.get(port.id, 0.0)
            if 0 < alone < share - 2 * ROUNDING:
                yield Notice(
                    field=f"port_sharing[{number}].ports.{port.id}",
                    found=f"{amount(share, 'W')} at {port.id} beside other ports",
                    expected=f"at most {amount(alone, 'W')}, the largest output of {port.id} on the label",
                    fix="correct the share or the label's offers; where both are right, answer it",
                    inputs=(share, alone),
                )


def _alone_w(port: Port) -> float:
    """The largest output of a port on the label; 0 where the label leaves open how large one of them is."""
    open_ended = any(o.kind == "proprietary" and not (o.voltage_v and o.current_a) for o in port.label)
    return 0.0 if open_ended else largest_offer_w(port)


CHECK = RecordCheck(RULE, run)
