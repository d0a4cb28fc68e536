"""What a label promises at a port, beside what the port's captures show."""

import re
from collections.abc import Iterable, Iterator

from lidoff.checks.captures import CARRIES_5A, CARRIES_EPR, HIGHEST_SPR_VOLTAGE, SAME_VOLTAGE, TYPE_C, Seen
from lidoff.engineering.usb_pd_offers import ROUNDING_ERROR, cable_needed
from lidoff.engineering.usb_pd_supplies import EprAdjustableSupply, FixedSupply, ProgrammableSupply, SprAdjustableSupply
from lidoff.record.model import Record
from lidoff.record.model.label import Offer, Port

PRINTED_CURRENT = 0.05 + ROUNDING_ERROR
"""Labels print currents to one decimal or two: half of the last digit [A]."""
PRINTED_VOLTAGE = 0.15
_PD_IN_PRINT = re.compile(r"\bPD(?![a-z])|\bPower Delivery\b", re.IGNORECASE)


def on_label(offer: Offer) -> str:
    """What a label promises, in a few words.

    Examples
    --------
    >>> on_label(Offer(kind="fixed", voltage_v=20, current_a=3.25))
    '20 V 3.25 A'
    >>> on_label(Offer(kind="avs", voltage_min_v=9, voltage_max_v=15))
    'AVS 9 to 15 V'
    """
    parts = [{"fixed": "", "proprietary": offer.protocol or ""}.get(offer.kind, offer.kind.upper())]
    if offer.voltage_v is not None:
        parts.append(f"{offer.voltage_v:g} V")
    elif offer.voltage_min_v is not None and offer.voltage_max_v is not None:
        parts.append(f"{offer.voltage_min_v:g} to {offer.voltage_max_v:g} V")
    parts.append(f"{offer.current_a:g} A" if offer.current_a is not None else "")
    return " ".join(part for part in parts if part)


def claims_pd(record: Record, port: Port) -> bool:
    """Whether the label claims USB PD at a port: by a word, by a range that only PD has, or by voltages above 5 V.

    Voltages alone count only at a USB Type-C connector that no proprietary protocol is recorded for.
    """
    kinds = {offer.kind for offer in port.label}
    if kinds & {"pps", "avs"}:
        return True
    if port.connector not in TYPE_C:
        return False
    if record.label is not None and record.label.printed and _PD_IN_PRINT.search(record.label.printed):
        return True
    other = port.other_protocols or "proprietary" in kinds
    return not other and any(offer.kind == "fixed" and offer.voltage_v > 5.5 for offer in port.label)


def largest_offer_w(port: Port, kinds: frozenset[str] = frozenset(("fixed", "proprietary"))) -> float:
    """The largest power among a port's label offers with one voltage; 0 where there is none."""
    powers = (o.voltage_v * o.current_a for o in port.label if o.kind in kinds and o.voltage_v and o.current_a)
    return max(powers, default=0.0)


def suits(seen: Seen, offer: Offer) -> bool:
    """Whether a capture could have shown an offer: nothing else plugged in, and a cable made for it."""
    if not seen.alone:
        return False
    voltage = offer.voltage_max_v or offer.voltage_v or 5.0
    needed = cable_needed(voltage, offer.current_a or 0.0)
    cable = seen.capture.cable
    if needed == "epr-5a":
        return seen.capture.message == "epr" and cable in CARRIES_EPR
    return needed == "any" or cable in CARRIES_5A


def best_current(captures: Iterable[Seen], offer: Offer) -> float | None:
    """The largest captured current for an offer; None where no object covers its voltages."""
    supplies = {
        item.source_object.word: item.source_object.supply for seen in captures for item in seen.message.objects
    }
    found = (current for supply in supplies.values() if (current := _current_for(supply, offer)) is not None)
    return max(found, default=None)


def _current_for(supply: object, offer: Offer) -> float | None:
    match offer.kind, supply:
        case "fixed", FixedSupply():
            return supply.current if same_voltage(supply.voltage, offer.voltage_v) else None
        case "pps", ProgrammableSupply():
            return supply.current if supply.voltage_max >= offer.voltage_max_v - PRINTED_VOLTAGE else None
        case "avs", EprAdjustableSupply():
            covers = supply.voltage_max >= offer.voltage_max_v - PRINTED_VOLTAGE > HIGHEST_SPR_VOLTAGE
            return supply.power / supply.voltage_min if covers and supply.voltage_min else None
        case "avs", SprAdjustableSupply():
            if offer.voltage_max_v > HIGHEST_SPR_VOLTAGE:
                return None
            ends_at_15v = offer.voltage_max_v <= 15 + PRINTED_VOLTAGE
            return supply.current_to_15v if ends_at_15v else supply.current_to_20v or None
    return None


def same_voltage(captured: float, printed: float) -> bool:
    """Whether a captured fixed voltage is a printed one."""
    return abs(captured - printed) <= SAME_VOLTAGE * printed


def offers_of(record: Record) -> Iterator[tuple[str, Port, Offer]]:
    """Every offer of every label, with its field and its port."""
    for place, port in enumerate(record.ports):
        for number, offer in enumerate(port.label):
            yield f"ports[{place}].label[{number}]", port, offer
