"""What every column of the open data means: its type, unit and a line in words; the descriptor and a test read this."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Type = Literal["string", "number", "integer", "boolean", "date", "words"]


@dataclass(frozen=True, slots=True)
class Column:
    """One column. A column of ``words`` holds several, parted by "; " in CSV and SQLite and a list in JSON."""

    type: Type
    meaning: str
    unit: str = ""
    required: bool = False


SLUG = Column(
    "string", "Brand and model as the site's addresses write them; names the product in every table", required=True
)

PRODUCTS: Mapping[str, Column] = {
    "slug": SLUG,
    "brand": Column("string", "Brand as printed on the product", required=True),
    "model": Column("string", "Model as printed on the product", required=True),
    "name": Column("string", "Name that the product is sold under"),
    "kind": Column("string", "Kind of product: a word of the vocabulary", required=True),
    "demo": Column("boolean", "Whether the record is invented", required=True),
    "revision_of": Column("string", "The product that this one is a revision of"),
    "year": Column("integer", "Year of launch, else of the teardown"),
    "year_basis": Column("string", "What the year is of: launch or teardown"),
    "teardown_date": Column("date", "Day on which the unit was opened"),
    "platform": Column(
        "string",
        "The design that the product is counted as in shares and intervals; revisions share one",
        required=True,
    ),
    "platform_basis": Column(
        "string",
        "What that rests on: board (manufacturer and print), revision of another product, product alone",
        required=True,
    ),
    "rated_power_w": Column("number", "Rated output power as printed", "W"),
    "tier": Column("string", "Power tier by inclusive upper limits", required=True),
    "manufacturer": Column("string", "Manufacturer as printed on the label"),
    "protection_class": Column("string", "Protection class against electric shock"),
    "plug_system": Column("string", "Plug system by standard"),
    "plug_mechanism": Column("string", "How the plug is held: fixed, folding, exchangeable"),
    "authenticity": Column("string", "What the reviewer thinks of the unit's origin"),
    "sample_source": Column("words", "Where the units came from"),
    "coverage_boards": Column("string", "Which boards were looked at"),
    "coverage_parts": Column("string", "Which parts were listed"),
    "pfc": Column("string", "Power factor correction, as concluded"),
    "topology": Column("string", "Isolated converter, as concluded"),
    "secondary": Column("string", "Secondary rectification, as concluded"),
    "per_port": Column("string", "Conversion for each port, as concluded"),
    "pfc_switch_technology": Column("string", "Technology of the PFC switch"),
    "primary_switch_technology": Column("string", "Technology of the primary switch"),
    "sync_rectifier_technology": Column("string", "Technology of the synchronous rectifier"),
    "output_switch_technology": Column("string", "Technology of the output switch"),
    "switch_place": Column("string", "Whether the primary switch sits inside the controller"),
    "pfc_controller": Column("words", "Identified PFC controllers"),
    "primary_controller": Column("words", "Identified primary controllers"),
    "sync_rectifier_controller": Column("words", "Identified controllers of synchronous rectifiers"),
    "per_port_controller": Column("words", "Identified controllers of converters for each port"),
    "protocol_controller": Column("words", "Identified protocol controllers"),
    "sharing_controller": Column("words", "Identified controllers that share power among ports"),
    "primary_switch_part": Column("words", "Identified primary switches"),
    "bulk_capacitor_maker": Column("words", "Makers of the bulk capacitors"),
    "transformer_core": Column("words", "Core shapes of the isolating transformers"),
    "enclosure_joint": Column("string", "How the enclosure is closed"),
    "enclosure_material": Column("string", "Material of the enclosure"),
    "potting": Column("string", "How much is filled with compound"),
    "thermal_path": Column("words", "What carries heat to the surface, from part to air"),
    "connector": Column("words", "Connectors of the ports"),
    "protocol": Column("words", "Charging protocols seen at any port"),
    "voltage_step": Column("words", "Voltages and ranges on the label"),
    "port_count": Column("integer", "Number of output ports", required=True),
    "power_density_w_per_cm3": Column("number", "Rated power over the volume of the body, computed", "W/cm³"),
    "bulk_uf_per_w": Column("number", "Bulk capacitance over the rated power, computed", "µF/W"),
    "efficiency_full_load_pct": Column("number", "Measured efficiency at full load, 220 to 240 V mains", "%"),
    "efficiency_tenth_load_pct": Column("number", "Measured efficiency at 10 % load, 220 to 240 V mains", "%"),
    "sustained_pct": Column("number", "Largest power kept up in a long run over the rated power", "%"),
}
COMPONENTS: Mapping[str, Column] = {
    "slug": SLUG,
    "ref": Column("string", "Reference of the part within the record", required=True),
    "roles": Column("words", "What the part does: words of the vocabulary", required=True),
    "quantity": Column("integer", "How many of the part there are", required=True),
    "board": Column("string", "Board that carries the part"),
    "side": Column("string", "Side of the board"),
    "port": Column("string", "Port that the part serves"),
    "technology": Column("string", "Transistor or part technology"),
    "maker": Column("string", "Maker, as identified"),
    "part_number": Column("string", "Part number, as identified"),
    "part": Column("string", "Maker and part number, or that it is not identified", required=True),
    "package": Column("string", "Package"),
    "identified_by": Column("string", "What the identification rests on"),
    "strength": Column("string", "How sure the identification is"),
    "marking_state": Column("string", "State of the marking"),
    "marking": Column("words", "Lines of the marking; ? stands for an unreadable character"),
}
PORTS: Mapping[str, Column] = {
    "slug": SLUG,
    "port": Column("string", "Port within the record", required=True),
    "connector": Column("string", "Connector", required=True),
    "offer_kinds": Column("words", "Kinds of output that the label prints"),
    "protocols": Column("words", "Open charging protocols seen"),
    "other_protocols": Column("words", "Proprietary charging protocols seen"),
}
FIGURES: Mapping[str, Column] = {
    "slug": SLUG,
    "figure": Column("string", "Id of the derived figure; its method page has formula and source", required=True),
    "port": Column("string", "Port that the figure is of"),
    "mains_v": Column("number", "Mains voltage that the figure is of", "V"),
    "mains_hz": Column("number", "Mains frequency that the figure is of", "Hz"),
    "output_v": Column("number", "Output voltage that the figure is of", "V"),
    "value": Column("number", "Value in the unit beside it, not rounded; empty where it is absent"),
    "unit": Column("string", "Unit of value and uncertainty; 1 for none", required=True),
    "expanded_uncertainty": Column("number", "Expanded uncertainty, k = 2, of the instruments alone"),
    "absent": Column("string", "Why there is no value"),
}
FINDINGS: Mapping[str, Column] = {
    "slug": SLUG,
    "rule": Column("string", "Id of the check; its page says what it looks for and on whose word", required=True),
    "severity": Column(
        "string", "warning or note: a question about the record, no verdict on the product", required=True
    ),
    "field": Column("string", "Field of the record"),
    "found": Column("string", "What was found", required=True),
    "expected": Column("string", "What was expected", required=True),
    "answer": Column("string", "The reviewer's answer"),
}
TABLES: Mapping[str, Mapping[str, Column]] = {
    "products": PRODUCTS, "components": COMPONENTS, "ports": PORTS, "figures": FIGURES, "findings": FINDINGS,
}  # fmt: skip
TITLES: Mapping[str, str] = {
    "products": "One row per product",
    "components": "One row per part of a product",
    "ports": "One row per output port",
    "figures": "One row per derived figure of a product",
    "findings": "One row per warning or note on a record",
}
