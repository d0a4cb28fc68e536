"""Records -> the bodies that a board carries: footprints in millimetres, heights, the zone they belong to."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

PRIMARY, ACROSS, SECONDARY = "primary", "across", "secondary"

# common practice, no source: where the parts of a charger follow each other from the mains (0) to the output (1)
FLOW = {
    "mains-contact": 0.0, "fuse": 0.05, "fusible-resistor": 0.05, "inrush-thermistor": 0.12, "varistor": 0.12,
    "x-capacitor": 0.25, "x-discharge-resistor": 0.25, "common-mode-choke": 0.35, "differential-mode-choke": 0.5,
    "bridge-rectifier": 0.5, "input-film-capacitor": 0.6, "pfc-inductor": 0.75, "pfc-controller": 0.6,
    "pfc-switch": 0.6, "pfc-diode": 0.65, "bulk-capacitor": 0.7, "low-line-bulk-capacitor": 0.7, "bleed-resistor": 0.7,
    "primary-controller": 0.75, "gate-driver": 0.8, "primary-switch": 0.9, "primary-high-side-switch": 0.85,
    "clamp-switch": 0.95, "clamp-diode": 0.95, "clamp-capacitor": 1.0, "clamp-resistor": 1.0, "clamp-suppressor": 1.0,
    "resonant-capacitor": 0.95, "resonant-inductor": 0.95, "auxiliary-diode": 0.8, "auxiliary-capacitor": 0.85,
    "auxiliary-regulator": 0.8, "low-line-switch": 0.7, "thermal-cut-off": 0.1, "spark-gap": 0.15,
}  # fmt: skip
SECOND = {
    "sync-rectifier": 0.1, "sync-rectifier-controller": 0.15, "rectifier-diode": 0.1, "snubber-capacitor": 0.1,
    "snubber-resistor": 0.1, "output-capacitor": 0.4, "output-inductor": 0.6, "feedback-regulator": 0.4,
    "dc-dc-controller": 0.3, "dc-dc-converter": 0.3, "dc-dc-switch": 0.4, "dc-dc-inductor": 0.5,
    "dc-dc-capacitor": 0.6, "protocol-controller": 0.6, "power-sharing-controller": 0.6, "vbus-switch": 0.8,
    "vbus-discharge": 0.8, "cc-protection": 0.9, "esd-array": 0.9, "surge-suppressor": 0.9, "e-marker": 0.9,
    "output-connector": 1.0, "thermistor": 0.7, "indicator": 0.9, "display": 0.9, "crystal": 0.6, "memory": 0.6,
    "bias-regulator": 0.5,
}  # fmt: skip
BRIDGING = {"transformer", "optocoupler", "isolator"}

CHIPS = {
    "0201": (0.6, 0.3), "0402": (1.0, 0.5), "0603": (1.6, 0.8), "0805": (2.0, 1.25), "1206": (3.2, 1.6),
    "1210": (3.2, 2.5), "1812": (4.5, 3.2), "2010": (5.0, 2.5), "2512": (6.3, 3.2),
}  # fmt: skip
# length with leads, width, height; nominal sizes of common outlines, from memory
OUTLINES = {
    "SO-4": (7.0, 4.4, 2.0), "SO-7": (6.0, 4.9, 1.7), "SO-8": (6.0, 4.9, 1.7), "SO-14": (6.0, 8.7, 1.7),
    "SO-16": (6.0, 9.9, 1.7), "SSOP-10": (6.0, 4.9, 1.7), "LSOP-4": (10.2, 4.5, 2.2), "LSOP-8": (10.2, 8.6, 2.2),
    "DIP-7": (8.2, 9.4, 3.6), "DIP-8": (8.2, 9.4, 3.6), "SOT-23": (2.5, 2.9, 1.1), "SOT-23-6": (2.8, 2.9, 1.2),
    "SOT-89": (4.1, 4.5, 1.5), "SOD-123": (3.7, 1.6, 1.1), "SMA": (5.0, 2.6, 2.2), "SMB": (5.4, 3.6, 2.3),
    "SMC": (7.9, 5.9, 2.3), "TO-252": (9.9, 6.6, 2.3), "TOLL": (11.7, 9.9, 2.3), "TO-220": (10.2, 4.6, 15.0),
    "TO-220F": (10.2, 4.7, 15.0), "TO-247": (15.9, 5.0, 20.0), "MBS": (6.8, 4.9, 2.5), "ABS": (6.6, 5.2, 1.6),
    "DBS": (10.0, 8.2, 3.2), "KBP": (14.5, 3.6, 11.0), "GBU": (22.0, 3.6, 18.0),
}  # fmt: skip
CONNECTORS = {"usb-c": (8.9, 7.4, 3.2), "usb-a": (13.2, 10.2, 5.7)}
ON_WIRES = {"block", "disc", "box", "radial", "snap-in", "toroid", "bobbin", "axial", "cartridge", "DIP-7", "DIP-8",
            "TO-220", "TO-220F", "TO-247", "KBP", "GBU", "inlet", "usb-a", "usb-c"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Item:
    """One line of the parts table as bodies: ``count`` of them side by side, each ``long`` by ``wide`` by ``tall``."""

    ref: str
    role: str
    family: str
    long: float
    wide: float
    tall: float
    side: str
    zone: str
    flow: float
    count: int = 1
    lines: tuple[str, ...] = ()
    state: str = "none"
    lying: bool = False
    polymer: bool = False
    turns_core: str = ""

    @property
    def through_hole(self) -> bool:
        """Whether its leads come out on the other side."""
        return self.family in ON_WIRES


def items_of(record: Mapping, board: Mapping) -> tuple[Item, ...]:
    """The parts that the record places on one board, in the record's order."""
    limit = board.get("parts_height_mm") or 99.0
    parts = [part for part in record["components"] if part.get("board") == board["id"] and part.get("side")]
    return tuple(item for part in parts for item in _items(record, board, part, limit))


def fillers_of(record: Mapping, board: Mapping) -> tuple[Item, ...]:
    """Small chips that the record does not list, as on any board; none where it claims to list every part."""
    if (record.get("coverage") or {}).get("parts") == "every":
        return ()
    items = items_of(record, board)
    taken = {part["ref"] for part in record["components"]}
    flat = [item for item in items if not item.through_hole and item.family not in CHIPS]
    made: list[Item] = []
    for item in flat:
        for letter, role in (("R", "resistor"), ("C", "capacitor"), ("R", "resistor")):
            ref = next(f"{letter}{number}" for number in range(31, 99) if f"{letter}{number}" not in taken)
            taken.add(ref)
            size = ("0603", 1.6, 0.8) if len(made) % 2 else ("0402", 1.0, 0.5)
            zone = item.zone if item.zone != ACROSS else SECONDARY
            made.append(Item(ref, role, *size, 0.6, item.side, zone, item.flow))
    return tuple(made)


def _items(record: Mapping, board: Mapping, part: Mapping, limit: float) -> Sequence[Item]:
    role = part["roles"][0]
    size = _size(record, part, limit)
    if size is None:
        return ()
    family, long, wide, tall = size
    marking = part.get("marking") or {}
    ratings = part.get("ratings") or {}
    lying = family in ("radial", "snap-in") and long != wide
    core = next(
        (one.get("core", {}).get("family", "") for one in record.get("magnetics", []) if one["ref"] == part["ref"]), ""
    )
    zone = _zone(role, part, board)
    flow = SECOND.get(role, 0.5) if zone == SECONDARY else FLOW.get(role, 0.6)
    side = "top" if part["side"] == "edge" else part["side"]
    return (
        Item(part["ref"], role, family, long, wide, tall, side, zone, flow, part.get("quantity", 1),
             tuple(marking.get("lines", ())), marking.get("state", "none"), lying,
             "polymer" in str(ratings.get("chemistry", "")), core),
    )  # fmt: skip


def _zone(role: str, part: Mapping, board: Mapping) -> str:
    if role in BRIDGING or (role == "y-capacitor" and part.get("across", "primary-secondary") == "primary-secondary"):
        return ACROSS
    if role in FLOW:
        return PRIMARY
    if role in SECOND or board.get("role") in ("secondary", "output"):
        return SECONDARY
    return PRIMARY


def _size(record: Mapping, part: Mapping, limit: float) -> tuple[str, float, float, float] | None:
    package = part.get("package")
    role = part["roles"][0]
    if not package:
        return _unpackaged(record, part, role)
    if package in CHIPS:
        return (package, *CHIPS[package], 0.6 if package < "1206" else 1.0)
    if package in OUTLINES:
        return (package, *OUTLINES[package])
    family = package.split()[0]
    numbers = [float(one) for one in re.findall(r"\d+(?:\.\d+)?", package.split()[-1])]
    return (family, *_measures(family, numbers, limit))


def _measures(family: str, numbers: Sequence[float], limit: float) -> tuple[float, float, float]:
    if family in ("radial", "snap-in"):
        across, high = numbers[:2]
        return (high, across, across) if high > limit else (across, across, high)
    if family == "toroid":
        across, thick = numbers[:2]
        return (across, thick, across) if across <= limit else (across, across, thick)
    if family == "disc":
        return (numbers[0], numbers[1], numbers[0] + 2)
    if family == "cartridge":
        return (numbers[1] + 2, numbers[0] + 1, numbers[0] + 1)
    if family == "axial":
        return (numbers[1] + 4, numbers[0], numbers[0])
    return (numbers[0], numbers[1], numbers[2] if len(numbers) > 2 else 1.0)


def _unpackaged(record: Mapping, part: Mapping, role: str) -> tuple[str, float, float, float] | None:
    if role == "output-connector":
        kind = _connector(record, part)
        return None if kind not in CONNECTORS else (kind, *CONNECTORS[kind])
    if role == "mains-contact":
        return ("inlet", 15.0, 18.0, 16.0)
    return None


def ports_of(record: Mapping, part: Mapping) -> list[str]:
    """The ports of a connector: its own, those that its note names, or those of its kind that no other part claims."""
    ports = {port["id"]: port["connector"] for port in record["ports"]}
    named = [part.get("port", ""), *re.findall(r"[A-Z]+\d+", part.get("note", ""))]
    known = [name for name in dict.fromkeys(named) if name in ports]
    if known:
        return known
    kind = "usb-a" if re.search(r"-A\d", part.get("part_number", "")) else "usb-c"
    return [name for name, one in ports.items() if one == kind][: part.get("quantity", 1)] or list(ports)[:1]


def _connector(record: Mapping, part: Mapping) -> str:
    ports = {port["id"]: port["connector"] for port in record["ports"]}
    return ports[ports_of(record, part)[0]]
