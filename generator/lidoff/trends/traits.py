"""What a design is recognised by: traits of a record, each with its weight when two designs are compared."""

from collections.abc import Iterator, Mapping
from functools import cache
from typing import Literal, NamedTuple

from lidoff.record.gist import PartGist, RecordGist
from lidoff.record.model.component import Component
from lidoff.record.sketch import PartSketch, Readable
from lidoff.rows.designs import folded

Kind = Literal["certificate", "print", "maker", "part", "core", "structure"]

# Common practice, no source: a number that an authority gave to one maker's file, and the print on a board, tell one
# design from another; a catalogue part tells the less the more designs could use it.
CERTIFICATE_WEIGHT = 4.0
PRINT_WEIGHT = 4.0
MAKER_WEIGHT = 1.5
CORE_WEIGHT = 1.0
STRUCTURE_WEIGHT = 0.5
PART_WEIGHTS: Mapping[str, float] = {
    "primary-controller": 3.0, "pfc-controller": 3.0, "protocol-controller": 2.0, "power-sharing-controller": 2.0,
    "sync-rectifier-controller": 2.0, "dc-dc-controller": 2.0, "dc-dc-converter": 2.0, "primary-switch": 2.0,
    "pfc-switch": 2.0, "primary-high-side-switch": 2.0, "clamp-switch": 1.5, "sync-rectifier": 1.5, "isolator": 1.5,
    "pfc-diode": 1.0, "optocoupler": 1.0, "vbus-switch": 1.0, "dc-dc-switch": 1.0, "bulk-capacitor": 1.0,
}  # fmt: skip
OTHER_PART_WEIGHT = 0.5
DOUBTFUL = frozenset(("unidentified", "brand-claim"))
# what a role's word with spaces for its hyphens is not yet
WRITTEN = (
    ("dc dc", "DC-DC"), ("pfc", "PFC"), ("vbus", "VBUS"), ("sync ", "synchronous "), ("common mode", "common-mode"),
    ("power sharing", "power-sharing"), ("high side", "high-side"), ("low line", "low-line"),
    ("x capacitor", "X capacitor"), ("y capacitor", "Y capacitor"), ("x discharge", "X discharge"),
)  # fmt: skip


class Trait(NamedTuple):
    """One trait. ``aspect`` is what it answers; a record that says nothing on an aspect is not compared by it.

    ``value`` is compared, ``words`` are shown.
    """

    kind: Kind
    aspect: str
    value: str
    words: str
    weight: float


def traits(record: Readable | RecordGist) -> tuple[Trait, ...]:
    """All traits of a record, each once."""
    return tuple(dict.fromkeys((*_on_the_outside(record), *_of_the_boards(record), *_of_the_parts(record))))


def _on_the_outside(record: Readable | RecordGist) -> Iterator[Trait]:
    label = record.label
    if label is None:
        return
    for one in label.certificates or ():
        yield Trait("certificate", "certificates", folded(one.number), f"certificate {one.number}", CERTIFICATE_WEIGHT)
    if label.manufacturer:
        name = label.manufacturer
        yield Trait("maker", "label manufacturer", folded(name), f"manufacturer {name} on the label", MAKER_WEIGHT)


def _of_the_boards(record: Readable | RecordGist) -> Iterator[Trait]:
    for board in record.boards:
        if board.silkscreen:
            role = board.role or "board"
            words = f"print {board.silkscreen} on the {role} board"
            yield Trait("print", f"print, {role} board", folded(board.silkscreen), words, PRINT_WEIGHT)


def _of_the_parts(record: Readable | RecordGist) -> Iterator[Trait]:
    for part in record.components:
        if part.part_number and part.identified_by not in DOUBTFUL and part.strength != "guess":
            role = _first_role(part)
            called = f"{part.maker} {part.part_number}" if part.maker else part.part_number
            weight = PART_WEIGHTS.get(role, OTHER_PART_WEIGHT)
            words = f"{called} as {role_words(role)}"
            yield Trait("part", role, folded(called), words, weight)
    for item in record.magnetics:
        if item.core and item.core.size:
            core = f"{item.core.family} {item.core.size}"
            yield Trait("core", f"core of {item.ref}", folded(core), f"core {core} in {item.ref}", CORE_WEIGHT)
    conversion = record.conversion
    for aspect in ("pfc", "primary", "secondary", "per_port") if conversion else ():
        word = getattr(conversion, aspect)
        if word:
            called = role_words(aspect.replace("_", "-"))
            yield Trait("structure", called, word, f"{called}: {word.replace('-', ' ')}", STRUCTURE_WEIGHT)


def _first_role(part: Component | PartGist | PartSketch) -> str:
    """The role that weighs most: a controller with the switch inside is compared as a controller."""
    return max(part.roles, key=lambda role: PART_WEIGHTS.get(role, OTHER_PART_WEIGHT))


@cache
def role_words(role: str) -> str:
    """A role as people write it."""
    words = role.replace("-", " ")
    for plain, written in WRITTEN:
        words = words.replace(plain, written)
    return words
