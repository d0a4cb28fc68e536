"""Size and mass: volume, densities."""

from collections.abc import Callable, Iterator
from functools import cache, partial
from math import pi

from lidoff.engineering.combined_uncertainty import product_uncertainty, ratio_uncertainty
from lidoff.engineering.density import mean_density, power_density, specific_power
from lidoff.engineering.geometry import box_surface, box_volume, cylinder_surface, cylinder_volume
from lidoff.engineering.observation import as_observed
from lidoff.figures.figure import Figure
from lidoff.figures.known import Absent, Known, attempt, computed, read, resting_on
from lidoff.figures.label import rated_power
from lidoff.figures.rows import measured, only_instrument, reading_uncertainty
from lidoff.record.model import Record
from lidoff.record.model.measured import Body

MM_PER_M = 1e3
ONE_INSTRUMENT = 1.0
"""Correlation of readings of one instrument: taken as full, which is the cautious side for products and means."""


def size_figures(record: Record) -> Iterator[Figure]:
    """Figures of size and mass."""
    power, volume, whole_mass = (cache(partial(find, record)) for find in (rated_power, body_volume, mass))
    yield from attempt("body_volume_cm3", volume)
    for id in ("power_density_w_per_cm3", "power_density_w_per_in3"):
        yield from attempt(id, lambda: _over(power_density, power(), volume()))
    yield from attempt("assembly_power_density_w_per_cm3", lambda: _over(power_density, power(), _assembly(record)))
    yield from attempt("specific_power_w_per_g", lambda: _over(specific_power, power(), whole_mass()))
    yield from attempt("mean_density_g_per_cm3", lambda: _over(mean_density, whole_mass(), volume()))


def body_volume(record: Record) -> Known:
    """Volume of the closed body without its plug."""
    body = _body(record)
    if body.volume_cm3 is not None:
        volume = read("measured.body_mm.volume_cm3", body.volume_cm3, "cm³", per_si=1e6)
        return resting_on(computed(as_observed, volume.value), (volume,), function=as_observed)
    if body.shape == "cylinder":
        diameter, length = _cylinder(record, body)
        value = computed(cylinder_volume, diameter.value, length.value)
        around = _product(_product(diameter, diameter), length).uncertainty
        spread = None if around is None else pi / 4 * around
        return resting_on(value, (length, diameter), spread, cylinder_volume)
    volume = _box_volume(edges(record, body))
    # where edges are rounded the shape, not the instrument, decides how far the volume may be off
    return volume if body.shape == "box" else resting_on(volume.value, (volume,), function=volume.function)


def body_surface(record: Record) -> Known:
    """Whole surface of the closed body without its plug."""
    body = _body(record)
    if body.shape == "cylinder":
        diameter, length = _cylinder(record, body)
        return resting_on(computed(cylinder_surface, diameter.value, length.value), (length, diameter))
    sides = edges(record, body)
    return resting_on(computed(box_surface, *(side.value for side in sides)), sides)


def mass(record: Record) -> Known:
    """Mass of the whole unit."""
    grams = measured(record).mass_g
    if grams is None:
        raise Absent("no mass is recorded")
    known = read("measured.mass_g", grams, "g", per_si=1e3)
    spread = reading_uncertainty(record, only_instrument(record, "mass"), "mass", grams)
    return resting_on(known.value, (known,), None if spread is None else spread / 1e3)


def edges(record: Record, body: Body) -> tuple[Known, Known, Known]:
    """The three edges of the body."""
    return _lengths(record, "measured.body_mm.size", body.size, body.instrument)


def _body(record: Record) -> Body:
    body = measured(record).body_mm
    if body is None:
        raise Absent("no size of the body is recorded")
    if body.prongs == "included":
        raise Absent("the recorded size has the plug in it")
    return body


def _assembly(record: Record) -> Known:
    size = measured(record).assembly_mm
    if size is None:
        raise Absent("no size of the bare assembly is recorded")
    return _box_volume(_lengths(record, "measured.assembly_mm", size, only_instrument(record, "length")))


def _lengths(
    record: Record, field: str, size: tuple[float, float, float], instrument: str | None
) -> tuple[Known, Known, Known]:
    spreads = [reading_uncertainty(record, instrument, "length", edge) for edge in size]
    first, second, third = (
        resting_on(edge / MM_PER_M, (read(f"{field}[{i}]", edge, "mm"),), None if spread is None else spread / MM_PER_M)
        for i, (edge, spread) in enumerate(zip(size, spreads, strict=True))
    )
    return first, second, third


def _cylinder(record: Record, body: Body) -> tuple[Known, Known]:
    """Diameter and length: the two equal edges are the diameter."""
    first, second, third = edges(record, body)
    if second.value == third.value:
        return second, first
    if first.value == second.value:
        return first, third
    raise Absent("a cylinder is recorded whose size has no two equal diameters")


def _box_volume(sides: tuple[Known, Known, Known]) -> Known:
    face = _product(sides[0], sides[1])
    value = computed(box_volume, *(side.value for side in sides))
    return resting_on(value, sides, _product(face, sides[2]).uncertainty, box_volume)


def _product(first: Known, second: Known) -> Known:
    """Product of two lengths of one instrument, for its uncertainty."""
    value = first.value * second.value
    if first.uncertainty is None or second.uncertainty is None:
        return Known(value)
    spread = product_uncertainty(first.value, first.uncertainty, second.value, second.uncertainty, ONE_INSTRUMENT)
    return Known(value, uncertainty=spread)


def _over(function: Callable[[float, float], float], above: Known, below: Known) -> Known:
    """A ratio of two quantities; a rated value counts as exact, an uncertain one without accuracy gives none."""
    value = computed(function, above.value, below.value)
    exact_above = above.inputs[0].field.startswith(("product.", "label."))
    if below.uncertainty is None or (above.uncertainty is None and not exact_above):
        return resting_on(value, (above, below))
    spread = ratio_uncertainty(above.value, above.uncertainty or 0.0, below.value, below.uncertainty)
    return resting_on(value, (above, below), spread)
