"""Every figure derived from a record: its name for people, unit, formula and place among the reader's questions."""

from collections.abc import Callable
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from lidoff.engineering import bulk_capacitor as bulk
from lidoff.engineering import (
    capacitor_network,
    density,
    flyback,
    geometry,
    magnetics,
    mains_current,
    mains_discharge,
    observation,
    price,
    sampled_energy,
    sampled_peak,
    supply_efficiency,
    supply_limits,
    turns_ratio,
    usb_pd_power,
    voltage_margin,
    windings,
)
from lidoff.figures.citation import dotted

Question = Literal["promises", "delivers", "made", "sure"]
QUESTIONS: MappingProxyType[str, str] = MappingProxyType(
    {
        "promises": "What it promises",
        "delivers": "What it delivers",
        "made": "How it is made",
        "sure": "How sure we are",
    }
)


@dataclass(frozen=True, slots=True)
class FigureKind:
    """One kind of figure.

    ``per_si`` is how many of ``unit`` make one SI unit. For show a value is rounded to ``places`` decimals where they
    are given, else to ``significant`` digits; ``imperial`` is the unit of the second value beside it.
    """

    id: str
    title: str
    unit: str
    question: Question
    function: Callable
    explanation: str
    per_si: float = 1.0
    significant: int = 3
    places: int | None = None
    imperial: str | None = None

    @property
    def method(self) -> str:
        """The importable name of the formula."""
        return dotted(self.function)


_KINDS = (
    FigureKind(
        "pd_power_w", "Largest fixed USB PD offer", "W", "promises", usb_pd_power.largest_fixed_power,
        "The largest voltage times current among the fixed objects that a port advertised, whatever the label says.",
    ),
    FigureKind(
        "power_density_w_per_cm3", "Power density", "W/cm³", "promises", density.power_density,
        "Rated output power over the volume of the closed body without its prongs.",
    ),
    FigureKind(
        "power_density_w_per_in3", "Power density in cubic inches", "W/in³", "promises", density.power_density,
        "The same power density, computed from the same edges and not converted from a rounded value.",
    ),
    FigureKind(
        "specific_power_w_per_g", "Specific power", "W/g", "promises", density.specific_power,
        "Rated output power over the mass of the whole unit without cables.", imperial="W/oz",
    ),
    FigureKind(
        "mains_current_a", "Mains current at rated power", "A", "promises", mains_current.mains_current,
        "Current from the mains at rated output and the lowest labelled voltage; a label states a maximum.",
    ),
    FigureKind(
        "price_per_watt", "Price per watt", "currency/W", "promises", price.price_per_power,
        "What was paid for a unit over its rated output power, in the currency of that purchase.",
        places=2,
    ),
    FigureKind(
        "average_efficiency_pct", "Average efficiency", "%", "delivers", supply_efficiency.average_efficiency,
        "Mean of the four efficiencies at 25, 50, 75 and 100 % load, as measured on one unit.",
        per_si=100.0, places=2,
    ),
    FigureKind(
        "efficiency_limit_pct", "Published minimum of average efficiency",
        "%", "delivers", supply_limits.efficiency_limit,
        "The minimum for this nameplate power, named only where port, load and connection are those of the test "
        "procedure.",
        per_si=100.0, places=2,
    ),
    FigureKind(
        "no_load_limit_w", "Published maximum of no-load power", "W", "delivers", supply_limits.no_load_limit,
        "The maximum for this nameplate power, named only beside a no-load measurement at the mains of a test "
        "procedure.",
        places=3,
    ),
    FigureKind(
        "loss_w", "Power lost as heat", "W", "delivers", supply_efficiency.operating_point,
        "Input power less output power at the highest load that was measured.",
    ),
    FigureKind(
        "heat_flux_mw_per_cm2", "Heat flux through the surface", "mW/cm²", "delivers", density.heat_flux,
        "The largest measured loss over the whole surface of the body, walls and hidden faces included.",
    ),
    FigureKind(
        "surface_rise_k", "Temperature rise of the surface", "K", "delivers", observation.temperature_rise,
        "Hottest spot of the surface less the air temperature of that run.", places=1,
    ),
    FigureKind(
        "sustained_power_w", "Sustained power", "W", "delivers", observation.total_observed,
        "Output power at the end of a long run; where none is recorded and the output was not reduced, the power "
        "of the run.",
    ),
    FigureKind(
        "charge_peak_w", "Largest charging power", "W", "delivers", sampled_peak.sampled_peak,
        "Largest power that a device took, from a log, after a running median against spikes.",
    ),
    FigureKind(
        "charge_energy_wh", "Energy of a charge", "Wh", "delivers", sampled_energy.sampled_energy,
        "Energy that a device took in one charge, from a log, without the gaps of the log.", per_si=1 / 3600,
    ),
    FigureKind(
        "longest_interruption_ms", "Longest interruption of a port", "ms", "delivers", observation.largest_observed,
        "The longest time that a port was without supply while another was plugged or unplugged; what was not "
        "tried may be longer.",
        per_si=1e3,
    ),
    FigureKind(
        "body_volume_cm3", "Volume of the body", "cm³", "made", geometry.box_volume,
        "Volume of the closed body without prongs: the measured one, else the envelope of its edges.", imperial="in³",
    ),
    FigureKind(
        "mean_density_g_per_cm3", "Mean density", "g/cm³", "made", density.mean_density,
        "Mass over the volume of the closed body; potting raises it.",
    ),
    FigureKind(
        "assembly_power_density_w_per_cm3", "Power density of the bare assembly",
        "W/cm³", "made", density.power_density,
        "Rated output power over the envelope of the circuit without its case; not to be compared with that of a "
        "closed body.",
        imperial="W/in³",
    ),
    FigureKind(
        "bulk_capacitance_uf", "Bulk capacitance", "µF", "made", capacitor_network.parallel_capacitance,
        "Capacitance on the rectified mains, series strings counted as such; parts switched in at low mains "
        "voltage stand apart.",
        per_si=1e6,
    ),
    FigureKind(
        "bulk_uf_per_w", "Bulk capacitance per watt", "µF/W", "made", bulk.capacitance_per_power,
        "Bulk capacitance over rated output power: a ratio, never a limit.", per_si=1e6,
    ),
    FigureKind(
        "bulk_peak_v", "Highest voltage of the bulk capacitor", "V", "made", bulk.peak_voltage,
        "Crest of the highest mains voltage, which is the highest labelled one and its tolerance; behind a boost "
        "stage the bus.",
    ),
    FigureKind(
        "bulk_voltage_margin_pct", "Voltage margin of the bulk capacitor", "%", "made", voltage_margin.voltage_margin,
        "What the highest voltage leaves of the capacitor's rating; a few percent are normal.",
        per_si=100.0, places=1,
    ),
    FigureKind(
        "bulk_valley_v", "Lowest voltage of the bulk capacitor", "V", "made", bulk.bus_valley,
        "Lowest bus voltage of each half wave at rated power: exact for ideal rectifiers, no source impedance, "
        "constant power.",
    ),
    FigureKind(
        "stored_energy_j", "Energy in the bulk capacitor", "J", "made", bulk.stored_energy,
        "Energy at the highest voltage and the printed capacitance.",
    ),
    FigureKind(
        "bleed_time_to_60v_s", "Bulk capacitor down to 60 V, nominal, if intact",
        "s", "made", mains_discharge.time_to_voltage,
        "What the recorded bleed path would take if nothing in it is broken. It describes a design and tells "
        "nobody how long to wait.",
    ),
    FigureKind(
        "turns_ratio", "Turns ratio", "1", "made", windings.turns_ratio,
        "Primary turns over secondary turns of the main transformer, as recorded.",
    ),
    FigureKind(
        "turns_ratio_window", "Turns ratios that the ratings leave open", "1", "sure", turns_ratio.turns_ratio_window,
        "Without recorded turns: from the rating of the output rectifier the least ratio, from that of the "
        "primary switch the largest.",
    ),
    FigureKind(
        "reflected_voltage_v", "Reflected output voltage", "V", "made", flyback.reflected_voltage,
        "Highest output voltage, adjustable ranges included, as it appears at the primary winding.",
    ),
    FigureKind(
        "switch_stress_v", "Voltage across the primary switch", "V", "made", flyback.switch_stress,
        "Highest bus voltage, reflected voltage and an assumed spike; or the peak that was measured.",
    ),
    FigureKind(
        "sync_rectifier_stress_v", "Reverse voltage of the output rectifier", "V", "made", flyback.rectifier_stress,
        "Plateau of the reverse voltage at the highest bus and output voltage, without ringing; or the peak that "
        "was measured.",
    ),
    FigureKind(
        "peak_flux_mt", "Peak flux density of the transformer", "mT", "made", magnetics.peak_flux_density,
        "Flux density at the peak of the primary current at rated power.", per_si=1e3,
    ),
    FigureKind(
        "y_touch_current_ua", "Current through the Y capacitors, upper bound",
        "µA", "made", mains_current.touch_current_bound,
        "At most this flows through the Y capacitors to the output; commonly 0.5 to 0.7 of it (common practice, "
        "no source).",
        per_si=1e6,
    ),
    FigureKind(
        "inrush_peak_a", "Inrush current, upper bound", "A", "made", mains_current.inrush_peak,
        "Crest of the highest mains voltage over the recorded cold resistance: plugged in at the crest, mains "
        "impedance left out.",
    ),
)  # fmt: skip

KINDS: MappingProxyType[str, FigureKind] = MappingProxyType({kind.id: kind for kind in _KINDS})
