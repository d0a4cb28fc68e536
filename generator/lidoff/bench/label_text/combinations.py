"""What stands behind C1+C2: a power for each port, one for all of them, or outputs that they share."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product

from lidoff.bench.label_text.judge import full_power, offers_of, power_fault, rounding_w
from lidoff.bench.label_text.ledger import Together, port_id
from lidoff.bench.label_text.phrases import Mark, Output, Phrase, PortName, Ports, Power
from lidoff.bench.label_text.reading import Combination
from lidoff.record.model.label import Offer

_BODY = (Power, Output, Mark)
_SHARED_APART = ("/", ";", ",", "|", "·")


@dataclass(frozen=True, slots=True)
class Said:
    """What was read behind the names, and how many phrases it took. ``fault`` says why it can't be told."""

    length: int
    powers_w: tuple[float, ...] = ()
    together_w: float | None = None
    offers: tuple[Offer, ...] = ()
    fault: str = ""


def said_of(ports: Ports, following: Sequence[Phrase]) -> Said:
    """What the phrases after the names of a combination say of it."""
    names = [name for term in ports.terms for name in term]
    if len(set(names)) < len(names):
        return _fault(following, "a port that is named twice")
    lead = 0
    while lead < len(following) and _is_mark(following[lead], ")", "]", ":"):
        lead += 1
    body = following[lead:]
    said = _listed(ports, body) or _summed(ports, body) or _shared(body)
    fault = "ports together without a power" if said is None else said.fault
    return _fault(following, fault) if fault else replace(said, length=said.length + lead)


def combinations_of(ports: Ports, said: Said, end: int) -> list[Together]:
    """One combination for each choice among alternatives."""
    found = []
    for names in product(*ports.terms):
        combination = Combination(tuple(map(port_id, names)), said.powers_w, said.together_w, said.offers)
        found.append(Together(names, combination, ports.start, end))
    return found


def _fault(following: Sequence[Phrase], reason: str) -> Said:
    """All that may belong to the combination, as not understood."""
    length = 0
    while length < len(following) and isinstance(following[length], _BODY) and not _is_total(following[length]):
        length += 1
    while length and isinstance(following[length - 1], Mark) and following[length - 1].sign not in (")", "]"):
        length -= 1
    return Said(length, fault=reason)


def _is_total(phrase: Phrase) -> bool:
    return isinstance(phrase, Power) and bool(phrase.lead)


def _listed(ports: Ports, following: Sequence[Phrase]) -> Said | None:
    """C1 45W, C2 20W."""
    wanted = [term[0] for term in ports.terms]
    found: dict[PortName, float] = {}
    at = 0
    while at + 1 < len(following) and len(found) < len(wanted):
        name, power = following[at], following[at + 1]
        is_pair = isinstance(name, Ports) and not name.is_combination and isinstance(power, Power) and not power.lead
        if not is_pair or name.terms[0][0] not in wanted or power_fault(power.quantity):
            return None
        found[name.terms[0][0]] = power.quantity.high
        at += 2
        if len(found) < len(wanted) and at < len(following) and isinstance(following[at], Mark):
            at += 1
    if len(found) < len(wanted) or any(len(term) > 1 for term in ports.terms):
        return None
    return Said(at, tuple(found[name] for name in wanted))


def _summed(ports: Ports, following: Sequence[Phrase]) -> Said | None:
    """45W+20W, or one power for all."""
    powers, at = _powers(following)
    if not powers:
        return None
    fault = next((fault for power in powers if (fault := power_fault(power.quantity))), "")
    if fault or _goes_on(following, at, len(powers) == len(ports.terms)):
        return Said(at, fault=fault or "several powers that no plus sign joins, or more than powers")
    watts = tuple(power.quantity.high for power in powers)
    if len(watts) == 1 and powers[0].each:
        return Said(at, watts * len(ports.terms))
    if len(watts) == 1:
        return Said(at, together_w=watts[0])
    if len(watts) != len(ports.terms):
        return Said(at, fault=f"{len(watts)} powers for {len(ports.terms)} ports")
    together, at = _bracketed(following, at)
    if together is not None and abs(together - sum(watts)) > 0.5 * len(watts):
        return Said(at, fault="powers that do not add up to the one in brackets")
    return Said(at, watts, together)


def _powers(following: Sequence[Phrase]) -> tuple[list[Power], int]:
    """Powers with plus signs between them, and the place behind them."""
    powers: list[Power] = []
    at = 0
    while at < len(following) and isinstance(following[at], Power) and not following[at].lead:
        powers.append(following[at])
        at += 1
        more = following[at : at + 2]
        if len(more) < 2 or not _is_mark(more[0], "+") or not isinstance(more[1], Power):
            break
        at += 1
    return powers, at


def _bracketed(following: Sequence[Phrase], at: int) -> tuple[float | None, int]:
    power = following[at] if at < len(following) else None
    if isinstance(power, Power) and power.bracketed and not power_fault(power.quantity):
        return power.quantity.high, at + 1
    return None, at


def _goes_on(following: Sequence[Phrase], at: int, is_full: bool) -> bool:
    """Whether a plus sign, or a further power or output in the same item, follows.

    Where each port has its power (``is_full``), a power that stands apart from the sum is another matter.
    """
    rest = list(following[at : at + 2])
    if not rest or _is_mark(rest[0], "+"):
        return bool(rest)
    if is_full and isinstance(rest[0], Power):
        return False
    if isinstance(rest[0], Mark):
        rest = rest[1:]
    is_power = bool(rest) and isinstance(rest[0], Power) and not rest[0].lead and not rest[0].bracketed
    return is_power or (bool(rest) and isinstance(rest[0], Output))


def _shared(following: Sequence[Phrase]) -> Said | None:
    """5V⎓3A for all ports together."""
    offers: list[Offer] = []
    at, output = 0, None
    while at < len(following) and isinstance(following[at], Output):
        output = following[at]
        found = offers_of(output, None)
        if isinstance(found, str):
            return Said(at, fault=found)
        offers += found
        at += 1
        more = following[at : at + 2]
        if len(more) == 2 and _is_mark(more[0], *_SHARED_APART) and isinstance(more[1], Output):
            at += 1
    if output is None:
        return None
    if at < len(following) and _is_mark(following[at], "+"):
        return Said(at, fault="voltages and currents joined by a plus sign: the record takes powers")
    if at < len(following) and isinstance(following[at], Power) and not following[at].lead:
        power = following[at].quantity
        if len(offers) > 1 or power_fault(power) or abs(full_power(offers[0]) - power.high) > rounding_w(output, power):
            return Said(at, fault="a power that is not voltage times current")
        return Said(at + 1, together_w=power.high, offers=tuple(offers))
    return Said(at, offers=tuple(offers))


def _is_mark(phrase: Phrase, *signs: str) -> bool:
    return isinstance(phrase, Mark) and phrase.sign in signs
