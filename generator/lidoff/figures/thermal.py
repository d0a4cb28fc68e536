"""Figures of heat: loss, heat through the surface, surface temperature, power kept up."""

from collections.abc import Iterator

from lidoff.engineering.combined_uncertainty import difference_uncertainty
from lidoff.engineering.density import heat_flux
from lidoff.engineering.observation import as_observed, temperature_rise, total_observed
from lidoff.engineering.supply_efficiency import operating_point
from lidoff.figures.efficiency import MORE_OUT_THAN_IN, NO_POINTS, Groups, load_pct, power_uncertainties
from lidoff.figures.figure import Corner, Figure
from lidoff.figures.full_load import PointRow, is_near_rated, output_and_input
from lidoff.figures.known import Absent, Known, absent, attempt, computed, read, resting_on
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


def thermal_figures(record: Record, groups: Groups) -> Iterator[Figure]:
    """Figures of heat; ``groups`` are the efficiency points by corner."""
    losses = list(_losses(record, groups))
    yield from losses
    yield from _heat_flux(record, losses)
    runs = _runs(record)
    if not runs:
        yield absent("surface_rise_k", NO_RUN)
        yield absent("sustained_power_w", NO_RUN)
    for corner, run in runs.items():
        yield from attempt("surface_rise_k", lambda run=run: _rise(record, run), corner)
        yield from attempt("sustained_power_w", lambda run=run: _sustained(record, run), corner)


def _losses(record: Record, groups: Groups) -> Iterator[Figure]:
    """Loss at the highest load of each corner."""
    if not groups:
        yield absent("loss_w", NO_POINTS)
    for corner, rows in groups.items():
        yield from attempt("loss_w", lambda rows=rows: _loss(record, rows), corner)


def _loss(record: Record, rows: list[PointRow]) -> Known:
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
    spreads = power_uncertainties(record, row, point.output_power)
    return resting_on(point.loss, parts, None if spreads is None else difference_uncertainty(*spreads))


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


def _rise(record: Record, run: SoakRow) -> Known:
    place, row = run
    if row.surface_c is None:
        raise Absent("no surface temperature of the run is recorded")
    if row.ambient_c is None:
        raise Absent("the air temperature of the run is not recorded")
    at = f"measured.soak[{place}]"
    parts = (read(f"{at}.surface_c", row.surface_c, "°C"), read(f"{at}.ambient_c", row.ambient_c, "°C"))
    spreads = [reading_uncertainty(record, row.instrument, "temperature", part.value) for part in parts]
    spread = None if None in spreads else difference_uncertainty(*spreads)
    return resting_on(computed(temperature_rise, *(part.value for part in parts)), parts, spread)


def _sustained(record: Record, run: SoakRow) -> Known:
    """Output power at the end; a run that was not reduced and whose length is known kept its own power up."""
    place, row = run
    at = f"measured.soak[{place}]"
    if row.sustained_w is not None:
        power = read(f"{at}.sustained_w", row.sustained_w, "W")
        spread = reading_uncertainty(record, row.instrument, "power", row.sustained_w)
        return resting_on(computed(as_observed, power.value), (power,), spread, as_observed)
    if row.foldback_after_min is not None:
        raise Absent("the output was reduced during the run, and the power at its end is not recorded")
    if row.after_min is None:
        raise Absent("neither the power at the end of the run nor its length is recorded")
    parts = [read(f"{at}.ports.{port}", power, "W") for port, power in row.ports.items()]
    return resting_on(computed(total_observed, [part.value for part in parts]), parts)
