"""Figures of real charges, from logs that an earlier stage has read."""

from collections.abc import Iterator

from lidoff.bench.log_values import ChargeLog
from lidoff.bench.logs import Logs
from lidoff.figures.assumptions import Assumptions
from lidoff.figures.figure import Corner, Figure
from lidoff.figures.known import Absent, Known, absent, attempt, read, resting_on
from lidoff.figures.meters import SHARED_ERROR, energy_uncertainty, power_uncertainty
from lidoff.figures.rows import accuracy_of, measured, of_first_sample, reading_uncertainty
from lidoff.record.model import Record
from lidoff.record.model.electrical import Charging

IDS = ("charge_peak_w", "charge_energy_wh")
NO_CHARGE = "no log of a charge is recorded"
NOT_READ = "the log was not read"
UNREADABLE = "the log could not be read, for the reason that the checks give"

ChargeRow = tuple[int, Charging]


def charging_figures(record: Record, assumptions: Assumptions, logs: Logs) -> Iterator[Figure]:
    """Figures of the first charge at each port whose log was read; ``logs`` holds them by the field of their row."""
    corners: dict[Corner, list[ChargeRow]] = {}
    for place, row in enumerate(measured(record).charging):
        corners.setdefault(Corner(port=row.port), []).append((place, row))
    if not corners:
        yield from (absent(id, NO_CHARGE) for id in IDS)
    for corner, rows in corners.items():
        mine = of_first_sample(record, rows)
        one = next((one for one in mine if _log(one[0], logs) is not None), mine[0])
        yield from attempt(IDS[0], lambda one=one: _peak(record, one, assumptions, logs), corner)
        yield from attempt(IDS[1], lambda one=one: _energy(record, one, assumptions, logs), corner)


def _peak(record: Record, one: ChargeRow, assumptions: Assumptions, logs: Logs) -> Known:
    log, samples = _read(one, logs)
    window, shared = assumptions.known("peak_window_samples"), assumptions.known(SHARED_ERROR)
    peak = log.peak
    if window.value % 2 == 0:
        raise Absent("the window of the running median is even, and so has no middle")
    if peak is None:
        raise Absent(f"the log has {log.samples} readings, fewer than the {int(window.value)} whose median counts")
    instrument = one[1].instrument
    if peak.voltage is None or peak.current is None:
        spread = reading_uncertainty(record, instrument, "power", peak.power)
    else:
        spread = power_uncertainty(record, instrument, peak.voltage, peak.current, shared.value)
    return resting_on(peak.power, (samples, window, *_shared(record, instrument, spread, shared)), spread)


def _energy(record: Record, one: ChargeRow, assumptions: Assumptions, logs: Logs) -> Known:
    log, samples = _read(one, logs)
    gap, shared = assumptions.known("log_gap_ratio"), assumptions.known(SHARED_ERROR)
    instrument = one[1].instrument
    spread = energy_uncertainty(
        record, instrument, log.energy, log.covered_s, log.charge, log.volt_seconds, shared.value
    )
    return resting_on(log.energy, (samples, gap, *_shared(record, instrument, spread, shared)), spread)


def _shared(record: Record, instrument: str | None, spread: float | None, shared: Known) -> tuple[Known, ...]:
    """The assumption on shared errors where the uncertainty rests on it: without an accuracy for power itself."""
    return () if spread is None or accuracy_of(record, instrument, "power") is not None else (shared,)


def _read(one: ChargeRow, logs: Logs) -> tuple[ChargeLog, Known]:
    """The log of a row, and the number of its samples as the input that a figure shows."""
    place, _ = one
    log = _log(place, logs)
    if log is None:
        raise Absent(UNREADABLE if _field(place) in logs else NOT_READ)
    return log, read(f"{_field(place)}.log", log.samples, "samples")


def _log(place: int, logs: Logs) -> ChargeLog | None:
    found = logs.get(_field(place))
    return found.charge if found is not None else None


def _field(place: int) -> str:
    return f"measured.charging[{place}]"
