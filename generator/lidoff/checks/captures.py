"""The captured messages of a record with their objects decoded, for every check that looks at USB PD."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache

from lidoff.engineering.usb_pd_messages import PositionedObject
from lidoff.engineering.usb_pd_objects import decode_source_object
from lidoff.engineering.usb_pd_offers import CURRENT_STEP, ROUNDING_ERROR
from lidoff.engineering.usb_pd_power import FixedPower
from lidoff.engineering.usb_pd_rules import EPR_POWER
from lidoff.engineering.usb_pd_supplies import (
    BatterySupply,
    EprAdjustableSupply,
    FixedSupply,
    ProgrammableSupply,
    ReservedSupply,
    SourceObject,
    SprAdjustableSupply,
    VariableSupply,
)
from lidoff.figures.ports import strongest_object
from lidoff.record.model import Record
from lidoff.record.model.label import Capture, Port

FIRST_EPR_POSITION = 8
HIGHEST_SPR_VOLTAGE = 21.0
SAME_VOLTAGE = 0.05
CARRIES_5A = frozenset(("emarked-5a", "emarked-epr", "captive"))
CARRIES_EPR = frozenset(("emarked-epr", "captive"))
TYPE_C = frozenset(("usb-c", "captive-usb-c"))


@dataclass(frozen=True, slots=True)
class Message:
    """The objects of one message, empty positions left out, and its strongest fixed one."""

    objects: tuple[PositionedObject, ...]
    strongest: FixedPower | None

    @property
    def power(self) -> float:
        """The largest fixed power; 0 where there is none."""
        return self.strongest.power if self.strongest else 0.0

    @property
    def rated(self) -> float:
        """The power that the strongest fixed object stands for: whole watts where its current is rounded up from them.

        12 V 1.67 A, 20.04 W, are 20 W; 9 V 2.5 A are 22.5 W.
        """
        whole = float(round(self.power))
        step = CURRENT_STEP * self.strongest.voltage if self.strongest else 0.0
        return whole if 0 <= self.power - whole <= step + ROUNDING_ERROR else self.power

    @property
    def has_power_rules(self) -> bool:
        """Whether the power rules know such a power at all."""
        return 0 < self.rated <= EPR_POWER


Word = tuple["Seen", PositionedObject, tuple[tuple[str, str], ...]]
"""An object where it stands first, with its other places."""


@dataclass(frozen=True, slots=True)
class Seen:
    """One capture: where it stands, its port, and what it says. ``alone`` is None where the record leaves it open."""

    field: str
    port_field: str
    port: Port
    capture: Capture
    message: Message
    alone: bool | None

    def at(self, position: int) -> str:
        """The field of the object at a position."""
        return f"{self.field}.words[{position - 1}]"

    @property
    def cable(self) -> str:
        """The cable as recorded, in words for a notice."""
        return self.capture.cable or "not recorded"


@lru_cache(maxsize=4096)
def message_of(words: tuple[str, ...]) -> Message:
    """A message decoded; equal ones are decoded once."""
    raw = [int(word, 16) for word in words]
    objects = tuple(PositionedObject(i, decode_source_object(word)) for i, word in enumerate(raw, 1) if word)
    return Message(objects, strongest_object(words))


def captures_of(record: Record) -> Iterator[Seen]:
    """Every capture of every port."""
    for place, port in enumerate(record.ports):
        for number, capture in enumerate(port.advertised or ()):
            field = f"ports[{place}].advertised[{number}]"
            message = message_of(capture.words)
            yield Seen(field, f"ports[{place}]", port, capture, message, _alone(record, capture))


def distinct_objects(captures: Iterable[Seen]) -> Iterator[Word]:
    """Every different object of each port and kind of message where it stands first, with its other places."""
    first: dict[tuple[str, str, int], tuple[Seen, PositionedObject]] = {}
    others: dict[tuple[str, str, int], list[tuple[str, str]]] = {}
    for seen in captures:
        for item in seen.message.objects:
            key = (seen.port_field, seen.capture.message, item.source_object.word)
            if key in first:
                others[key].append(("", seen.at(item.position)))
            else:
                first[key], others[key] = (seen, item), []
    for key, (seen, item) in first.items():
        yield seen, item, tuple(others[key])


def spoken(source_object: SourceObject) -> str:
    """What an object offers, in a few words.

    Examples
    --------
    >>> spoken(decode_source_object(0x00064145)), spoken(decode_source_object(0xC9A42141))
    ('20 V 3.25 A', 'PPS 3.3 to 21 V 3.25 A')
    """
    match source_object.supply:
        case FixedSupply(voltage=voltage, current=current):
            return f"{voltage:g} V {current:g} A"
        case ProgrammableSupply(voltage_max=high, voltage_min=low, current=current):
            return f"PPS {low:g} to {high:g} V {current:g} A"
        case SprAdjustableSupply(current_to_15v=to_15v, current_to_20v=0.0):
            return f"SPR AVS 9 to 15 V {to_15v:g} A"
        case SprAdjustableSupply(current_to_15v=to_15v, current_to_20v=to_20v):
            return f"SPR AVS 9 to 20 V {to_15v:g} A and {to_20v:g} A"
        case EprAdjustableSupply(voltage_max=high, voltage_min=low, power=power):
            return f"EPR AVS {low:g} to {high:g} V {power:g} W"
        case VariableSupply(voltage_max=high, voltage_min=low, current=current):
            return f"variable {low:g} to {high:g} V {current:g} A"
        case BatterySupply(voltage_max=high, voltage_min=low, power=power):
            return f"battery {low:g} to {high:g} V {power:g} W"
        case ReservedSupply():
            return f"0x{source_object.word:08X}, of a kind not yet defined"


def amount(value: float, unit: str) -> str:
    """A computed number to two decimals, with its unit.

    Examples
    --------
    >>> amount(20 / 9, "A"), amount(65.0, "W")
    ('2.22 A', '65 W')
    """
    return f"{round(value, 2):g} {unit}"


def listed(texts: Iterable[str], joined_by: str = "and") -> str:
    """Words as one list: a, b and c."""
    *before, last = texts
    return f"{', '.join(before)} {joined_by} {last}" if before else last


def _alone(record: Record, capture: Capture) -> bool | None:
    """Whether no other port was in use: as stated, by what stood beside, or because there is no other port."""
    if capture.alone is not None:
        return capture.alone
    if capture.beside:
        return False
    return True if len(record.ports) == 1 else None
