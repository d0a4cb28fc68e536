"""What the numbers of a parts table mean: by the word before them, by their unit, by what the part does."""

from collections.abc import Mapping, Sequence

from lidoff.record.schema import shape_at

RATINGS = shape_at("components[0].ratings").keys
UNIT_OF: Mapping[str, str] = {key: shape.schema["x-unit"] for key, shape in RATINGS.items() if "x-unit" in shape.schema}

# words before a number that say which rating it is
SAID: Mapping[str, str] = {
    "rds": "rds_on_mohm", "rdson": "rds_on_mohm", "rds(on)": "rds_on_mohm", "ron": "rds_on_mohm", "esr": "esr_mohm",
    "ripple": "ripple_current_a", "irip": "ripple_current_a", "surge": "surge_current_a", "ifsm": "surge_current_a",
    "clamp": "clamping_v", "clamping": "clamping_v", "vc": "clamping_v", "transient": "voltage_transient_v",
    "iso": "isolation_v", "isolation": "isolation_v", "viso": "isolation_v", "vgs": "gate_v", "gate": "gate_v",
    "qg": "gate_charge_nc", "qoss": "output_charge_nc", "vf": "forward_v", "ctr": "transfer_ratio_pct",
    "cold": "cold_resistance_ohm", "r25": "cold_resistance_ohm", "vds": "voltage_v", "vdss": "voltage_v",
    "vrrm": "voltage_v", "vr": "voltage_v", "id": "current_a", "if": "current_a", "i2t": "melting_a2s",
    "melting": "melting_a2s", "energy": "surge_energy_j",
}  # fmt: skip

_CAPACITORS = frozenset((
    "x-capacitor", "y-capacitor", "input-film-capacitor", "bulk-capacitor", "low-line-bulk-capacitor",
    "clamp-capacitor", "resonant-capacitor", "auxiliary-capacitor", "snubber-capacitor", "output-capacitor",
    "dc-dc-capacitor", "capacitor",
))  # fmt: skip
_RESISTORS = frozenset((
    "fusible-resistor", "x-discharge-resistor", "bleed-resistor", "current-sense-resistor", "clamp-resistor",
    "snubber-resistor", "resistor",
))  # fmt: skip
_SWITCHES = frozenset((
    "low-line-switch", "pfc-switch", "primary-switch", "primary-high-side-switch", "clamp-switch", "sync-rectifier",
    "dc-dc-switch", "vbus-switch",
))  # fmt: skip
_INDUCTORS = frozenset((
    "common-mode-choke", "differential-mode-choke", "pfc-inductor", "resonant-inductor", "output-inductor",
    "dc-dc-inductor", "inductor",
))  # fmt: skip
_INSULATES = frozenset(("optocoupler", "isolator", "transformer"))
_MAINS = frozenset(("fuse", "x-capacitor", "y-capacitor", "varistor"))


def kind_of(roles: Sequence[str]) -> str:
    """Capacitor, resistor, switch, inductor or "" by what a part does; "" where its roles are of several kinds."""
    kinds = {"capacitor": _CAPACITORS, "resistor": _RESISTORS, "switch": _SWITCHES, "inductor": _INDUCTORS}
    found = [kind for kind, names in kinds.items() if roles and all(role in names for role in roles)]
    return found[0] if found else ""


def rating_by_unit(measures: str, unit: str, current: str, roles: Sequence[str]) -> tuple[str, str]:
    """The rating that an amount without a word before it stands for, else "" and how to write it so that it is clear.

    ``current`` is ac, dc or "" as the unit says.
    """
    kind = kind_of(roles)
    if measures == "voltage":
        if current == "ac":
            return "voltage_ac_v", ""
        if current == "" and any(role in _MAINS for role in roles):
            return "", "write VAC or VDC: of a part at the mains either could be meant"
        if any(role in _INSULATES for role in roles):
            return "", "write which voltage it is: iso 5kV for the insulation test"
        return "voltage_v", ""
    if measures == "resistance":
        by_kind = {"resistor": "resistance_ohm", "switch": "rds_on_mohm", "capacitor": "esr_mohm"}
        found = "cold_resistance_ohm" if tuple(roles) == ("inrush-thermistor",) else by_kind.get(kind, "")
        return found, "write which resistance it is: Rds 150mOhm, ESR 20mOhm, cold 5Ohm"
    if measures == "current":
        unclear = kind == "capacitor" or any(role in ("varistor", "surge-suppressor", "spark-gap") for role in roles)
        return ("" if unclear else "current_a"), "write which current it is: ripple 1.2A or surge 2500A"
    if measures == "capacitance":
        return {"µF": "capacitance_uf", "nF": "capacitance_nf", "pF": "capacitance_pf"}.get(unit, "capacitance_uf"), ""
    if measures == "temperature":
        is_clear = kind == "capacitor" or "thermal-cut-off" in roles
        return ("temperature_c" if is_clear else ""), "leave it out: only capacitors and cut-offs have one in a record"
    if measures == "ratio":
        return ("" if "optocoupler" in roles else "tolerance_pct"), "write CTR before a transfer ratio"
    if measures == "charge":
        return "", "write which charge it is: Qg 2nC or Qoss 20nC"
    return _CLEAR.get(measures, ""), "write it under Notes: a record has no rating of this kind"


_CLEAR = {
    "inductance": "inductance_uh", "power": "power_w", "time": "life_h", "frequency": "frequency_mhz",
    "energy": "surge_energy_j", "melting integral": "melting_a2s",
}  # fmt: skip
