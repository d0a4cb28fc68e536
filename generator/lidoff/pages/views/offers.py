"""Power data objects in words: what one offers, and what a whole message comes to."""

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

from lidoff.engineering.usb_pd_objects import decode_source_object
from lidoff.engineering.usb_pd_supplies import (
    BatterySupply,
    EprAdjustableSupply,
    FixedSupply,
    ProgrammableSupply,
    ReservedSupply,
    SprAdjustableSupply,
    Supply,
    VariableSupply,
)
from lidoff.pages.numbers import quantity, span
from lidoff.pages.wording import listed

EMPTY = 0
CACHED = 4096  # most chargers offer the same few dozen objects
FLAGS = (
    ("dual_role_power", "can also draw power"),
    ("usb_suspend_supported", "follows USB suspend"),
    ("unconstrained_power", "has unconstrained power"),
    ("usb_communications", "has USB data"),
    ("dual_role_data", "can swap its data role"),
    ("unchunked_extended_messages", "takes long messages in one piece"),
    ("epr_capable", "can enter the extended power range"),
)


class Offered(NamedTuple):
    """One object of a message: its position, its word and what it says; texts are empty where it says no such thing.

    ``brief`` is the offer in a few words.
    """

    position: int
    word: str
    kind: str
    voltage: str
    current: str
    power: str
    brief: str = ""
    supply: Supply | None = None


@lru_cache(maxsize=CACHED)
def offered(position: int, word: str) -> Offered:
    """One object, decoded."""
    raw = int(word, 16)
    if raw == EMPTY:
        return Offered(position, word, "empty position", "", "", "")
    supply = decode_source_object(raw).supply
    kind, voltage, current, power = _texts(supply)
    name = "" if isinstance(supply, FixedSupply) else kind
    brief = " ".join(filter(None, (name, voltage, current or power)))
    return Offered(position, word, kind, voltage, current, power, brief, supply)


def _texts(supply: Supply) -> tuple[str, str, str, str]:
    """Kind, voltage, current and power of an offer in words."""
    match supply:
        case FixedSupply(voltage=voltage, current=current):
            return "fixed", quantity(voltage, "V"), quantity(current, "A"), quantity(round(voltage * current, 4), "W")
        case ProgrammableSupply(voltage_max=high, voltage_min=low, current=current, power_limited=is_limited):
            return "PPS", span(low, high, "V"), quantity(current, "A"), "limited at the upper end" if is_limited else ""
        case SprAdjustableSupply(current_to_15v=to_15v, current_to_20v=to_20v):
            if not to_20v:
                return "SPR AVS", span(9, 15, "V"), quantity(to_15v, "A"), ""
            steps = f"{quantity(to_15v, 'A')} to 15\u00a0V, {quantity(to_20v, 'A')} above"
            return "SPR AVS", span(9, 20, "V"), steps, ""
        case EprAdjustableSupply(voltage_max=high, voltage_min=low, power=power):
            return "EPR AVS", span(low, high, "V"), "", quantity(power, "W")
        case VariableSupply(voltage_max=high, voltage_min=low, current=current):
            return "variable", span(low, high, "V"), quantity(current, "A"), ""
        case BatterySupply(voltage_max=high, voltage_min=low, power=power):
            return "battery", span(low, high, "V"), "", quantity(power, "W")
        case ReservedSupply():
            return "kind that no edition defines", "", "", ""


def message(words: Sequence[str]) -> tuple[Offered, ...]:
    """Every object of a capabilities message, by position."""
    return tuple(offered(position, word) for position, word in enumerate(words, 1))


def summary(objects: Iterable[Offered]) -> str:
    """A message in one sentence."""
    briefs = [one.brief for one in objects if one.supply is not None]
    return f"{listed(briefs)}." if briefs else "No offer at all."


def flags(objects: Sequence[Offered]) -> str:
    """What the first object says of the port beside its voltage; empty where it says nothing."""
    first = objects[0].supply if objects else None
    if not isinstance(first, FixedSupply):
        return ""
    said = [text for name, text in FLAGS if getattr(first, name)]
    return f"By the flags of its first data object, the port {listed(said)}." if said else ""


def fixed_voltages(objects: Iterable[Offered]) -> frozenset[float]:
    """The fixed voltages of a message."""
    return frozenset(one.supply.voltage for one in objects if isinstance(one.supply, FixedSupply))
