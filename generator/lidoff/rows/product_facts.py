"""One entry -> the row that stands for it among all products."""

from collections.abc import Mapping, Sequence

from lidoff.entry import Entry
from lidoff.record.model.component import Component
from lidoff.record.sketch import Opened, PartSketch, Readable
from lidoff.rows.measured_values import MEASURED_COLUMNS, measured_row
from lidoff.rows.positions import (
    NONE_LISTED,
    NOT_IDENTIFIED,
    POSITIONS,
    PRIMARY_SWITCH,
    absence,
    parts_in,
    technology,
)
from lidoff.rows.tiers import tier_label

Words = tuple[str, ...]

# function of a controller -> the roles that name it
CONTROLLERS: Mapping[str, tuple[str, ...]] = {
    "pfc_controller": ("pfc-controller",),
    "primary_controller": ("primary-controller",),
    "sync_rectifier_controller": ("sync-rectifier-controller",),
    "per_port_controller": ("dc-dc-controller", "dc-dc-converter"),
    "protocol_controller": ("protocol-controller",),
    "sharing_controller": ("power-sharing-controller",),
}
SUMMARY_FIGURES = ("power_density_w_per_cm3", "bulk_uf_per_w")
PRODUCT_COLUMNS = (
    "slug", "brand", "model", "name", "kind", "demo", "revision_of", "year", "year_basis", "teardown_date",
    "rated_power_w", "tier", "manufacturer", "protection_class", "plug_system",
    "plug_mechanism", "authenticity", "sample_source", "coverage_boards", "coverage_parts", "pfc", "topology",
    "secondary", "per_port", *(position.field for position in POSITIONS), "switch_place", *CONTROLLERS,
    "primary_switch_part", "bulk_capacitor_maker", "transformer_core", "enclosure_joint", "enclosure_material",
    "potting", "thermal_path", "connector", "protocol", "voltage_step", "port_count", *SUMMARY_FIGURES, *MEASURED_COLUMNS,
)  # fmt: skip


def product_row(entry: Entry, tiers_w: Sequence[float]) -> dict[str, object]:
    """All that is counted of one product; None is what the record leaves out, ``()`` is "looked and found none"."""
    record = Opened(entry.sketch)
    return {
        **_identity(entry),
        "rated_power_w": record.product.rated_power_w,
        "tier": tier_label(record.product.rated_power_w, tiers_w),
        **_surroundings(record),
        **_conversion(record),
        **{position.field: technology(record, position) for position in POSITIONS},
        "switch_place": switch_place(record),
        **{function: part_labels(record, roles) for function, roles in CONTROLLERS.items()},
        "primary_switch_part": part_labels(record, PRIMARY_SWITCH.roles),
        "bulk_capacitor_maker": makers(record, ("bulk-capacitor",)),
        "transformer_core": transformer_cores(record),
        **_construction(record),
        "connector": _distinct(port.connector for port in record.ports),
        "protocol": protocols(record),
        "voltage_step": voltage_steps(record),
        "port_count": len(record.ports),
        **{figure_id: entry.brief.value(figure_id) for figure_id in SUMMARY_FIGURES},
        **measured_row(entry, record),
    }


def part_label(part: Component | PartSketch) -> str:
    """Maker and number of a part that was identified; a guess or a claim of the brand is no identification."""
    if part.part_number is None or part.strength == "guess" or part.identified_by in ("unidentified", "brand-claim"):
        return NOT_IDENTIFIED
    return f"{part.maker} {part.part_number}" if part.maker else f"{part.part_number} (maker unknown)"


def part_labels(record: Readable, roles: Sequence[str]) -> Words:
    """The parts that fill one of the roles, each once."""
    return _distinct(part_label(part) for part in parts_in(record, roles)) or (absence(record, roles, NONE_LISTED),)


def makers(record: Readable, roles: Sequence[str]) -> Words:
    """The makers of the parts that fill one of the roles, each once."""
    found = _distinct(part.maker or NOT_IDENTIFIED for part in parts_in(record, roles))
    return found or (absence(record, roles, NONE_LISTED),)


def switch_place(record: Readable) -> str:
    """Whether the primary switch sits in the package of its controller."""
    controllers = parts_in(record, CONTROLLERS["primary_controller"])
    switches = parts_in(record, PRIMARY_SWITCH.roles)
    if any("primary-switch" in part.roles or "switch-inside" in part.control for part in controllers):
        return "inside the controller"
    return "separate" if switches else absence(record, PRIMARY_SWITCH.roles)


def transformer_cores(record: Readable) -> Words | None:
    """The core shapes of the isolating transformers."""
    transformers = {part.ref for part in parts_in(record, ("transformer",))}
    return _distinct(item.core.family for item in record.magnetics if item.core and item.ref in transformers) or None


def protocols(record: Readable) -> Words | None:
    """The charging protocols seen at any port, open ones first; None where no port was examined for all it speaks."""
    seen = _distinct(word for port in record.ports for word in port.protocols or ())
    others = _distinct(word for port in record.ports for word in port.other_protocols)
    if seen or others:
        return seen + others
    return () if all(port.protocols is not None for port in record.ports) else None


def voltage_steps(record: Readable) -> Words | None:
    """The outputs that the label prints: fixed voltages, and the ranges that a device can set; None without a label."""
    offers = [offer for port in record.ports for offer in port.label]
    fixed = sorted({offer.voltage_v for offer in offers if offer.kind == "fixed" and offer.voltage_v is not None})
    ranges = [kind.upper() for kind in ("pps", "avs") if any(offer.kind == kind for offer in offers)]
    return (*(f"{voltage:g} V" for voltage in fixed), *ranges) if offers else None


def _identity(entry: Entry) -> dict[str, object]:
    product, teardown = entry.sketch.product, entry.sketch.teardown
    return {
        "slug": entry.slug,
        "brand": product.brand,
        "model": product.model,
        "name": product.name,
        "kind": product.kind,
        "demo": bool(entry.sketch.demo),
        "revision_of": product.revision_of,
        "year": entry.year,
        "year_basis": "launch" if product.launched is not None else "teardown" if teardown else None,
        "teardown_date": teardown.date if teardown else None,
    }


def _surroundings(record: Readable) -> dict[str, object]:
    plug, coverage = record.product.plug, record.coverage
    return {
        "manufacturer": record.label.manufacturer if record.label else None,
        "protection_class": record.product.protection_class,
        "plug_system": plug.system if plug else None,
        "plug_mechanism": plug.mechanism if plug else None,
        "authenticity": record.teardown.authenticity if record.teardown else None,
        "sample_source": _distinct(sample.source for sample in record.samples) or None,
        "coverage_boards": coverage.boards if coverage else None,
        "coverage_parts": coverage.parts if coverage else None,
    }


def _conversion(record: Readable) -> dict[str, object]:
    conversion = record.conversion
    return {
        "pfc": conversion.pfc if conversion else None,
        "topology": conversion.primary if conversion else None,
        "secondary": conversion.secondary if conversion else None,
        "per_port": conversion.per_port if conversion else None,
    }


def _construction(record: Readable) -> dict[str, object]:
    construction = record.construction
    steps = construction.thermal_path if construction else None
    return {
        "enclosure_joint": construction.enclosure_joint if construction else None,
        "enclosure_material": construction.enclosure_material if construction else None,
        "potting": construction.potting.extent if construction and construction.potting else None,
        "thermal_path": None if steps is None else _distinct(step.material for step in steps),
    }


def _distinct(words: object) -> Words:
    """The words, each once, in the order in which they come."""
    return tuple(dict.fromkeys(words))
