"""The state in which a port was captured."""

from collections.abc import Iterator

from lidoff.checks.captures import Seen
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.rule import Rule

RULE = Rule(
    id="capture-state",
    title="Each capture is of one state of the product, and of a state of its own",
    severity="warning",
    scope="record",
    why=(
        "What a port advertises depends on the other ports and the cable. A capture that is said to be alone and "
        "beside another port, or beside itself, cannot be used. Two captures of one sample in one state are a note, "
        "unless a remark says what else differed: one of them was probably taken in another state."
    ),
    source="Lidoff's own decision",
)


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for states that contradict themselves, and for states that were captured twice."""
    first: dict[tuple[object, ...], Seen] = {}
    for seen in subject.captures:
        capture = seen.capture
        if capture.alone and capture.beside:
            yield Notice(
                field=f"{seen.field}.alone",
                found=f"alone: true with {', '.join(capture.beside)} in use",
                expected="either alone or beside others",
                fix="take alone or beside away",
                related=(("", f"{seen.field}.beside"),),
                inputs=(capture.alone, capture.beside),
            )
        if seen.port.id in capture.beside:
            yield Notice(
                field=f"{seen.field}.beside",
                found=f"{seen.port.id} beside itself",
                expected="the other ports that were in use",
                fix=f"take {seen.port.id} out of the list",
                inputs=(seen.port.id, capture.beside),
            )
        sample = capture.sample or next((one.id for one in subject.record.samples), None)
        state = (seen.port_field, capture.message, capture.cable, capture.alone, frozenset(capture.beside), sample)
        earlier = first.setdefault(state, seen)
        if earlier is not seen and None not in (capture.cable, capture.alone) and not capture.note:
            yield _twice(earlier, seen)


def _twice(earlier: Seen, seen: Seen) -> Notice:
    same = seen.capture.words == earlier.capture.words
    return Notice(
        field=seen.field,
        found=f"the state of {earlier.field} again, with {'the same' if same else 'other'} words",
        expected="one capture a state",
        fix="take one away, correct cable, sample or the ports in use, or say in a note what else differed",
        severity="note",
        related=(("", earlier.field),),
        inputs=(*earlier.capture.words, *seen.capture.words),
    )


CHECK = RecordCheck(RULE, run)
