"""A capture with its state -> the record of its port, with everything else in the file left as it is."""

import difflib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from lidoff.bench.capture_text import Capabilities
from lidoff.finding import Finding, has_error
from lidoff.record.edit import EditError, inserted
from lidoff.record.load import load_text
from lidoff.record.model import Record
from lidoff.record.model.label import Capture
from lidoff.record.schema import field_schema

_SHORT = 3
"""Names of so few letters are all alike."""
CABLES: Sequence[str] = field_schema("ports[0].advertised[0].cable")["enum"]


@dataclass(frozen=True, slots=True)
class State:
    """What a capture depends on: the port, the ports in use beside it, the cable; and on what it was taken.

    ``alone`` is None where nothing is known of the other ports.
    """

    port: str
    alone: bool | None = None
    beside: tuple[str, ...] = ()
    cable: str | None = None
    sample: str | None = None
    instrument: str | None = None


@dataclass(frozen=True, slots=True)
class Entered:
    """The record's new text, and the fields that the captures now stand at."""

    content: bytes
    fields: tuple[str, ...]


class RefusedCapture(Exception):
    """The capture can't be put into the record: found, expected and fix, and the record's own errors if it has any."""

    def __init__(self, found: str, expected: str, fix: str, findings: tuple[Finding, ...] = ()) -> None:
        super().__init__(f"found     {found}\nexpected  {expected}\nfix       {fix}")
        self.findings = findings


def entered(content: bytes, path: str, state: State, capabilities: Sequence[Capabilities]) -> Entered:
    """The record with the capabilities at their port; raises RefusedCapture where they can't or mustn't go there."""
    loaded = load_text(content, path)
    if loaded.record is None or has_error(loaded.findings):
        fix = "correct these errors first, then try again"
        raise RefusedCapture(f"errors in {path}", "a record without errors", fix, loaded.findings)
    record = loaded.record
    place = _known(state.port, "port", [port.id for port in record.ports])
    _check_names(state, record)
    _check_capabilities(capabilities)
    items = [_item(one, state) for one in capabilities]
    known = record.ports[place].advertised or ()
    for item in items:
        _refuse_twice(item, known, place)
    field = f"ports[{place}].advertised"
    try:
        changed = inserted(content, field, items)
    except EditError as error:
        raise RefusedCapture(str(error), "a place for the capture", "write it into the record by hand") from error
    after = load_text(changed, path)
    if has_error(after.findings):
        fix = "write the capture by hand"
        raise RefusedCapture("a record that would have errors", "a sound record", fix, after.findings)
    return Entered(changed, tuple(f"{field}[{len(known) + number}]" for number in range(len(items))))


def _check_names(state: State, record: Record) -> None:
    ports = [port.id for port in record.ports]
    if state.alone and state.beside:
        raise RefusedCapture("--alone and --beside", "one of them", "leave --alone out if another port was in use")
    for name in state.beside:
        _known(name, "port", ports)
    if state.port in state.beside:
        fix = f"take {state.port} out of --beside"
        raise RefusedCapture(f"{state.port} beside itself", "the other ports in use", fix)
    if len(set(state.beside)) < len(state.beside):
        raise RefusedCapture(f"--beside {','.join(state.beside)}", "each port once", "name each port once")
    if state.cable is not None:
        _known(state.cable, "cable", CABLES)
    if state.sample is not None:
        _known(state.sample, "sample", [sample.id for sample in record.samples])
    if state.instrument is not None:
        _known(state.instrument, "instrument", [one.id for one in record.instruments])


def _known(name: str, kind: str, names: Sequence[str]) -> int:
    """The place of a name among those that there are."""
    if name in names:
        return list(names).index(name)
    near = difflib.get_close_matches(name, names, n=1)
    if near and len(name) > _SHORT:
        fix = f"write {near[0]}"
    else:
        fix = "write one of these" if kind == "cable" else f"correct the name, or add the {kind} to the record first"
    expected = f"one of {', '.join(names)}" if names else f"a {kind} in the record"
    raise RefusedCapture(f"the {kind} {name}", expected, fix)


def _check_capabilities(capabilities: Sequence[Capabilities]) -> None:
    """One message of each sort: which of several was meant is not ours to say."""
    if not capabilities:
        expected = "a message Source_Capabilities or EPR_Source_Capabilities"
        fix = "give the part of the log with the source's capabilities"
        raise RefusedCapture("no capabilities of a source", expected, fix)
    for one in capabilities:
        if one.fault:
            found, fix = f"line {one.line}: {one.fault}", "capture it again, or give it alone"
            raise RefusedCapture(found, "a message that was captured whole", fix)
    for message in ("spr", "epr"):
        lines = [str(one.line) for one in capabilities if one.message == message]
        if len(lines) > 1:
            found = f"{len(lines)} different messages of kind {message}, in lines {', '.join(lines)}"
            raise RefusedCapture(found, "one state of the port", "give the lines of one message alone")


def _item(one: Capabilities, state: State) -> dict[str, object]:
    """The capture as the record has it; what is not known is left out."""
    item: dict[str, object] = {}
    if state.alone or state.beside:
        item["alone"] = not state.beside
    if state.beside:
        item["beside"] = list(state.beside)
    item |= {
        "cable": state.cable,
        "message": one.message,
        "sample": state.sample,
        "instrument": state.instrument,
        "words": list(one.words),
        "bytes": one.bytes or None,
    }
    return {key: value for key, value in item.items() if value is not None}
    return item


def _refuse_twice(item: dict[str, object], known: Iterable[Capture], place: int) -> None:
    wanted = {key: tuple(value) if isinstance(value, list) else value for key, value in item.items() if key != "bytes"}
    for number, capture in enumerate(known):
        if all(getattr(capture, key) == value for key, value in wanted.items()):
            found = f"the same capture at ports[{place}].advertised[{number}]"
            raise RefusedCapture(found, "a capture that is not there yet", "correct the state, or leave it as it is")
