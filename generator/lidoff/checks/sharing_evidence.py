"""Shares of power against the captures and the label's shares of the same state."""

from collections.abc import Iterator

from lidoff.checks.captures import Seen, amount, listed
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.engineering.usb_pd_offers import CURRENT_STEP
from lidoff.record.model.label import Sharing
from lidoff.rule import Rule

RULE = Rule(
    id="sharing-evidence",
    title="Shares of power are those of the captures they come from",
    severity="warning",
    scope="record",
    why=(
        "Shares that are said to come from captured objects have to be found in a capture of that port with those "
        "others in use. More under load than the label's share in the same state is a note: a supply may give more "
        "than it says."
    ),
    formula="P = V I of the strongest fixed object, within 0.5 W and one step of 10 mA",
    source="Lidoff's own decision",
)

ROUNDING = 0.5


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for shares that no capture shows, and for loads above the label's share."""
    rows = subject.record.port_sharing or ()
    captures = subject.captures if rows else ()
    printed = {frozenset(row.ports): (number, row) for number, row in enumerate(rows) if row.basis == "label"}
    for number, row in enumerate(rows):
        field = f"port_sharing[{number}].ports"
        if row.basis == "pd-words":
            yield from _against_captures(field, row, captures)
        elif row.basis == "loaded" and frozenset(row.ports) in printed:
            yield from _against_label(field, row, *printed[frozenset(row.ports)])


def _against_captures(field: str, row: Sharing, captures: list[Seen]) -> Iterator[Notice]:
    """A capture counts where at least the other ports of the row were in use."""
    for port, power in row.ports.items():
        others = set(row.ports) - {port}
        fitting = [seen for seen in captures if seen.port.id == port and _is_beside(seen, others)]
        if fitting and not any(_agrees(seen, power) for seen in fitting):
            shown = listed(dict.fromkeys(amount(seen.message.rated, "W") for seen in fitting))
            state = f"{listed(sorted(others))} in use" if others else "nothing else in use"
            yield Notice(
                field=f"{field}.{port}",
                found=f"{amount(power, 'W')} at {port} from captured objects",
                expected=f"{shown}, as captured with {state}",
                fix="correct the share, or add the capture that it comes from",
                related=tuple(("", seen.field) for seen in fitting),
                inputs=(power, *(seen.capture.words for seen in fitting)),
            )


def _is_beside(seen: Seen, others: set[str]) -> bool:
    return seen.message.strongest is not None and (others <= set(seen.capture.beside) if others else seen.alone is True)


def _agrees(seen: Seen, power: float) -> bool:
    allowed = ROUNDING + CURRENT_STEP * seen.message.strongest.voltage
    return abs(seen.message.power - power) <= allowed


def _against_label(field: str, row: Sharing, place: int, printed: Sharing) -> Iterator[Notice]:
    for port, power in row.ports.items():
        if power > printed.ports[port] + 2 * ROUNDING:
            yield Notice(
                field=f"{field}.{port}",
                found=f"{amount(power, 'W')} under load at {port}",
                expected=f"{amount(printed.ports[port], 'W')}, its share on the label",
                fix="check both figures; a supply may well give more than its label says",
                severity="note",
                related=(("", f"port_sharing[{place}].ports.{port}"),),
                inputs=(power, printed.ports[port]),
            )


CHECK = RecordCheck(RULE, run)
