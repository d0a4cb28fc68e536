"""The power that a port advertises against the rated power."""

from collections.abc import Iterator

from lidoff.checks.captures import CARRIES_5A, Seen, amount
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.label_offers import claims_pd, largest_offer_w
from lidoff.engineering.usb_pd_offers import CURRENT_STEP, cable_needed
from lidoff.engineering.usb_pd_power import largest_fixed_power
from lidoff.figures.citation import citation
from lidoff.figures.label import rated_power_w
from lidoff.rule import Rule

RULE = Rule(
    id="pd-power-rating",
    title="The advertised power is that of the rating",
    severity="warning",
    scope="record",
    why=(
        "A port that advertises more than the whole unit is rated for, or a unit with one port whose label claims "
        "USB PD without listing voltages and that advertises less than its rating, contradicts itself. Ratings and "
        "currents are rounded: 9 V 2.22 A and 12 V 1.67 A both stand for 20 W. Where the label lists its voltages, "
        "these are compared one by one by another rule."
    ),
    formula="P = V I of the strongest fixed object, within 0.5 W of the rating and one step of 10 mA",
    source=citation(largest_fixed_power),
)

ROUNDING = 0.5


def run(subject: Subject) -> Iterator[Notice]:
    """One notice a port: too much in any state, or too little alone."""
    rated = rated_power_w(subject.record)
    if rated is None:
        return
    by_port: dict[str, list[Seen]] = {}
    for seen in subject.captures:
        if seen.message.strongest and claims_pd(subject.record, seen.port):
            by_port.setdefault(seen.port_field, []).append(seen)
    for captures in by_port.values():
        best = max(captures, key=lambda seen: seen.message.power)
        allowed = ROUNDING + CURRENT_STEP * best.message.strongest.voltage
        if best.message.power > rated + allowed:
            yield _notice(best, rated, f"at most the rated {amount(rated, 'W')}")
        elif len(subject.record.ports) == 1 and best.message.power < rated - allowed and _must_reach(captures, rated):
            yield _notice(best, rated, f"the rated {amount(rated, 'W')}, which the label claims for USB PD")


def _must_reach(captures: list[Seen], rated: float) -> bool:
    """Whether the rating has to show: the label lists no voltages, and the port was captured as it takes to see it."""
    port = captures[0].port
    if largest_offer_w(port) or port.other_protocols or any(offer.kind == "proprietary" for offer in port.label):
        return False
    if rated > 100:
        return any(seen.alone and seen.capture.message == "epr" for seen in captures)
    marked = cable_needed(20.0, rated / 20.0) != "any"
    return any(seen.alone and (not marked or seen.capture.cable in CARRIES_5A) for seen in captures)


def _notice(seen: Seen, rated: float, expected: str) -> Notice:
    strongest = seen.message.strongest
    return Notice(
        field=seen.at(strongest.index + 1),
        found=f"{amount(strongest.power, 'W')} advertised, {strongest.voltage:g} V {strongest.current:g} A",
        expected=expected,
        fix="check the word and the rated power; where both are right, answer it",
        inputs=(rated, *seen.capture.words),
    )


CHECK = RecordCheck(RULE, run)
