"""What adjustable objects (AVS) say, against the power and the fixed objects beside them."""

from collections.abc import Iterator

from lidoff.checks.captures import Seen, amount, spoken
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.engineering.usb_pd_messages import PositionedObject
from lidoff.engineering.usb_pd_offers import CURRENT_STEP, ROUNDING_ERROR
from lidoff.engineering.usb_pd_rules import EPR_POWER, epr_avs_range, spr_avs_range
from lidoff.engineering.usb_pd_supplies import EprAdjustableSupply, FixedSupply, SprAdjustableSupply
from lidoff.figures.citation import citation
from lidoff.rule import Rule

RULE = Rule(
    id="avs-range",
    title="AVS objects agree with the power and the fixed objects beside them",
    severity="note",
    scope="record",
    why=(
        "In the extended power range AVS goes from 15 V to 28, 36 or 48 V by the rated power, which the object "
        "itself carries. In the standard range its two currents are those of the fixed objects of 15 V and 20 V; the "
        "second is 0 where the range ends at 15 V."
    ),
    source=(
        f"{citation(epr_avs_range)}; {citation(spr_avs_range)}; currents of the standard range: USB Power Delivery "
        "Specification R3.2, table 6.14 (as transcribed in a public firmware header)"
    ),
)

SAME_VOLTAGE, SAME_POWER = 0.05, 1.0
FIX = "check the word against the capture; keep it where the port really offers it so"


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for AVS objects that disagree with the rest of their message, each word of a port once."""
    told: set[tuple[str, int]] = set()
    for seen in subject.captures:
        for item in seen.message.objects:
            expected = _expected(seen, item)
            key = (seen.port_field, item.source_object.word)
            if expected and key not in told:
                told.add(key)
                yield Notice(
                    field=seen.at(item.position),
                    found=spoken(item.source_object),
                    expected=expected,
                    fix=FIX,
                    inputs=seen.capture.words,
                )


def _expected(seen: Seen, item: PositionedObject) -> str | None:
    """What the object should say, where it says something else."""
    match item.source_object.supply:
        case EprAdjustableSupply() as supply:
            return _expected_of_epr(seen, supply)
        case SprAdjustableSupply() as supply:
            return _expected_of_spr(seen, supply)
    return None


def _expected_of_epr(seen: Seen, supply: EprAdjustableSupply) -> str | None:
    if not 0 < supply.power <= EPR_POWER or (wanted := epr_avs_range(supply.power)) is None:
        return "a rated power above 100 W, up to 240 W"
    ends = (supply.voltage_min - wanted.minimum, supply.voltage_max - wanted.maximum)
    if max(map(abs, ends)) > SAME_VOLTAGE:
        return f"{wanted.minimum:g} to {wanted.maximum:g} V at a rated power of {supply.power:g} W"
    if seen.message.power > 100 and abs(supply.power - seen.message.power) > SAME_POWER:
        return f"{amount(seen.message.power, 'W')}, the power of the strongest fixed object"
    return None


def _expected_of_spr(seen: Seen, supply: SprAdjustableSupply) -> str | None:
    fixed = [o.source_object.supply for o in seen.message.objects if isinstance(o.source_object.supply, FixedSupply)]
    # up to 45 W the range may end at 15 V though a fixed object of 20 V is there
    may_end_at_15v = 0 < seen.message.rated <= 45
    for voltage, found in ((15.0, supply.current_to_15v), (20.0, supply.current_to_20v)):
        current = max((one.current for one in fixed if one.voltage == voltage), default=None)
        if current is None or (voltage == 20.0 and may_end_at_15v and found == 0):
            continue
        if abs(found - current) > CURRENT_STEP + ROUNDING_ERROR:
            return f"{current:g} A up to {voltage:g} V, as the fixed object of {voltage:g} V has"
    return None


CHECK = RecordCheck(RULE, run)
