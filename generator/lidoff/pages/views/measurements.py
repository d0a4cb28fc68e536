"""The measured rows as tables, one kind of row a table, in the order of a reader's questions."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from lidoff.engineering.supply_efficiency import operating_point
from lidoff.pages.numbers import SPACE, decimals, quantity, rounded
from lidoff.pages.table import Field, Grid, grid_of
from lidoff.pages.views.rows import MAINS, PORT, PORTS, Row, computed, measured, plain, trailing, word
from lidoff.record.model.measured import Measured
from lidoff.record.model.product import Sample


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of row: the list of the record that holds it, the caption of its table, its columns."""

    name: str
    caption: str
    fields: tuple[Field[Row], ...]
    notes: tuple[str, ...] = ()


def _efficiency(row: Row) -> str:
    point = operating_point(row.output_v, row.output_a, row.input_w)
    return f"{rounded(100 * point.efficiency)}{SPACE}%"


def _load(row: Row) -> str:
    if row.load_pct is None:
        return ""
    base = f" of {quantity(row.load_base_a, 'A')}" if row.load_base_a is not None else ""
    return f"{quantity(row.load_pct, '%')}{base}"


def _trip(row: Row) -> str:
    return quantity(row.trip_a, "A") if row.trip_a is not None else ""


def _interruption(row: Row) -> str:
    if row.interrupted_ms is None:
        return ""
    return quantity(row.interrupted_ms, "ms") if row.interrupted_ms else "none"


def _deviation(row: Row) -> str:
    return f"{decimals(100 * (row.measured_v / row.set_v - 1), 2)}{SPACE}%"


MEASURED_AT = word("Measured at", "measured_at", "measuring_point")

LOADS = (
    Kind(
        "efficiency",
        "Efficiency, point by point",
        (
            PORT, MAINS, computed("Load", _load), measured("Output voltage", "output_v", "V"),
            measured("Output current", "output_a", "A"), measured("Input", "input_w", "W"),
            computed("Efficiency", _efficiency), measured("Power factor", "power_factor", ""), MEASURED_AT,
            measured("Cable", "cable_mohm", "mΩ"), measured("Warm-up", "warm_up_min", "min"),
        ),
    ),
    Kind(
        "no_load",
        "With nothing drawn",
        (
            MAINS, measured("Power from the mains", "power_w", "W"), measured("Averaged over", "averaged_s", "s"),
            word("Plugged in", "state", "idle_state"),
        ),
    ),
    Kind(
        "power_factor",
        "Power factor and distortion",
        (
            MAINS, measured("Output", "output_w", "W"), measured("Power factor", "power_factor", ""),
            measured("Current distortion (THD)", "current_thd_pct", "%"),
        ),
    ),
    Kind(
        "soak",
        "Long runs at a steady load",
        (
            PORTS, MAINS, measured("Air", "ambient_c", "°C"), word("Placed", "mounting", "mounting"),
            measured("Hottest surface", "surface_c", "°C"), plain("Where", "hottest_spot"),
            measured("After", "after_min", "min"), measured("Output at the end", "sustained_w", "W"),
            measured("Output reduced after", "foldback_after_min", "min"),
        ),
    ),
    Kind(
        "temperature",
        "Temperatures of spots",
        (
            Field("Spot", lambda row: " ".join(piece for piece in (row.ref, row.spot) if piece)),
            measured("Temperature", "temperature_c", "°C"), measured("Air", "ambient_c", "°C"),
            measured("After", "after_min", "min"), PORTS, word("Taken with", "method", "temperature_method"),
            measured("Emissivity", "emissivity", ""),
        ),
    ),
)  # fmt: skip

OUTPUTS = (
    Kind(
        "regulation",
        "Voltage under load",
        (
            PORT, MAINS, measured("Requested", "set_v", "V"), measured("Measured", "measured_v", "V"),
            computed("Deviation", _deviation), measured("Load", "load_a", "A"), MEASURED_AT,
        ),
    ),
    Kind(
        "ripple",
        "Ripple and noise",
        (
            PORT, MAINS, measured("Output", "output_v", "V"), measured("Load", "load_a", "A"),
            measured("Peak to peak", "pk_pk_mv", "mV"), measured("r.m.s.", "rms_mv", "mV"),
            measured("Bandwidth", "bandwidth_mhz", "MHz"), measured("Ceramic at the probe", "ceramic_nf", "nF"),
            measured("Electrolytic at the probe", "electrolytic_uf", "µF"), MEASURED_AT,
        ),
    ),
    Kind(
        "load_step",
        "Sudden changes of load",
        (
            PORT, measured("Requested", "set_v", "V"), measured("From", "start_a", "A"), measured("To", "end_a", "A"),
            measured("Slope", "slew_a_per_us", "A/µs"), measured("Lowest below", "undershoot_mv", "mV"),
            measured("Highest above", "overshoot_mv", "mV"), measured("Back within", "recovery_ms", "ms"),
        ),
    ),
    Kind(
        "events",
        "What one port does when another is used",
        (
            plain("What was done", "action"), plain("Port watched", "victim"), computed("Interruption", _interruption),
            measured("Power afterwards", "power_after_w", "W"),
        ),
    ),
    Kind(
        "protection",
        "Protections that were tried",
        (
            word("Protection", "function", "protection_function"), PORT, measured("Requested", "set_v", "V"),
            computed("Acted at", _trip), word("Comes back", "recovers", "recovery"),
        ),
    ),
    Kind(
        "charging",
        "Real charges",
        (
            plain("Device", "device"), PORT, measured("From", "start_pct", "%"), measured("To", "end_pct", "%"),
            measured("Air", "ambient_c", "°C"), plain("Log", "log"),
        ),
    ),
    Kind(
        "cable_drop",
        "Voltage lost in cables",
        (
            plain("Cable", "cable"), measured("Length", "length_m", "m"), measured("Current", "current_a", "A"),
            measured("Drop", "drop_mv", "mV"),
        ),
    ),
)  # fmt: skip

BY_TRAINED_PEOPLE = ("Taken by trained people with suitable equipment. Nobody is asked to repeat it.",)
INSULATION = (
    Kind(
        "spacing",
        "Distances across insulation, as measured on this unit",
        (
            word("Between", "across", "insulation_boundary"), measured("Clearance (through air)", "clearance_mm", "mm"),
            measured("Creepage (along surfaces)", "creepage_mm", "mm"), plain("Where", "place"),
            measured("Working voltage", "working_v", "V"),
        ),
        ("Observed distances are not a safety certification.",),
    ),
    Kind(
        "dielectric_test",
        "Voltage tests",
        (
            word("Between", "across", "insulation_boundary"), measured("Voltage", "voltage_v", "V"),
            word("Waveform", "waveform", "test_waveform"), measured("For", "duration_s", "s"),
            measured("Current", "leakage_ma", "mA"),
            Field("Breakdown", lambda row: {True: "yes", False: "no", None: ""}[row.broke_down]),
        ),
        BY_TRAINED_PEOPLE,
    ),
    Kind(
        "touch_current",
        "Touch current",
        (MAINS, measured("Current", "current_ua", "µA"), plain("Measuring network", "network")),
        BY_TRAINED_PEOPLE,
    ),
    Kind(
        "inrush",
        "Inrush current",
        (MAINS, measured("Peak", "peak_a", "A"), word("Before", "start", "start_condition")),
        BY_TRAINED_PEOPLE,
    ),
    Kind(
        "waveforms",
        "Peak voltages on nodes",
        (
            plain("Part", "ref"), plain("Node", "node"), measured("Peak", "peak_v", "V"), MAINS, PORT,
            measured("Output", "output_v", "V"), measured("Load", "output_a", "A"),
        ),
        BY_TRAINED_PEOPLE,
    ),
)  # fmt: skip


def tables(measured_rows: Measured | None, kinds: Iterable[Kind], samples: Sequence[Sample]) -> tuple[Grid, ...]:
    """A table for each of these kinds of which the record has rows."""
    if measured_rows is None:
        return ()
    made = [_table(getattr(measured_rows, kind.name), kind, samples) for kind in kinds]
    return _each_note_once([grid for grid in made if grid is not None])


def _each_note_once(grids: Sequence[Grid]) -> tuple[Grid, ...]:
    """A note that tables in a row share stands under the last of them."""
    following = (*grids[1:], None)
    return tuple(
        replace(grid, notes=()) if after is not None and after.notes == grid.notes else grid
        for grid, after in zip(grids, following, strict=False)
    )


def _table(rows: Sequence[Row], kind: Kind, samples: Sequence[Sample]) -> Grid | None:
    return grid_of(kind.caption, rows, (*kind.fields, *trailing(samples)), kind.notes)

