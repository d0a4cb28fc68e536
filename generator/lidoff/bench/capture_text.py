"""A log with USB PD in it -> every object and message in it, and the source's capabilities as a record keeps them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from lidoff.bench.capture_lines import Passed, Piece, read_lines
from lidoff.bench.pd_texts import read_pd_texts
from lidoff.bench.pd_words import Facts, hexadecimal
from lidoff.engineering.usb_pd_objects import decode_source_object
from lidoff.engineering.usb_pd_supplies import EprAdjustableSupply, FixedSupply

SPR_POSITIONS = 7
EPR_POSITIONS = 11
_FIRST_VOLTAGE = 5.0
_HIGHEST_SPR_VOLTAGE = 20.0
_INSIDE = ("request", "data-object")
"""Kinds of facts that stand for a part of a message, as all those with a position do."""
_NAMES = {"Source_Capabilities": "spr", "EPR_Source_Capabilities": "epr"}


@dataclass(frozen=True, slots=True)
class Capabilities:
    """One capabilities message: its words by position, empty ones as zero, and its bytes where these were in the log.

    ``fault`` says why it must not be kept.
    """

    message: str
    words: tuple[str, ...]
    line: int
    bytes: str = ""
    fault: str = ""


@dataclass(frozen=True, slots=True)
class CaptureReading:
    """A log read. Each message that was sent several times stands once among the ``capabilities``."""

    facts: tuple[Facts, ...]
    capabilities: tuple[Capabilities, ...]
    passed: tuple[Passed, ...]


def read_capture_text(text: str) -> CaptureReading:
    """What a log says, line by line; each fact has the ``line`` that it stands in."""
    pieces, passed = read_lines(text)
    reading = read_pd_texts([f"0x{one.digits}" if one.kind == "object" else one.digits for one in pieces])
    wrong = {fault.text: fault for fault in reading.faults}
    passed += tuple(Passed(one.line, wrong[one.digits].found) for one in pieces if one.digits in wrong)
    kept = [one for one in pieces if one.digits not in wrong]
    facts = tuple(_placed(reading.facts, kept))
    found = [*_of_messages(facts, kept), *_of_objects(kept)]
    found.sort(key=lambda one: one.line)
    return CaptureReading(facts, _each_once(found), tuple(sorted(passed, key=lambda one: one.line)))


def _placed(facts: Sequence[Facts], pieces: Sequence[Piece]) -> Iterator[Facts]:
    """The facts with their lines and, for objects that stood by themselves, the positions that the log gives them."""
    waiting = iter(pieces)
    piece = None
    for one in facts:
        is_inside = one["kind"] in _INSIDE or "position" in one
        piece = piece if is_inside else next(waiting)
        position = {} if piece.position is None else {"position": piece.position}
        yield one | position | {"line": piece.line}


def _of_messages(facts: Sequence[Facts], pieces: Sequence[Piece]) -> Iterator[Capabilities]:
    """Capabilities that came as bytes; a long message in several pieces is one."""
    contents = iter([one.digits for one in pieces if one.kind == "message"])
    begun: list[str] = []
    faulty = False
    for at, one in enumerate(facts):
        if one["kind"] != "message":
            continue
        content = next(contents)
        name = _NAMES.get(one["message"])
        if name is None or one.get("request_chunk"):
            continue
        if not one.get("chunk_number"):
            begun, faulty = [], False
        begun.append(content)
        faulty = faulty or one["checksum_ok"] is False
        if one.get("complete", True):
            words = {fact["position"]: fact["word"] for fact in _objects_behind(facts, at)}
            fault = "a checksum that is wrong" if faulty else ""
            yield _capabilities(name, words, one["line"], _as_bytes(begun, one["checksum_ok"]), fault)


def _objects_behind(facts: Sequence[Facts], at: int) -> Iterator[Facts]:
    """The objects of the message at a place."""
    for one in facts[at + 1 :]:
        if one["kind"] == "message" or one["line"] != facts[at]["line"]:
            return
        yield one


def _as_bytes(contents: Sequence[str], checksum_ok: bool | None) -> str:
    """The bytes of the message; several pieces can be told apart by their checksums alone."""
    if len(contents) > 1 and checksum_ok is None:
        return ""
    return bytes.fromhex("".join(contents)).hex(" ").upper()


def _of_objects(pieces: Sequence[Piece]) -> Iterator[Capabilities]:
    """Capabilities whose objects stand in the log one by one."""
    for (kind, _), below in groupby(pieces, key=lambda one: (one.kind, one.heading)):
        if kind == "object":
            for group in _groups(list(below)):
                yield _of_group(group)


def _groups(pieces: Sequence[Piece]) -> Iterator[list[Piece]]:
    """The objects of one message each: a new one begins where positions start again, or with a fixed one of 5 V."""
    group: list[Piece] = []
    for one in pieces:
        last = group[-1] if group else None
        if last is not None and _restarts(last, one):
            yield group
            group = []
        group.append(one)
    if group:
        yield group


def _restarts(last: Piece, one: Piece) -> bool:
    if one.position is None or last.position is None:
        return (one.position is None) != (last.position is None) or _is_first(one.digits)
    return one.position <= last.position


def _of_group(group: Sequence[Piece]) -> Capabilities:
    placed = all(one.position is not None for one in group)
    words = {one.position if placed else number: f"0x{one.digits}" for number, one in enumerate(group, 1)}
    is_extended = group[0].extended or max(words) > SPR_POSITIONS
    found = _capabilities("epr" if is_extended else "spr", words, group[0].line)
    if not found.fault and any(_is_extended(word) for word in found.words[:SPR_POSITIONS]):
        return replace(found, fault="an object of the extended range before position 8: give the positions")
    return found


def _capabilities(message: str, words: dict[int, str], line: int, content: str = "", fault: str = "") -> Capabilities:
    ordered = tuple(words.get(position, hexadecimal(0)) for position in range(1, max(words, default=0) + 1))
    most = EPR_POSITIONS if message == "epr" else SPR_POSITIONS
    if not ordered or len(ordered) > most:
        fault = fault or f"{len(ordered)} objects, where 1 to {most} are expected"
    elif not _is_first(ordered[0][2:]):
        fault = fault or f"{ordered[0]} as the first object, where a fixed one of 5 V is expected"
    return Capabilities(message, ordered, line, content, fault)


def _is_first(digits: str) -> bool:
    """Whether an object is the fixed one of 5 V that comes first in every message."""
    supply = decode_source_object(int(digits, 16)).supply
    return isinstance(supply, FixedSupply) and supply.voltage == _FIRST_VOLTAGE


def _is_extended(word: str) -> bool:
    """Whether an object may stand in the extended range alone."""
    supply = decode_source_object(int(word, 16)).supply
    if isinstance(supply, FixedSupply):
        return supply.voltage > _HIGHEST_SPR_VOLTAGE
    return isinstance(supply, EprAdjustableSupply)


def _each_once(found: Sequence[Capabilities]) -> tuple[Capabilities, ...]:
    """Each message once, sound ones before faulty ones of the same words, with the bytes where any has them."""
    first: dict[tuple[str, tuple[str, ...]], Capabilities] = {}
    for one in found:
        key = (one.message, one.words)
        known = first.get(key)
        if known is None or (known.fault and not one.fault) or (one.bytes and not known.bytes and not one.fault):
            first[key] = one
    return tuple(first.values())
