"""Whether a measurement is that of a test procedure, and the published limit that then applies.

Where one condition differs, the reason says which; a limit beside a measurement of another kind would mislead.
"""

from collections.abc import Sequence

from lidoff.engineering.supply_class import (
    USB_PD_LOW_VOLTAGE_CURRENT,
    is_usb_pd_supply,
    power_class,
    usb_pd_low_voltage_power,
)
from lidoff.engineering.supply_conditions import adaptive_no_load_limit, load_matches, regulation_of_mains
from lidoff.engineering.supply_efficiency import load_currents
from lidoff.engineering.supply_limits import LimitRow, Regulation, efficiency_limit, no_load_limit
from lidoff.figures.citation import citation
from lidoff.figures.figure import Corner
from lidoff.figures.known import Absent, Known, computed, resting_on
from lidoff.figures.label import FixedOffer, fixed_offers, rated_power
from lidoff.record.model import Record
from lidoff.record.model.electrical import EfficiencyPoint, NoLoad
from lidoff.record.model.label import Port

NOT_JUDGED = "not judged:"
WARM_UP_MIN = 30.0
SAME_VOLTAGE = 0.01
MAINS = "115 V 60 Hz or 230 V 50 Hz"
BARE_CONNECTOR: dict[Regulation, str] = {
    "us-level-vi": "measured at the connector, while the procedure adds a cord of 3 ft where none is supplied",
    "eu-2019-1782": "measured at the connector, since no cord is supplied",
}

Limit = tuple[Known, str]


def efficiency_minimum(record: Record, corner: Corner, rows: Sequence[EfficiencyPoint]) -> Limit:
    """The published minimum of average efficiency for four rows at one port, with its source."""
    _require_present_level(record)
    if len(record.ports) > 1:
        raise Absent("one of several ports was loaded, while the procedure loads all of them")
    regulation = _regulation(corner.mains_v, corner.mains_hz)
    remark = _connection(record, rows, regulation)
    _require_warm_up(rows)
    offer, current, power = _nameplate(record, corner)
    _require_loads(corner, rows, current.value)
    kind = computed(power_class, offer.voltage.value, current.value)
    limit = computed(efficiency_limit, power.value, kind, regulation)
    if limit is None:
        raise Absent(f"no published minimum for {power.value:g} W")
    return resting_on(limit.efficiency, (power,)), "; ".join(filter(None, (_cited(limit.row), remark)))


def no_load_maximum(record: Record, row: NoLoad) -> Limit:
    """The published maximum of no-load power for a measured row, with its source."""
    _require_present_level(record)
    if row.mains_hz is None:
        raise Absent("the mains frequency is not recorded")
    regulation = _regulation(row.mains_v, row.mains_hz)
    if row.state == "full-device":
        raise Absent("a device was plugged in, while the procedure has nothing at the ports")
    power = rated_power(record)
    if _gives_several_voltages_at_once(record):
        kind = "multiple-voltage"
    elif regulation == "eu-2019-1782" and _changes_voltage(record):
        limit = computed(adaptive_no_load_limit, power.value)
        if limit is None:
            raise Absent(f"no published maximum for {power.value:g} W")
        return resting_on(limit, (power,), function=adaptive_no_load_limit), citation(adaptive_no_load_limit)
    else:
        kind = "basic"  # the maximum of a low-voltage supply is the same
    found = computed(no_load_limit, power.value, kind, regulation)
    if found is None:
        raise Absent(f"no published maximum for {power.value:g} W")
    return resting_on(found.power, (power,)), _cited(found.row)


def _require_present_level(record: Record) -> None:
    """Refuse a unit that states an earlier level than the one whose limits are known here."""
    marks = set(record.label.marks or ()) if record.label is not None else set()
    if "efficiency-level-v" in marks and "efficiency-level-vi" not in marks:
        raise Absent("the label states level V, and the published limits are those of the later level VI")


def _regulation(mains_v: float, mains_hz: float) -> Regulation:
    regulation = computed(regulation_of_mains, mains_v, mains_hz)
    if regulation is None:
        raise Absent(f"measured at {mains_v:g} V {mains_hz:g} Hz, while the procedures ask for {MAINS}")
    return regulation


def _connection(record: Record, rows: Sequence[EfficiencyPoint], regulation: Regulation) -> str:
    """Refuse an output that was not measured where the procedure does; a remark where it comes near."""
    places = {row.measured_at for row in rows}
    if None in places:
        raise Absent("it is not recorded where the output was measured")
    supplied = record.product.supplied_cable is not None
    if places == {"cable-end"} and supplied:
        return ""
    if places == {"connector"} and not supplied:
        return "" if record.ports[0].connector.startswith("captive") else BARE_CONNECTOR[regulation]
    if supplied:
        raise Absent("the output was not measured at the end of the supplied cable, as the procedure asks")
    raise Absent("the output was not measured at the product's own connector")


def _require_warm_up(rows: Sequence[EfficiencyPoint]) -> None:
    shortest = min((row.warm_up_min for row in rows if row.warm_up_min is not None), default=WARM_UP_MIN)
    if shortest < WARM_UP_MIN:
        raise Absent(f"the warm-up was {shortest:g} min, while the procedure asks for {WARM_UP_MIN:g} min")


def _require_loads(corner: Corner, rows: Sequence[EfficiencyPoint], nameplate: float) -> None:
    """Refuse rows, from full load down, that were not drawn with the currents of the procedure."""
    for row, wanted in zip(rows, computed(load_currents, nameplate), strict=True):
        if computed(load_matches, row.output_a, wanted, nameplate):
            continue
        base = row.load_base_a
        if base and not computed(load_matches, base, nameplate, nameplate):
            drawn = f"100 % was {base:g} A"
        else:
            drawn = f"{row.output_a:g} A was drawn for {wanted:g} A"
        raise Absent(f"other load: {drawn}, while the procedure takes {nameplate:g} A at {corner.output_v:g} V")


def _nameplate(record: Record, corner: Corner) -> tuple[FixedOffer, Known, Known]:
    """The labelled output that a corner tests, with the current that 100 % stands for and the nameplate power there."""
    port = record.ports[0]
    offers = fixed_offers(record, port.id)
    if corner.port != port.id or not offers:
        raise Absent("the label's outputs of this port are not recorded")
    lowest, highest = offers[0], offers[-1]
    if abs(corner.output_v - highest.voltage.value) <= SAME_VOLTAGE * highest.voltage.value:
        power = resting_on(highest.voltage.value * highest.current.value, (highest.voltage, highest.current))
        return highest, highest.current, power
    if abs(corner.output_v - lowest.voltage.value) > SAME_VOLTAGE * lowest.voltage.value:
        raise Absent(f"the procedure tests the highest and the lowest labelled voltage, not {corner.output_v:g} V")
    if _is_usb_pd(port, offers):
        power = computed(usb_pd_low_voltage_power, lowest.voltage.value, 1)
        return lowest, Known(USB_PD_LOW_VOLTAGE_CURRENT), resting_on(power, (lowest.voltage,))
    power = resting_on(lowest.voltage.value * lowest.current.value, (lowest.voltage, lowest.current))
    return lowest, lowest.current, power


def _is_usb_pd(port: Port, offers: Sequence[FixedOffer]) -> bool:
    """Whether the port is a USB PD supply in the sense of the procedure."""
    speaks = bool(port.advertised) or any(one.startswith("usb-pd") for one in port.protocols or ())
    speaks = speaks or any(offer.kind in ("pps", "avs") for offer in port.label)
    fits = computed(is_usb_pd_supply, [(offer.voltage.value, offer.current.value) for offer in offers])
    return port.connector in ("usb-c", "captive-usb-c") and speaks and fits


def _changes_voltage(record: Record) -> bool:
    return any(len({offer.voltage.value for offer in fixed_offers(record, port.id)}) > 1 for port in record.ports)


def _gives_several_voltages_at_once(record: Record) -> bool:
    """Whether the ports can have different voltages at the same time."""
    if len(record.ports) == 1:
        return False
    per_port = record.conversion.per_port if record.conversion else None
    if per_port in ("buck", "buck-boost", "separate-converters"):
        return True
    if per_port in ("none", "load-switch"):
        return False
    raise Absent("it is not recorded whether the ports can have different voltages at the same time")


def _cited(row: LimitRow) -> str:
    """Document and place, with the word that says where the figures are from."""
    basis = "from memory" if row.basis == "from-memory" else f"seen: {row.source}"
    return f"{row.edition}, {row.clause} ({basis})"
