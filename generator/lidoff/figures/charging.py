"""Figures of real charges, from logs that an earlier stage has read."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from lidoff.engineering.sampled_energy import sampled_energy
from lidoff.engineering.sampled_peak import sampled_peak
from lidoff.figures.assumptions import Assumptions
from lidoff.figures.figure import Corner, Figure
from lidoff.figures.known import Absent, Known, absent, attempt, computed, read, resting_on
from lidoff.figures.rows import measured, of_first_sample
from lidoff.record.model import Record
from lidoff.record.model.electrical import Charging

IDS = ("charge_peak_w", "charge_energy_wh")
NO_CHARGE = "no log of a charge is recorded"
NOT_READ = "the log was not read"


@dataclass(frozen=True, slots=True)
class PowerLog:
    """A power over time, in seconds and watts."""

    times: tuple[float, ...]
    powers: tuple[float, ...]


def charging_figures(record: Record, assumptions: Assumptions, logs: Mapping[str, PowerLog]) -> Iterator[Figure]:
    """Figures of the first charge at each port; ``logs`` holds those that were read, by their file as in the record."""
    corners: dict[Corner, list[tuple[int, Charging]]] = {}
    for place, row in enumerate(measured(record).charging):
        corners.setdefault(Corner(port=row.port), []).append((place, row))
    if not corners:
        yield from (absent(id, NO_CHARGE) for id in IDS)
    for corner, rows in corners.items():
        place, row = of_first_sample(record, rows)[0]
        yield from attempt(IDS[0], lambda place=place, row=row: _peak(place, row, assumptions, logs), corner)
        yield from attempt(IDS[1], lambda place=place, row=row: _energy(place, row, assumptions, logs), corner)


def _peak(place: int, row: Charging, assumptions: Assumptions, logs: Mapping[str, PowerLog]) -> Known:
    log, samples = _log(place, row, logs)
    window = assumptions.known("peak_window_samples")
    return resting_on(computed(sampled_peak, log.powers, int(window.value)), (samples, window))


def _energy(place: int, row: Charging, assumptions: Assumptions, logs: Mapping[str, PowerLog]) -> Known:
    log, samples = _log(place, row, logs)
    gap = assumptions.known("log_gap_ratio")
    return resting_on(computed(sampled_energy, log.times, log.powers, gap.value).energy, (samples, gap))


def _log(place: int, row: Charging, logs: Mapping[str, PowerLog]) -> tuple[PowerLog, Known]:
    """The log of a row, and the number of its samples as the input that a figure shows."""
    log = logs.get(row.log)
    if log is None:
        raise Absent(NOT_READ)
    return log, read(f"measured.charging[{place}].log", len(log.powers), "samples")
