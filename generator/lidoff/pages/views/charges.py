"""Real charges and long runs from their logs: chart, figures in words, where the time went, how the file was read."""

from collections.abc import Iterator
from dataclasses import dataclass

from lidoff.bench.log_values import Adjusted, ChargeLog, SoakLog, Voltages
from lidoff.entry import Entry
from lidoff.figures.figure import Figure
from lidoff.figures.known import Known, figure
from lidoff.figures.meters import energy_uncertainty, power_uncertainty
from lidoff.figures.rows import reading_uncertainty
from lidoff.figures.show import shown
from lidoff.pages.drawings.run_chart import RunChart, run_chart
from lidoff.pages.numbers import SPACE, decimals, quantity, rounded, span
from lidoff.pages.table import Column, Fact, Grid
from lidoff.pages.views.log_files import Reading, log_reading, published_names
from lidoff.pages.views.rows import port_powers
from lidoff.pages.wording import capital
from lidoff.record.model.electrical import Charging, Soak
from lidoff.record.model.record import Record

LEAST_GAP_SHARE = 0.001
WHAT_NEAR_MEANS = (
    "Near means within 5 % when it begins and until 10 % away; moves that current and resistance do not explain count as "
    "adjusted."
)


@dataclass(frozen=True, slots=True)
class RunView:
    """One log on a page."""

    title: str
    chart: RunChart | None
    facts: tuple[Fact, ...]
    sentences: tuple[str, ...]
    voltages: Grid | None
    reading: Reading


def run_views(entry: Entry) -> tuple[RunView, ...]:
    """Every charge and every long run that has a log, in the order of the record."""
    names = published_names(entry)
    return tuple(view for at, row in _rows(entry.record) if at in entry.logs for view in [_view(entry, at, row, names)])


def _rows(record: Record) -> Iterator[tuple[str, Charging | Soak]]:
    if record.measured is not None:
        for name in ("charging", "soak"):
            for place, row in enumerate(getattr(record.measured, name)):
                yield f"measured.{name}[{place}]", row


def _view(entry: Entry, at: str, row: Charging | Soak, names: dict[str, str]) -> RunView:
    result = entry.logs[at]
    reading, title = log_reading(at, result, names), _title(row)
    key = at.replace("measured.", "").replace("[", "-").rstrip("]")
    if result.charge is not None and isinstance(row, Charging):
        return _charge(entry, at, row, result.charge, (key, title, reading))
    if result.soak is not None and isinstance(row, Soak):
        return _run(result.soak, (key, title, reading))
    return RunView(title, None, (), (), None, reading)


def _title(row: Charging | Soak) -> str:
    if isinstance(row, Soak):
        sample = f", sample {row.sample}" if row.sample else ""
        return f"A long run: {port_powers(row)}{sample}"
    port = f" at port {row.port}" if row.port else ""
    states = ""
    if row.start_pct is not None and row.end_pct is not None:
        states = f", from {span(row.start_pct, row.end_pct, '%')}"
    return f"{capital(row.device or 'a device')}{port}{states}"


def _charge(entry: Entry, at: str, row: Charging, log: ChargeLog, head: tuple[str, str, Reading]) -> RunView:
    key, title, reading = head
    peak, energy = _figures(entry, at, row, log)
    largest = None
    if log.peak is not None:
        largest = log.peak.at_s, log.peak.power, f"{rounded(log.peak.power)}{SPACE}W"
    return RunView(
        title=title,
        chart=run_chart(key, title, log.curves, log.length_s, largest),
        facts=tuple(_facts(log, peak, energy)),
        sentences=tuple(_sentences(log)),
        voltages=_voltages(log.voltages, log.covered_s) if log.voltages else None,
        reading=reading,
    )


def _figures(entry: Entry, at: str, row: Charging, log: ChargeLog) -> tuple[str, str]:
    """Peak and energy with their uncertainty: the figures of the page where they are of this log, else made alike."""
    mine = {one.id: one for one in entry.figures if any(given.field == f"{at}.log" for given in one.inputs)}
    peak, energy = mine.get("charge_peak_w"), mine.get("charge_energy_wh")
    if peak is None and log.peak is not None:
        peak = figure("charge_peak_w", Known(log.peak.power, uncertainty=_peak_uncertainty(entry.record, row, log)))
    if energy is None:
        spread = energy_uncertainty(
            entry.record, row.instrument, log.energy, log.covered_s, log.charge, log.volt_seconds
        )
        energy = figure("charge_energy_wh", Known(log.energy, uncertainty=spread))
    return _shown(peak), _shown(energy)


def _peak_uncertainty(record: Record, row: Charging, log: ChargeLog) -> float | None:
    if log.peak.voltage is None or log.peak.current is None:
        return reading_uncertainty(record, row.instrument, "power", log.peak.power)
    return power_uncertainty(record, row.instrument, log.peak.voltage, log.peak.current)


def _shown(found: Figure | None) -> str:
    return shown(found, SPACE).text if found is not None else ""


def _facts(log: ChargeLog, peak: str, energy: str) -> Iterator[Fact]:
    if log.peak is not None and peak:
        yield Fact("Largest power", peak, f"median of {log.peak.window} readings, after {duration(log.peak.at_s)}")
    gap = log.gap_s > LEAST_GAP_SHARE * log.length_s
    yield Fact("Energy", energy, f"without {duration(log.gap_s)} that were not logged" if gap else "at the meter")
    if log.charge is not None:
        yield Fact("Charge", f"{rounded(log.charge / 3600)}{SPACE}Ah", "at the port's voltage, not at the battery's")
    if log.counter is not None:
        yield Fact("Energy by the meter's own counter", f"{rounded(log.counter / 3600)}{SPACE}Wh")
    yield Fact("Length of the log", duration(log.length_s))
    shares = dict(log.shares)
    if 0.5 in shares and 0.9 in shares:
        yield Fact("Half of the energy", f"after {duration(shares[0.5])}", f"90{SPACE}% after {duration(shares[0.9])}")
    if log.taper_s is not None:
        end = f"from 90{SPACE}% of the peak to 2{SPACE}%, or the log's end"
        yield Fact("Falling power", duration(log.taper_s), end)


def _sentences(log: ChargeLog) -> Iterator[str]:
    adjusted = log.voltages.adjusted if log.voltages is not None else None
    if adjusted is not None:
        yield _adjusting(adjusted)


def _adjusting(adjusted: Adjusted) -> str:
    reach = f"between {decimals(adjusted.low_v, 2)} and {decimals(adjusted.high_v, 2)}{SPACE}V"
    said = f"The device adjusts its voltage {reach}, as with a programmable or an adjustable supply"
    if adjusted.levels < 2 or adjusted.step_v is None:
        return f"{said}."
    return f"{said}: {adjusted.levels} steady levels, mostly {decimals(1000 * adjusted.step_v, 0)}{SPACE}mV apart."


def _voltages(voltages: Voltages, covered_s: float) -> Grid:
    """Where the time went, by voltage."""
    found = [
        (f"Near {quantity(one.nominal_v, 'V')}", one.time_s, f"{decimals(one.mean_v, 2)}{SPACE}V")
        for one in voltages.stays
    ]
    if voltages.adjusted is not None:
        one = voltages.adjusted
        reach = f"{decimals(one.low_v, 2)} to {decimals(one.high_v, 2)}{SPACE}V"
        found.append(("Adjusted by the device", one.time_s, reach))
    if voltages.other_s > 0:
        found.append(("On the way, or without voltage", voltages.other_s, ""))
    rows = tuple(
        (name, duration(time), f"{decimals(100 * time / covered_s, 1)}{SPACE}%", mean) for name, time, mean in found
    )
    numbers = (Column(name, is_number=True) for name in ("Time", "Of the time logged", "Measured there"))
    return Grid("Where the time went", (Column("Voltage"), *numbers), rows, notes=(WHAT_NEAR_MEANS,))


def _run(log: SoakLog, head: tuple[str, str, Reading]) -> RunView:
    key, title, reading = head
    return RunView(title, run_chart(key, title, log.curves, log.length_s), tuple(_run_facts(log)), (), None, reading)


def _run_facts(log: SoakLog) -> Iterator[Fact]:
    yield Fact("Length of the log", duration(log.length_s))
    if log.sustained is not None:
        yield Fact("Output at the end", f"{rounded(log.sustained)}{SPACE}W", "mean of the last minutes")
        reduced = log.reduced_after_s
        yield Fact("Output reduced", "not in this log" if reduced is None else f"after {duration(reduced)}")
    if log.surface_c is not None:
        yield Fact("Hottest surface at the end", f"{decimals(log.surface_c, 1)}{SPACE}°C")
    if log.surface_c is not None and log.ambient_c is not None:
        yield Fact("Above the air", f"{decimals(log.surface_c - log.ambient_c, 1)}{SPACE}K")


def duration(seconds: float) -> str:
    """A time in the units that people say it in.

    Examples
    --------
    >>> [duration(value).replace(SPACE, " ") for value in (24.2, 248, 5400, 7192)]
    ['24 s', '4 min 8 s', '1 h 30 min', '2 h']
    """
    whole = round(seconds)
    if whole < 60:
        return f"{decimals(seconds, 0) if seconds >= 10 else decimals(seconds, 1)}{SPACE}s"
    if whole < 1800:
        return _two(whole, 60, "min", "s")
    return _two(round(seconds / 60), 60, "h", "min") if whole >= 3600 else f"{round(seconds / 60)}{SPACE}min"


def _two(amount: int, per: int, large: str, small: str) -> str:
    whole, rest = divmod(amount, per)
    return f"{whole}{SPACE}{large} {rest}{SPACE}{small}" if rest else f"{whole}{SPACE}{large}"
