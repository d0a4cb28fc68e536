"""The trend tables by name: each is data here, built by counting, by spreading a figure, or by a module of its own."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lidoff.rows.measured_values import HOW_EFFICIENCY_IS_PICKED
from lidoff.rows.positions import OUTPUT_SWITCH, PFC_SWITCH, PRIMARY_SWITCH, SYNC_RECTIFIER
from lidoff.trends import tallies
from lidoff.trends.adjustable import adjustable_outputs
from lidoff.trends.adoption import adoption_by_year
from lidoff.trends.controller_years import controller_years
from lidoff.trends.controllers import controller_pairs, controllers
from lidoff.trends.counting import Heading, cross_table
from lidoff.trends.frames import Frames
from lidoff.trends.makers import makers_by_function
from lidoff.trends.margins import HOW_IT_IS_JUDGED, margins
from lidoff.trends.prices import price_by_currency
from lidoff.trends.product_values import column_value, figure_value, margin_value
from lidoff.trends.revisions import substitutions
from lidoff.trends.spread import COLUMNS, column_values, figure_values, spread_table
from lidoff.trends.table import Table
from lidoff.trends.tally import Product, Tally, cross, spread

if TYPE_CHECKING:
    import pandas as pd

Values = Callable[[Frames], "pd.DataFrame"]
Value = Callable[[Product], "float | None"]


@dataclass(frozen=True, slots=True)
class Definition:
    """A table that can be asked for by name; ``tally`` says what one product adds to it."""

    name: str
    title: str
    build: Callable[[Frames], Table]
    tally: Tally


def counted(name: str, title: str, rows: str, columns: str, description: str = "") -> Definition:
    """A table of products by two dimensions."""
    heading = Heading(name, title, description)
    return Definition(name, title, lambda frames: cross_table(frames, heading, rows, columns), cross(rows, columns))


def value_spread(
    name: str, title: str, rows: str, values: Values, value: Value, unit: str, meaning: str, note: str = ""
) -> Definition:
    """A table of how a value is spread over the groups of a dimension."""
    notes = (note,) if note else ()
    return Definition(
        name, title, lambda frames: spread_table(frames, name, title, rows, values(frames), meaning, unit, notes),
        spread(rows, COLUMNS, value),
    )  # fmt: skip


def figure_spread(
    name: str, title: str, rows: str, figure_id: str, unit: str, meaning: str, note: str = ""
) -> Definition:
    """A table of how a figure without corners is spread over the groups of a dimension."""
    values, value = lambda frames: figure_values(frames, figure_id), figure_value(figure_id)
    return value_spread(name, title, rows, values, value, unit, meaning, note)


def column_spread(name: str, title: str, rows: str, column: str, unit: str, meaning: str, note: str = "") -> Definition:
    """A table of how a column of the frame of products is spread over the groups of a dimension."""
    values, value = lambda frames: column_values(frames, column), column_value(column)
    return value_spread(name, title, rows, values, value, unit, meaning, note)


FIXED = (
    counted("technology-by-tier", "Technology of the primary switch by power tier", PRIMARY_SWITCH.field, "tier"),
    counted("topology-by-tier", "Isolated converter by power tier", "topology", "tier"),
    counted("pfc-by-tier", "Power factor correction by power tier", "pfc", "tier"),
    counted("technology-by-year", "Technology of the primary switch by year", PRIMARY_SWITCH.field, "year"),
    Definition("controllers", "Controllers by what they control", controllers, tallies.CONTROLLERS),
    counted("protocols-by-tier", "Charging protocols by power tier", "protocol", "tier"),
    figure_spread(
        "density-by-tier", "Power density by power tier", "tier", "power_density_w_per_cm3", "W/cm³",
        "Rated power over the volume of the body",
    ),
    figure_spread(
        "bulk-by-tier", "Bulk capacitance per watt by power tier", "tier", "bulk_uf_per_w", "µF/W",
        "Bulk capacitance over the rated power",
        "A bus behind a boost stage is regulated and needs less: see bulk-by-pfc.",
    ),
)  # fmt: skip
FURTHER = (
    counted("pfc-switch-technology-by-tier", "Technology of the PFC switch by power tier", PFC_SWITCH.field, "tier"),
    counted(
        "rectifier-technology-by-tier",
        "Technology of the synchronous rectifier by power tier",
        SYNC_RECTIFIER.field,
        "tier",
    ),
    counted(
        "output-switch-technology-by-tier", "Technology of the output switch by power tier", OUTPUT_SWITCH.field, "tier"
    ),
    counted("topology-by-year", "Isolated converter by year", "topology", "year"),
    counted("secondary-by-tier", "Secondary rectification by power tier", "secondary", "tier"),
    counted("per-port-by-tier", "Conversion for each port by power tier", "per_port", "tier"),
    counted("switch-place-by-tier", "Switch inside the controller or separate, by power tier", "switch_place", "tier"),
    counted(
        "rectifier-controllers-by-tier",
        "Synchronous rectifier controllers by power tier",
        "sync_rectifier_controller",
        "tier",
    ),
    counted("protocol-controllers-by-tier", "Protocol controllers by power tier", "protocol_controller", "tier"),
    Definition("controller-pairs", "Rectifier controllers beside primary controllers", controller_pairs, tallies.CONTROLLER_PAIRS),
    counted("core-by-tier", "Core of the transformer by power tier", "transformer_core", "tier"),
    counted("bulk-makers-by-tier", "Makers of bulk capacitors by power tier", "bulk_capacitor_maker", "tier"),
    counted("potting-by-year", "Potting by year", "potting", "year"),
    counted("heat-path-by-year", "What carries heat to the surface, by year", "thermal_path", "year"),
    column_spread("pfc-onset", "Rated power with and without PFC", "pfc", "rated_power_w", "W", "Rated power"),
    figure_spread(
        "density-by-year", "Power density by year", "year", "power_density_w_per_cm3", "W/cm³",
        "Rated power over the volume of the body",
    ),
    figure_spread(
        "bulk-by-pfc", "Bulk capacitance per watt with and without PFC", "pfc", "bulk_uf_per_w", "µF/W",
        "Bulk capacitance over the rated power",
    ),
    value_spread(
        "efficiency-margin-by-tier", "Efficiency margin by power tier", "tier", margins, margin_value, "percentage points",
        "Measured average efficiency less the published minimum", HOW_IT_IS_JUDGED,
    ),
    counted("voltage-steps-by-tier", "Voltages on the label by power tier", "voltage_step", "tier"),
    Definition("adoption-by-year", "Adjustable outputs and GaN by year", adoption_by_year, tallies.ADOPTION),
    Definition("makers-by-function", "Makers of parts by what the parts do", makers_by_function, tallies.MAKERS),
    Definition("controller-years", "Years in which controllers were seen", controller_years, tallies.YEARS),
    Definition("adjustable-by-tier", "Adjustable and extended outputs by power tier", adjustable_outputs, tallies.ADJUSTABLE),
    column_spread(
        "full-load-efficiency-by-topology", "Efficiency at full load by isolated converter", "topology",
        "efficiency_full_load_pct", "%",
        "Efficiency at full load", HOW_EFFICIENCY_IS_PICKED,
    ),
    column_spread(
        "tenth-load-efficiency-by-topology", "Efficiency at 10 % load by isolated converter", "topology",
        "efficiency_tenth_load_pct", "%",
        "Efficiency at 10 % load", HOW_EFFICIENCY_IS_PICKED,
    ),
    column_spread(
        "sustained-by-tier", "Sustained power over rated power by power tier", "tier", "sustained_pct", "%",
        "Largest power sustained in a long run over the rated power",
    ),
    figure_spread(
        "heat-flux-by-tier", "Heat flux through the surface by power tier", "tier", "heat_flux_mw_per_cm2", "mW/cm²",
        "Largest measured loss over the surface of the body",
    ),
    figure_spread(
        "surface-rise-by-tier", "Temperature rise of the surface by power tier", "tier", "surface_rise_k", "K",
        "Hottest spot of the surface less the air temperature",
        "Loads, mountings and times differ from one record to the next.",
    ),
    Definition("price-by-currency", "Price per watt by currency", price_by_currency, tallies.PRICES),
    Definition("substitutions", "Parts exchanged between revisions", substitutions, tallies.EXCHANGES),
)  # fmt: skip
TABLES: Mapping[str, Definition] = {definition.name: definition for definition in (*FIXED, *FURTHER)}


def build_table(frames: Frames, name: str) -> Table:
    """The table of that name; raises KeyError where there is none."""
    return TABLES[name].build(frames)
