"""What the pictures show, in words for those who cannot see them."""

from collections.abc import Mapping, Sequence

from board import seen
from items import ACROSS, PRIMARY, SECONDARY
from layout import Layout, Placed

_NAMES = {
    "mains-contact": "the mains inlet", "fuse": "the fuse", "fusible-resistor": "the fusible resistor",
    "inrush-thermistor": "the inrush thermistor", "varistor": "the varistor", "x-capacitor": "the X capacitor",
    "common-mode-choke": "the common-mode choke", "bridge-rectifier": "the bridge rectifier",
    "bulk-capacitor": "the bulk capacitor", "pfc-inductor": "the boost inductor", "pfc-switch": "the boost switch",
    "primary-controller": "the primary controller", "primary-switch": "the primary switch",
    "transformer": "the transformer", "y-capacitor": "the Y capacitor", "optocoupler": "the optocoupler",
    "sync-rectifier": "the synchronous rectifier", "output-capacitor": "the output capacitor",
    "protocol-controller": "the protocol controller", "dc-dc-inductor": "the output inductor",
    "vbus-switch": "the output switch", "output-connector": "the USB receptacle",
    "pfc-controller": "the boost controller", "gate-driver": "the gate driver",
    "dc-dc-controller": "the output controller", "dc-dc-converter": "the output converter",
}  # fmt: skip
_COUNTS = {2: "two", 3: "three", 4: "four", 5: "five", 6: "six"}
MOST = 4


def millimetres(board: Mapping) -> str:
    """Size in words."""
    return " by ".join(f"{edge:g}" for edge in board["size_mm"]) + " mm"


def product_name(record: Mapping) -> str:
    """Brand and model."""
    return f"{record['product']['brand']} {record['product']['model']}"


def board_alt(record: Mapping, board: Mapping, side: str, layout: Layout) -> str:
    """A side of a board: what stands at the left, in the middle and at the right."""
    parts = seen(layout, side)
    role = {"main": "main board", "control": "control board", "output": "output board"}.get(
        board.get("role", ""), "second board"
    )
    which = "upper" if side == "top" else "lower"
    start = f"Drawing of the {which} side of the {role} of the {product_name(record)}, {millimetres(board)}"
    groups = _groups(parts, side, layout)
    if not groups:
        return f"{start}: solder joints and no parts."
    joined = "; ".join(groups)
    joints = " Solder joints of the parts on the other side stand between them." if side == "bottom" else ""
    return f"{start}: {joined}.{joints}"


def _groups(parts: Sequence[Placed], side: str, layout: Layout) -> list[str]:
    if layout.barrier is None:
        named = _named(parts)
        return [named] if named else []
    left, right = ("left", "right") if side == "top" else ("right", "left")
    said = (
        (PRIMARY, f"on the mains side at the {left} "), (ACROSS, "across the gap "),
        (SECONDARY, f"on the output side at the {right} "),
    )  # fmt: skip
    found = [(start, _named([one for one in parts if one.item.zone == zone])) for zone, start in said]
    return [start + names for start, names in found if names]


def _named(parts: Sequence[Placed]) -> str:
    counts: dict[str, int] = {}
    largest = sorted(parts, key=lambda one: -one.rect.width * one.rect.height)
    for one in largest:
        if one.item.role in _NAMES:
            ref = f"{one.item.role}|{one.item.ref}"
            counts[ref] = counts.get(ref, 0) + one.item.count
    names = [_one_name(*ref.split("|"), number) for ref, number in list(counts.items())[:MOST]]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}" if names else ""


def _one_name(role: str, ref: str, number: int) -> str:
    name = _NAMES[role]
    if number == 1:
        return f"{name} {ref}"
    return f"{_COUNTS.get(number, str(number))} {name.removeprefix('the ')}s {ref}"


def casing_alt(record: Mapping) -> str:
    """The three views of a casing."""
    ports = [
        port.get("printed_name", port["id"]) for port in record["ports"] if not port["connector"].startswith("captive")
    ]
    size = " by ".join(f"{edge:g}" for edge in record["measured"]["body_mm"]["size"]) + " mm"
    sockets = (
        f"the end with the sockets {', '.join(ports)}"
        if len(ports) > 1
        else f"the end with the socket {ports[0]}"
        if ports
        else "the end with the cord"
    )
    if record["product"]["kind"] in ("outlet", "extension-lead"):
        front = f"its front with sockets for the mains and, at the right, {', '.join(ports)}; a long side and an end"
    else:
        front = f"its largest face with the brand, a long side with the seam, and {sockets}"
    return f"Drawing of the closed {product_name(record)}, {size}, to scale: {front}."


def label_alt(record: Mapping) -> str:
    """The rating label; its text stands in the record."""
    marks = [name for mark, name in (("class-ii", "the double square of class II"),
                                     ("efficiency-level-vi", "the numeral VI"),
                                     ("indoor-use", "the house for indoor use"), ("weee-bin", "the crossed-out bin"))
             if mark in (record["label"].get("marks") or ())]  # fmt: skip
    under = (
        f", below it {' and '.join((', '.join(marks[:-1]), marks[-1])) if len(marks) > 1 else marks[0]}"
        if marks
        else ""
    )
    return (
        f"Drawing of the rating label of the {product_name(record)} with the text that the record gives "
        f"in full{under}. Marks of approval are left out."
    )
