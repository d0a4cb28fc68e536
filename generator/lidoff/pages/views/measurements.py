"""The measured rows as tables, one kind of row a table, in the order of a reader's questions."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from lidoff.checks.ripple_bandwidth import gaps
from lidoff.pages.numbers import SPACE, decimals, quantity
from lidoff.pages.table import Field, Grid, grid_of
from lidoff.pages.views.readings import (
    COVERAGE,
    Column,
    Derived,
    Reading,
    bound,
    efficiency_text,
    reading_text,
    rise_text,
)
from lidoff.pages.views.rows import MAINS, PORT, PORTS, Row, computed, measured, plain, trailing, word
from lidoff.pages.wording import listed
from lidoff.record.model.record import Record


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of row: the list of the record that holds it, the caption of its table, its columns."""

    name: str
    caption: str
    fields: tuple[Column, ...]
    notes: tuple[str, ...] = ()


def _load(row: Row) -> str:
    if row.load_pct is None:
        return ""
    base = f" of {quantity(row.load_base_a, 'A')}" if row.load_base_a is not None else ""
    return f"{quantity(row.load_pct, '%')}{base}"


def _averaging(row: Row) -> str:
    return "not recorded" if row.averaged_s is None else quantity(row.averaged_s, "s")


def _reduction(row: Row) -> str:
    """When the output was reduced; a run whose length is known and that says nothing of it kept its power."""
    if row.foldback_after_min is not None:
        return f"after {quantity(row.foldback_after_min, 'min')}"
    return "" if row.after_min is None else "no"


def _is_comparable(row: Row) -> str:
    """Whether a ripple can be set beside that of another product."""
    if row.pk_pk_mv is None:
        return ""
    missing = gaps(row)
    return f"not comparable: {listed(missing)} not recorded" if missing else "yes"


def _interruption(record: Record, row: Row) -> str:
    return "none" if row.interrupted_ms == 0 else reading_text(record, row, INTERRUPTION)


def _resistance(record: Record, row: Row) -> str:
    return f"{decimals(row.drop_mv / row.current_a, 0)}{SPACE}mΩ" if row.current_a else ""


def _deviation(row: Row) -> str:
    return f"{decimals(100 * (row.measured_v / row.set_v - 1), 2)}{SPACE}%"


MEASURED_AT = word("Measured at", "measured_at", "measuring_point")
AIR = Reading("Air", "ambient_c", "°C", "temperature")
INTERRUPTION = Reading("Interruption", "interrupted_ms", "ms", "time", per_unit=1e3)
INPUT, OUTPUT = "input_instrument", "output_instrument"

POINT: tuple[Column, ...] = (
    PORT, MAINS, computed("Load", _load), measured("Requested", "set_v", "V"),
    Reading("Output voltage", "output_v", "V", "voltage", OUTPUT),
    Reading("Output current", "output_a", "A", "current", OUTPUT), Reading("Input", "input_w", "W", "power", INPUT),
    Derived("Efficiency", efficiency_text), measured("Power factor", "power_factor", ""), MEASURED_AT,
    measured("Cable", "cable_mohm", "mΩ"), measured("Warm-up", "warm_up_min", "min"),
)  # fmt: skip
SWEEP = Kind("efficiency_sweeps", "", POINT)

LOADS = (
    Kind(
        "efficiency",
        "Efficiency, point by point",
        POINT,
    ),
    Kind(
        "no_load",
        "No load",
        (
            MAINS, Reading("Power from the mains", "power_w", "W", "power"), computed("Averaged over", _averaging),
            word("Plugged in", "state", "idle_state"),
        ),
    ),
    Kind(
        "power_factor",
        "Power factor and distortion",
        (
            MAINS, Reading("Output", "output_w", "W", "power"), measured("Power factor", "power_factor", ""),
            measured("Current distortion (THD)", "current_thd_pct", "%"),
        ),
    ),
    Kind(
        "soak",
        "Long runs at a steady load",
        (
            PORTS, MAINS, AIR, word("Placed", "mounting", "mounting"),
            Reading("Hottest surface", "surface_c", "°C", "temperature"), plain("Where", "hottest_spot"),
            Derived("Above the air", rise_text), measured("After", "after_min", "min"),
            Reading("Output at the end", "sustained_w", "W", "power"), Field("Output reduced", _reduction),
        ),
    ),
    Kind(
        "temperature",
        "Temperatures of spots",
        (
            Field("Spot", lambda row: " ".join(piece for piece in (row.ref, row.spot) if piece)),
            Reading("Temperature", "temperature_c", "°C", "temperature"), MAINS, AIR,
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
            PORT, MAINS, measured("Requested", "set_v", "V"), Reading("Measured", "measured_v", "V", "voltage"),
            computed("Deviation", _deviation), Reading("Load", "load_a", "A", "current"), MEASURED_AT,
        ),
    ),
    Kind(
        "ripple",
        "Ripple and noise",
        (
            PORT, MAINS, measured("Output", "output_v", "V"), measured("Load", "load_a", "A"),
            Reading("Peak to peak", "pk_pk_mv", "mV", "voltage", per_unit=1e3),
            Reading("r.m.s.", "rms_mv", "mV", "voltage", per_unit=1e3),
            measured("Bandwidth", "bandwidth_mhz", "MHz"), measured("Ceramic at the probe", "ceramic_nf", "nF"),
            measured("Electrolytic at the probe", "electrolytic_uf", "µF"), MEASURED_AT,
            Field("Comparable with others", _is_comparable),
        ),
    ),
    Kind(
        "load_step",
        "Sudden changes of load",
        (
            PORT, MAINS, measured("Requested", "set_v", "V"), measured("From", "start_a", "A"),
            measured("To", "end_a", "A"), measured("Slope", "slew_a_per_us", "A/µs"),
            Reading("Lowest below", "undershoot_mv", "mV", "voltage", per_unit=1e3),
            Reading("Highest above", "overshoot_mv", "mV", "voltage", per_unit=1e3),
            measured("Back within", "recovery_ms", "ms"),
        ),
    ),
    Kind(
        "events",
        "What one port does when another is used",
        (
            plain("What was done", "action"), plain("Port watched", "victim"), 
            Derived("Interruption", _interruption), Reading("Power afterwards", "power_after_w", "W", "power"),
        ),
    ),
    Kind(
        "protection",
        "Protections that were tried",
        (
            word("Protection", "function", "protection_function"), PORT, measured("Requested", "set_v", "V"),
            Reading("Acted at", "trip_a", "A", "current"), word("Comes back", "recovers", "recovery"),
        ),
    ),
    Kind(
        "charging",
        "Real charges",
        (
            plain("Device", "device"), PORT, MAINS, measured("From", "start_pct", "%"), measured("To", "end_pct", "%"),
            AIR, plain("Log", "log"),
        ),
    ),
    Kind(
        "cable_drop",
        "Voltage lost in cables",
        (
            plain("Cable", "cable"), measured("Length", "length_m", "m"),
            Reading("Current", "current_a", "A", "current"),
            Reading("Drop", "drop_mv", "mV", "voltage", per_unit=1e3), Derived("Resistance", _resistance),
        ),
    ),
)  # fmt: skip

BY_TRAINED_PEOPLE = ("Taken by trained people with suitable equipment. Nobody is asked to repeat it.",)
INSULATION = (
    Kind(
        "spacing",
        "Distances across insulation, as measured on this unit",
        (
            word("Between", "across", "insulation_boundary"),
            Reading("Clearance (through air)", "clearance_mm", "mm", "length"),
            Reading("Creepage (along surfaces)", "creepage_mm", "mm", "length"), plain("Where", "place"),
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
        (MAINS, Reading("Current", "current_ua", "µA", "current", per_unit=1e6), plain("Measuring network", "network")),
        BY_TRAINED_PEOPLE,
    ),
    Kind(
        "inrush",
        "Inrush current",
        (MAINS, Reading("Peak", "peak_a", "A", "current"), word("Before", "start", "start_condition")),
        BY_TRAINED_PEOPLE,
    ),
    Kind(
        "waveforms",
        "Peak voltages on nodes",
        (
            plain("Part", "ref"), plain("Node", "node"), Reading("Peak", "peak_v", "V", "voltage"), MAINS, PORT,
            measured("Output", "output_v", "V"), measured("Load", "output_a", "A"),
            Field("Picture", lambda row: row.photo or "", is_file=True),
        ),
        BY_TRAINED_PEOPLE,
    ),
)  # fmt: skip


def tables(record: Record, kinds: Iterable[Kind]) -> tuple[Grid, ...]:
    """A table for each of these kinds of which the record has rows."""
    if record.measured is None:
        return ()
    made = [table(getattr(record.measured, kind.name), kind, record) for kind in kinds]
    return _each_note_once([grid for grid in made if grid is not None])


def table(rows: Sequence[Row], kind: Kind, record: Record) -> Grid | None:
    """The table of some rows of a kind; None without rows."""
    if not rows:
        return None
    fields = [bound(column, record) for column in kind.fields]
    grid = grid_of(kind.caption, rows, (*fields, *trailing(record.samples)), kind.notes)
    if not any("±" in cell for row in grid.rows for cell in row if type(cell) is str):
        return grid
    return replace(grid, notes=(*grid.notes, COVERAGE))


def _each_note_once(grids: Sequence[Grid]) -> tuple[Grid, ...]:
    """A note that later tables in a row have too stands under the last of them."""
    made = []
    for place, grid in enumerate(grids):
        later = {note for other in grids[place + 1 :] for note in other.notes}
        kept = tuple(note for note in grid.notes if note not in later)
        made.append(grid if len(kept) == len(grid.notes) else replace(grid, notes=kept))
    return tuple(made)
