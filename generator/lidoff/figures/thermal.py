"""Figures of heat: loss, heat through the surface, surface temperature, power kept up."""

from collections.abc import Iterator

from lidoff.bench.logs import Logs
from lidoff.engineering.combined_uncertainty import difference_uncertainty
from lidoff.engineering.density import heat_flux
from lidoff.engineering.observation import as_observed, temperature_rise, total_observed
from lidoff.engineering.supply_efficiency import operating_point
from lidoff.figures.assumptions import Assumptions
from lidoff.figures.efficiency import MORE_OUT_THAN_IN, NO_POINTS, Groups, load_pct
from lidoff.figures.figure import Corner, Figure
from lidoff.figures.full_load import is_near_rated, output_and_input
from lidoff.figures.known import Absent, Known, absent, attempt, computed, read, resting_on
from lidoff.figures.meters import SHARED_ERROR, power_spread
from lidoff.figures.points import PointRow
from lidoff.figures.rows import (
    NOMINAL_MAINS_HZ,
    NOMINAL_MAINS_V,
    measured,
    nominal,
    of_first_sample,
    reading_uncertainty,
)
from lidoff.figures.size import body_surface
from lidoff.record.model import Record
from lidoff.record.model.electrical import Soak

FULL_LOAD_PCT = 90.0
NO_RUN = "no long run is recorded"

SoakRow = tuple[int, Soak]


def thermal_figures(record: Record, groups: Groups, assumptions: Assumptions, logs: Logs) -> Iterator[Figure]:
    """Figures of heat; ``groups`` are the efficiency points by corner."""
    losses = list(_losses(record, groups, assumptions))
    yield from losses
    yield from _heat_flux(record, losses)
    runs = _runs(record)
    if not runs:
        yield absent("surface_rise_k", NO_RUN)
        yield absent("sustained_power_w", NO_RUN)
    for corner, run in runs.items():
        yield from attempt("surface_rise_k", lambda run=run: _rise(record, run, logs), corner)
        yield from attempt("sustained_power_w", lambda run=run: _sustained(record, run, logs), corner)


def _losses(record: Record, groups: Groups, assumptions: Assumptions) -> Iterator[Figure]:
    """Loss at the highest load of each corner."""
    if not groups:
        yield absent("loss_w", NO_POINTS)
    for corner, rows in groups.items():
        yield from attempt("loss_w", lambda rows=rows: _loss(record, rows, assumptions), corner)


def _loss(record: Record, rows: list[PointRow], assumptions: Assumptions) -> Known:
    full = [(place, row) for place, row in rows if _is_full_load(record, row)]
    if not full:
        raise Absent("no efficiency point at full load is recorded")
    place, row = max(full, key=lambda numbered: numbered[1].output_v * numbered[1].output_a)
    if row.measured_at == "cable-end":
        raise Absent("the output was measured at the end of a cable, whose loss is not heat in the unit")
    parts = output_and_input(place, row)
    point = computed(operating_point, *(part.value for part in parts))
    if point.loss <= 0:
        raise Absent(MORE_OUT_THAN_IN)
    shared = assumptions.known(SHARED_ERROR)
    spread = power_spread(record, row, shared.value)
    if spread is None:
        return resting_on(point.loss, parts)
    return resting_on(point.loss, (*parts, shared) if spread.is_one_meter else parts, spread.of_loss(shared.value))


def _is_full_load(record: Record, row: object) -> bool:
    load = load_pct(row)
    return is_near_rated(record, row.output_v * row.output_a) if load is None else load >= FULL_LOAD_PCT


def _heat_flux(record: Record, losses: list[Figure]) -> Iterator[Figure]:
    """The largest loss over the surface, in the corner of that loss."""
    present = [one for one in losses if one.value is not None]
    if not present:
        yield absent("heat_flux_mw_per_cm2", losses[0].absent or "no loss is known")
        return
    largest = max(present, key=lambda one: one.value)
    yield from attempt("heat_flux_mw_per_cm2", lambda: _flux(record, largest), largest.of)


def _flux(record: Record, loss: Figure) -> Known:
    surface = body_surface(record)
    parts = (Known(loss.value, loss.inputs, loss.assumed), surface)
    return resting_on(computed(heat_flux, loss.value, surface.value), parts)


def _runs(record: Record) -> dict[Corner, SoakRow]:
    """One long run a corner: the one of the first sample that was run longest."""
    corners: dict[Corner, list[SoakRow]] = {}
    for place, row in enumerate(measured(record).soak):
        corners.setdefault(_corner(row), []).append((place, row))
    return {
        corner: max(of_first_sample(record, rows), key=lambda numbered: numbered[1].after_min or 0.0)
        for corner, rows in corners.items()
    }


def _corner(row: Soak) -> Corner:
    loaded = [port for port, power in row.ports.items() if power > 0]
    return Corner(
        port=loaded[0] if len(loaded) == 1 else None,
        mains_v=None if row.mains_v is None else nominal(row.mains_v, NOMINAL_MAINS_V),
        mains_hz=None if row.mains_hz is None else nominal(row.mains_hz, NOMINAL_MAINS_HZ),
    )


def _rise(record: Record, run: SoakRow, logs: Logs) -> Known:
    place, row = run
    parts = (
        _temperature(place, row, "surface_c", logs, "no surface temperature of the run is recorded"),
        _temperature(place, row, "ambient_c", logs, "the air temperature of the run is not recorded"),
    )
    spreads = [reading_uncertainty(record, row.instrument, "temperature", part.value) for part in parts]
    spread = None if None in spreads else difference_uncertainty(*spreads)
    return resting_on(computed(temperature_rise, *(part.value for part in parts)), parts, spread)


def _temperature(place: int, row: Soak, name: str, logs: Logs, reason: str) -> Known:
    """A temperature at the end of a run, as recorded, else from its log."""
    at, recorded = f"measured.soak[{place}]", getattr(row, name)
    if recorded is not None:
        return read(f"{at}.{name}", recorded, "°C")
    log = logs.get(at)
    logged = getattr(log.soak, name) if log is not None and log.soak is not None else None
    if logged is None:
        raise Absent(reason)
    return read(f"{at}.columns.{name}", logged, "°C")


def _sustained(record: Record, run: SoakRow, logs: Logs) -> Known:
    """Output power at the end; a run that was not reduced and whose length is known kept its own power up."""
    place, row = run
    at = f"measured.soak[{place}]"
    found = _power_at_end(at, row, logs)
    if found is not None:
        spread = reading_uncertainty(record, row.instrument, "power", found.value)
        return resting_on(computed(as_observed, found.value), (found,), spread, as_observed)
    if row.foldback_after_min is not None:
        raise Absent("the output was reduced during the run, and the power at its end is not recorded")
    if row.after_min is None:
        raise Absent("neither the power at the end of the run nor its length is recorded")
    parts = [read(f"{at}.ports.{port}", power, "W") for port, power in row.ports.items()]
    return resting_on(computed(total_observed, [part.value for part in parts]), parts)


def _power_at_end(at: str, row: Soak, logs: Logs) -> Known | None:
    """The power at the end of a run, as recorded, else from its log."""
    if row.sustained_w is not None:
        return read(f"{at}.sustained_w", row.sustained_w, "W")
    log = logs.get(at)
    if log is None or log.soak is None or log.soak.sustained is None:
        return None
    return read(f"{at}.log", log.soak.sustained, "W")
