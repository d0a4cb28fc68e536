"""What happens in a walk at a voltage, a current, a frequency or a power."""

from lidoff.bench.label_text.judge import LOWEST_MAINS, offers_of, power_fault, power_of, spent
from lidoff.bench.label_text.mains import input_of_output, input_of_single
from lidoff.bench.label_text.phrases import Mark, Output, Phrase, Ports, Power, Single
from lidoff.bench.label_text.walk import Walk

_TOLERANCE = "a tolerance, for which the label has no field"
_LOOSE_POWER = "a power without the port or output that it is of"
_LIST_SIGNS = ("/", ",", "|", "·")
_HIGHEST_POWER = 1000.0
_HIGHEST_INPUT_POWER = 2000.0


def on_output(walk: Walk, phrase: Output) -> None:
    """A voltage, with its current or without: of the mains or of an output."""
    if walk.extend_doubt(phrase):
        return
    if phrase.voltage.tolerance is not None:
        walk.ledger.aside.append((*phrase.voltage.tolerance, _TOLERANCE))
    is_mains = phrase.voltage.alternating or (walk.section != "output" and phrase.voltage.low >= LOWEST_MAINS)
    if is_mains or walk.section == "input":
        walk.section, walk.ports = "input", ()
        _take_input(walk, phrase, input_of_output(phrase))
        return
    walk.section = "output"
    if "+" in walk.marks:
        start = walk.ledger.retract(walk.keys).start if walk.last == "output" else phrase.start
        walk.begin_doubt(start, phrase.end, "outputs joined by a plus sign, without the ports that they belong to")
    elif phrase.current is not None and _is_current(walk):
        walk.begin_doubt(phrase.start, phrase.end, "several currents: which belongs to which voltage?")
    else:
        _add_output(walk, phrase)


def _is_current(walk: Walk) -> bool:
    """Whether another current follows."""
    following = walk.phrases[walk.at : walk.at + 2]
    if following and isinstance(following[0], Mark) and following[0].sign in _LIST_SIGNS:
        following = following[1:]
    return bool(following) and isinstance(following[0], Single) and following[0].quantity.unit == "a"


def _add_output(walk: Walk, phrase: Output) -> None:
    found = offers_of(phrase, walk.heading)
    if phrase.each and len(walk.ports) < 2:
        walk.leave_open(phrase, "an output of each port, without the names of the ports")
    elif isinstance(found, str):
        walk.leave_open(phrase, found)
    else:
        walk.ledger.add(walk.keys, phrase, found)
        walk.last = "output"
    walk.heading = spent(walk.heading)


def on_single(walk: Walk, phrase: Single) -> None:
    """A current or frequencies by themselves."""
    if walk.extend_doubt(phrase):
        return
    is_frequency = phrase.quantity.unit == "hz"
    if walk.section == "input" or (not walk.section and is_frequency):
        walk.section = "input"
        _take_input(walk, phrase, input_of_single(phrase))
    else:
        walk.leave_open(phrase, "a frequency among outputs" if is_frequency else "a current without its voltage")


def _take_input(walk: Walk, phrase: Phrase, found: dict[str, object] | str) -> None:
    """Note what the input has, unless it can't be told."""
    if isinstance(found, str):
        walk.leave_open(phrase, found)
    else:
        walk.ledger.inputs.append((phrase.start, phrase.end, found))
        walk.last = "input"


def on_power(walk: Walk, phrase: Power) -> None:
    """A power: the total, the input's, a port's or an output's."""
    is_input = "input" in phrase.lead or (walk.section == "input" and not phrase.lead)
    fault = power_fault(phrase.quantity, _HIGHEST_INPUT_POWER if is_input else _HIGHEST_POWER)
    if "total" in phrase.lead:
        walk.end_doubt()
        _take_total(walk, phrase, fault)
    elif walk.extend_doubt(phrase):
        return
    elif fault:
        walk.leave_open(phrase, fault)
    elif is_input:
        walk.section = "input"
        _take_input(walk, phrase, {"power_w": phrase.quantity.high})
    elif phrase.each and len(walk.ports) < 2:
        walk.leave_open(phrase, "a power of each port, without the names of the ports")
    elif _is_summed(walk):
        walk.leave_open(phrase, "powers joined by a plus sign, without the ports that they belong to")
    elif walk.last == "output" and not phrase.lead:
        _limit_output(walk, phrase)
    else:
        _limit_port(walk, phrase)


def _take_total(walk: Walk, phrase: Power, fault: str) -> None:
    is_behind_port = walk.last in ("output", "limit") and walk.names_others
    if fault or (is_behind_port and (len(walk.ports) > 1 or _is_among_ports(walk))):
        walk.leave_open(phrase, fault or "a total that may be of the ports before it or of all")
    else:
        walk.ledger.totals[phrase.start, phrase.end] = phrase.quantity.high
        walk.last = "total"


def _is_among_ports(walk: Walk) -> bool:
    """Whether outputs of further ports follow."""
    return any(isinstance(one, Ports) and not one.is_combination for one in walk.phrases[walk.at :])


def _is_summed(walk: Walk) -> bool:
    """Whether a plus sign stands beside the power."""
    following = walk.phrases[walk.at : walk.at + 1]
    return "+" in walk.marks or any(isinstance(phrase, Mark) and phrase.sign == "+" for phrase in following)


def _limit_output(walk: Walk, phrase: Power) -> None:
    """A power behind an output."""
    is_last = not any(isinstance(one, Output) for one in walk.rest_of_port())
    found = power_of(phrase, walk.ledger.around_last(walk.keys, is_last, not walk.names_others))
    if isinstance(found, str):
        walk.leave_open(phrase, found)
        return
    if "offer" in found:
        walk.ledger.limit_last(walk.keys, phrase.quantity.high)
    if "port" in found:
        walk.ledger.limit_ports(walk.keys, phrase.quantity.high, phrase.start, phrase.end)
    walk.last = "output" if "offer" in found else "limit"


def _limit_port(walk: Walk, phrase: Power) -> None:
    """A power right behind a heading, or one that says it is the output's."""
    is_headed = walk.last in ("ports", "section") or (walk.last == "heading" and walk.heading.kinds == {"fixed"})
    is_of_one = bool(walk.ports) or not walk.names
    is_said = bool(phrase.lead) and not walk.names_others
    if not (is_of_one and is_headed or is_said):
        walk.leave_open(phrase, _LOOSE_POWER)
    elif walk.ledger.limit_ports(walk.keys, phrase.quantity.high, phrase.start, phrase.end):
        walk.section, walk.last = "output", "limit"
    else:
        walk.leave_open(phrase, "another power of the port than the one before")
