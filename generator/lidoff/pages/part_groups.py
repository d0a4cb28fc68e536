"""The parts of a charger grouped by what they do, in the order in which power passes them."""

from collections.abc import Iterable, Mapping

from lidoff.record.model.component import Component

GROUPS: Mapping[str, tuple[str, ...]] = {
    "Where the mains comes in": (
        "mains-contact", "fuse", "fusible-resistor", "thermal-cut-off", "varistor", "spark-gap", "inrush-thermistor",
        "x-capacitor", "x-discharge-resistor", "x-discharge-controller", "common-mode-choke", "differential-mode-choke",
    ),
    "Rectifying and storing": (
        "bridge-rectifier", "input-film-capacitor", "bulk-capacitor", "low-line-bulk-capacitor", "low-line-switch",
        "bleed-resistor",
    ),
    "Correcting the power factor": ("pfc-controller", "pfc-switch", "pfc-diode", "pfc-inductor"),
    "The isolated converter": (
        "primary-controller", "primary-switch", "primary-high-side-switch", "clamp-switch", "gate-driver",
        "current-sense-resistor", "clamp-diode", "clamp-capacitor", "clamp-resistor", "clamp-suppressor",
        "resonant-capacitor", "resonant-inductor", "transformer", "auxiliary-diode", "auxiliary-capacitor",
        "auxiliary-regulator",
    ),
    "Across the insulation": ("y-capacitor", "optocoupler", "isolator", "feedback-regulator"),
    "Rectifying the output": (
        "sync-rectifier", "sync-rectifier-controller", "rectifier-diode", "snubber-capacitor", "snubber-resistor",
        "output-capacitor", "output-inductor",
    ),
    "A converter for each port": (
        "dc-dc-controller", "dc-dc-converter", "dc-dc-switch", "dc-dc-inductor", "dc-dc-capacitor",
    ),
    "Ports and protocols": (
        "protocol-controller", "power-sharing-controller", "vbus-switch", "vbus-discharge", "cc-protection",
        "esd-array", "surge-suppressor", "e-marker", "output-connector",
    ),
    "Heat, shields and insulation": ("thermistor", "heat-spreader", "shield", "insulation-sheet"),
    "Everything else": (),
}  # fmt: skip
REST = "Everything else"

_GROUP_OF = {role: group for group, roles in GROUPS.items() for role in roles}
_ORDER = {role: place for place, role in enumerate(_GROUP_OF)}


def group_of(component: Component) -> str:
    """The group in which a part is listed: that of its first role."""
    return _GROUP_OF.get(component.roles[0], REST) if component.roles else REST


def grouped(components: Iterable[Component]) -> dict[str, list[Component]]:
    """The parts by group, groups and parts along the way of the power; a group without parts is left out."""
    groups: dict[str, list[Component]] = {name: [] for name in GROUPS}
    for component in components:
        groups[group_of(component)].append(component)
    for parts in groups.values():
        parts.sort(key=_place)
    return {name: parts for name, parts in groups.items() if parts}


def _place(component: Component) -> int:
    return _ORDER.get(component.roles[0], len(_ORDER)) if component.roles else len(_ORDER)
