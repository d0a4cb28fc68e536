"""The currents of PPS objects against the power of the port."""

from collections.abc import Iterator

from lidoff.checks.captures import Seen, amount, spoken
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.engineering.usb_pd_messages import PositionedObject
from lidoff.engineering.usb_pd_offers import ROUNDING_ERROR
from lidoff.engineering.usb_pd_pps import nominal_pps_voltage, pps_current_at, required_pps_offers
from lidoff.engineering.usb_pd_rules import SPR_POWER
from lidoff.engineering.usb_pd_supplies import ProgrammableSupply
from lidoff.figures.citation import citation
from lidoff.rule import Rule

RULE = Rule(
    id="pps-current",
    title="PPS currents go with the power of the port",
    severity="warning",
    scope="record",
    why=(
        "A PPS object counts at the voltage that its range is named after: 9 V up to 11 V, 20 V up to 21 V. Above "
        "the power of the fixed objects it has to say that its power is limited, or it promises what the port does "
        "not have: a warning, and a note where the range has no such name. Less current than goes with the power gets "
        "a note where nothing else was plugged in; without that bit, the power may be reached at the highest voltage."
    ),
    formula="I = P / V in the highest range, with V the voltage that it is named after, within one step of 50 mA",
    source=f"{citation(required_pps_offers)}; power limited: {citation(pps_current_at)}",
)

STEP = 0.05


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for too much and too little current, each word of a port once."""
    told: set[tuple[str, int]] = set()
    for seen in subject.captures:
        power = seen.message.power
        for item in seen.message.objects if power else ():
            key = (seen.port_field, item.source_object.word)
            supply = item.source_object.supply
            if isinstance(supply, ProgrammableSupply) and key not in told and supply.voltage_max > 0:
                notice = _too_much(seen, item, supply) or _too_little(seen, item, supply)
                if notice:
                    told.add(key)
                    yield notice


def _too_much(seen: Seen, item: PositionedObject, supply: ProgrammableSupply) -> Notice | None:
    nominal = nominal_pps_voltage(supply.voltage_max)
    voltage = nominal or supply.voltage_max
    power = seen.message.power
    if supply.power_limited or supply.current <= power / voltage + STEP + ROUNDING_ERROR:
        return None
    most = f"at most {amount(power / voltage, 'A')} from {amount(power, 'W')} of the fixed objects"
    return Notice(
        field=seen.at(item.position),
        found=f"{spoken(item.source_object)} without the bit for limited power",
        expected=f"{most}, or the bit set",
        fix="check bit 27 and the current of the word against the capture",
        severity=None if nominal else "note",
        inputs=(item.source_object.word, power),
    )


def _too_little(seen: Seen, item: PositionedObject, supply: ProgrammableSupply) -> Notice | None:
    power, nominal = min(seen.message.rated, SPR_POWER), nominal_pps_voltage(supply.voltage_max)
    if not seen.alone or power <= 0:
        return None
    required = (offer for offer in required_pps_offers(power) if not offer.optional)
    least = next((offer.current for offer in required if offer.nominal_voltage == nominal), 0.0)
    if not supply.power_limited:
        least = min(least, power / supply.voltage_max)
    if supply.current >= least - STEP - ROUNDING_ERROR:
        return None
    return Notice(
        field=seen.at(item.position),
        found=spoken(item.source_object),
        expected=f"{amount(least, 'A')} or more, as the fixed objects come to {amount(seen.message.rated, 'W')}",
        fix="check the word against the capture; keep it where the port really offers it so",
        severity="note",
        inputs=seen.capture.words,
    )


CHECK = RecordCheck(RULE, run)
