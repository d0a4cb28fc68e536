"""The label's powers against its voltages and currents."""

from collections.abc import Iterator

from lidoff.checks.captures import amount
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.label_offers import offers_of, on_label
from lidoff.engineering.usb_pd_pps import nominal_pps_voltage
from lidoff.record.model.label import Offer
from lidoff.rule import Rule

RULE = Rule(
    id="port-power-label",
    title="Powers on the label are those of its voltages and currents",
    severity="warning",
    scope="record",
    why=(
        "One voltage times its current is the power printed beside it, and no more than the printed total; a range "
        "may have less, as its power is limited, and counts at the voltage it is named after. Printed figures are "
        "rounded: 12 V 1.67 A is 20 W. A total that is not the rated power gets a note, since one of them is counted "
        "in tables."
    ),
    formula="P = V I, to half of the last digit printed of the current, at most 0.05 A, and 0.5 W",
    source="Lidoff's own decision",
)

ROUNDING = 0.5
FIX = "check voltage, current and power against the label; where it is printed so, answer it"


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for single outputs, then for the total."""
    label, rated = subject.record.label, subject.record.product.rated_power_w
    total = label.total_power_w if label else None
    for field, _, offer in offers_of(subject.record):
        if offer.current_a is not None:
            yield from _beside(field, offer)
            yield from _against_total(field, offer, total)
    if total is not None and rated is not None and abs(total - rated) > ROUNDING:
        yield Notice(
            field="label.total_power_w",
            found=f"{amount(total, 'W')} on the label, {amount(rated, 'W')} as rated power",
            expected="one figure",
            fix="check both; where the maker states two, leave them",
            severity="note",
            related=(("", "product.rated_power_w"),),
            inputs=(total, rated),
        )


def _beside(field: str, offer: Offer) -> Iterator[Notice]:
    """The power printed beside an output."""
    voltage = offer.voltage_v or offer.voltage_max_v
    if offer.power_w is None or voltage is None:
        return
    power, allowed = voltage * offer.current_a, ROUNDING + voltage * _half_digit(offer.current_a)
    too_much = offer.power_w > power + allowed
    if too_much or (offer.voltage_v and offer.power_w < power - allowed):
        yield Notice(
            field=f"{field}.power_w",
            found=f"{amount(offer.power_w, 'W')} beside {on_label(offer)}",
            expected=f"{'' if offer.voltage_v else 'at most '}{amount(power, 'W')}",
            fix=FIX,
            inputs=(on_label(offer), offer.power_w),
        )


def _against_total(field: str, offer: Offer, total: float | None) -> Iterator[Notice]:
    """One voltage, or a range at the voltage it is named after, against the total."""
    voltage = offer.voltage_v
    if offer.kind == "pps" and offer.power_w is None:
        voltage = nominal_pps_voltage(offer.voltage_max_v)
    if total is None or voltage is None:
        return
    power, allowed = voltage * offer.current_a, ROUNDING + voltage * _half_digit(offer.current_a)
    if power > total + allowed:
        yield Notice(
            field=f"{field}.current_a",
            found=f"{on_label(offer)}, which is {amount(power, 'W')}",
            expected=f"at most {amount(total, 'W')}, the total on the label",
            fix=FIX,
            related=(("", "label.total_power_w"),),
            inputs=(on_label(offer), total),
        )


def _half_digit(current: float) -> float:
    """Half of the last digit printed, 0.05 A where only tenths or whole amperes are."""
    return 0.05 if round(current, 1) == current else 0.005


CHECK = RecordCheck(RULE, run)
