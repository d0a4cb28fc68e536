"""The protocols of a port against what its captures show and what its connector can do."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lidoff.checks.captures import TYPE_C, Seen, listed
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.record.model.label import Port
from lidoff.rule import Rule

RULE = Rule(
    id="protocol-evidence",
    title="Protocols are those that captures and connector allow",
    severity="warning",
    scope="record",
    why=(
        "PPS, AVS and the extended range show in the captured messages: one that is listed and shows in none, or the "
        "reverse, is a note, as captures may be of one state only. So is a revision of USB PD that has no such "
        "object. USB Type-C current and USB PD need a USB Type-C connector: listed at another one, they are a "
        "warning."
    ),
    source=(
        "USB Power Delivery Specification: augmented objects since R3.0 (from memory), extended range since R3.1, "
        "AVS of the standard range since R3.2 (Linux kernel patch of October 2025); Type-C current: USB Type-C "
        "Specification"
    ),
)

SHOWN_BY = {"pps": "a PPS object", "spr-avs": "an SPR AVS object", "epr-avs": "an EPR AVS object"}
REVISIONS = {"usb-pd-2.0": 2.0, "usb-pd-3.0": 3.0, "usb-pd-3.1": 3.1, "usb-pd-3.2": 3.2}
SINCE = {"pps": 3.0, "epr": 3.1, "epr-avs": 3.1, "spr-avs": 3.2}
NEEDS_TYPE_C = frozenset(("type-c-default", "type-c-1.5a", "type-c-3a", *REVISIONS, *SINCE))


@dataclass(frozen=True, slots=True)
class _Shown:
    """What the captures of a port show."""

    captures: tuple[Seen, ...]
    kinds: frozenset[str]
    enters_epr: bool


def run(subject: Subject) -> Iterator[Notice]:
    """Notices port by port, where protocols are recorded at all."""
    captures: dict[str, list[Seen]] = {}
    for seen in subject.captures:
        captures.setdefault(seen.port_field, []).append(seen)
    for place, port in enumerate(subject.record.ports):
        field = f"ports[{place}]"
        if port.protocols is not None:
            yield from _connector(field, port)
            if field in captures:
                shown = _shown(captures[field])
                yield from _evidence(field, port.protocols, shown)
                yield from _revision(field, port.protocols, shown)


def _shown(captures: Sequence[Seen]) -> _Shown:
    objects = [item.source_object for seen in captures for item in seen.message.objects]
    enters = any(getattr(one.supply, "epr_capable", False) for one in objects)
    kinds = frozenset(one.kind for one in objects)
    return _Shown(tuple(captures), kinds, enters or any(seen.capture.message == "epr" for seen in captures))


def _connector(field: str, port: Port) -> Iterator[Notice]:
    strange = [name for name in port.protocols if name in NEEDS_TYPE_C]
    if strange and port.connector not in TYPE_C:
        yield Notice(
            field=f"{field}.protocols",
            found=f"{listed(strange)} at the connector {port.connector}",
            expected="a USB Type-C connector for these protocols",
            fix="correct the connector, or move the protocols to the port that speaks them",
            related=(("", f"{field}.connector"),),
            inputs=(port.connector, *strange),
        )


def _evidence(field: str, protocols: Sequence[str], shown: _Shown) -> Iterator[Notice]:
    """Protocols that captures show and the list does not have, and the reverse."""
    found = {name: name in shown.kinds for name in SHOWN_BY} | {"epr": shown.enters_epr}
    how = SHOWN_BY | {"epr": "a message of the extended range, or bit 23 of the first object"}
    for name, is_shown in found.items():
        if is_shown and name not in protocols:
            expected, fix = f"{name} among the protocols", f"add {name}, or correct the words"
            yield _note(field, f"no {name}, though {how[name]} was captured", expected, fix, shown)
        elif not is_shown and name in protocols and any(seen.alone for seen in shown.captures):
            expected, fix = "a capture that shows it", f"take {name} out, or add the capture"
            yield _note(field, f"{name}, and no capture shows {how[name]}", expected, fix, shown)
    if not any(name in REVISIONS for name in protocols):
        found, expected = "no revision of USB PD, though its messages were captured", "usb-pd-3.0 or another revision"
        yield _note(field, found, expected, "add the revision that the header of the message gives", shown)


def _revision(field: str, protocols: Sequence[str], shown: _Shown) -> Iterator[Notice]:
    """Objects that the newest listed revision does not have."""
    listed_revisions = [REVISIONS[name] for name in protocols if name in REVISIONS]
    newest = max(listed_revisions, default=None)
    kinds = shown.kinds | ({"epr"} if shown.enters_epr else frozenset())
    needed = [name for name, since in SINCE.items() if name in kinds and newest is not None and since > newest]
    if needed:
        since = max(SINCE[name] for name in needed)
        found, fix = f"usb-pd-{newest} with {listed(needed)} captured", "correct the revision, or the words"
        yield _note(field, found, f"usb-pd-{since} or later", fix, shown)


def _note(field: str, found: str, expected: str, fix: str, shown: _Shown) -> Notice:
    return Notice(
        field=f"{field}.protocols",
        found=found,
        expected=expected,
        fix=fix,
        severity="note",
        inputs=(found, *(seen.capture.words for seen in shown.captures)),
    )


CHECK = RecordCheck(RULE, run)
