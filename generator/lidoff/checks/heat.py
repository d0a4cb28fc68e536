"""Long runs: surface, loss and power kept up fit each other."""

from collections.abc import Iterator

from lidoff.checks.amounts import computed, recorded, values_behind
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.engineering.observation import temperature_rise, total_observed
from lidoff.figures.figure import Figure
from lidoff.figures.label import rated_power_w
from lidoff.figures.rows import measured
from lidoff.figures.show import shown
from lidoff.record.model.electrical import Soak
from lidoff.rule import Rule

RULE = Rule(
    id="heat",
    title="Surface temperature, loss and power kept up fit each other",
    severity="warning",
    scope="record",
    why=(
        "A body without a fan gives off some 0.8 to 1.5 mW for each cm² and kelvin, by air and radiation. A hottest "
        "spot that is colder than the air, or so cool or so hot beside the measured loss that the body would give off "
        "more than 4 or less than 0.25 of that unit, has a wrong number in it. A power at the end of a run above what "
        "was drawn, above the rated power by more than 5 %, or below without a recorded reduction is worth a note, "
        "and so is a loss above 150 mW for each cm², which no body keeps up for long."
    ),
    source="common practice, no source",
    formula=r"h = \frac{P_{loss}}{A \Delta T}, \quad 0.25 \le h \le 4",
)

LEAST_TRANSFER, MOST_TRANSFER = 0.25, 4.0  # mW/(cm² K)
COLDER_THAN_AIR_K = -2.0
STEADY_AFTER_MIN = 30.0
SAME_LOAD = 0.1
LARGEST_FLUX = 150.0  # mW/cm²
ALLOWED_POWER = 0.05


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for runs whose numbers do not go together."""
    flux = next(iter(subject.figures.present("heat_flux_mw_per_cm2")), None)
    for place, row in enumerate(measured(subject.record).soak):
        if row.surface_c is not None and row.ambient_c is not None:
            yield from _surface(place, row, temperature_rise(row.surface_c, row.ambient_c), flux)
        yield from _power(place, row, rated_power_w(subject.record))
    if flux is not None and flux.value > LARGEST_FLUX:
        yield _large(flux)


def _surface(place: int, row: Soak, rise: float, flux: Figure | None) -> Iterator[Notice]:
    at = f"measured.soak[{place}]"
    if rise < COLDER_THAN_AIR_K:
        expected, inputs = "a hottest spot that is warmer than the air", (row.surface_c, row.ambient_c)
    elif flux is not None and _is_at_that_load(row, flux) and not _is_plausible(flux.value, rise):
        least, most = flux.value / MOST_TRANSFER, flux.value / LEAST_TRANSFER
        given = f"wide bounds for a body that gives off {shown(flux).text}"
        expected = f"a rise of {computed(least, 'K', 2)} to {computed(most, 'K', 2)}, {given}"
        inputs = (row.surface_c, row.ambient_c, *values_behind(flux))
    else:
        return
    yield Notice(
        field=f"{at}.surface_c",
        found=f"{recorded(row.surface_c, '°C')} in air of {recorded(row.ambient_c, '°C')}, a rise of "
        f"{computed(rise, 'K', 2)}",
        expected=expected,
        fix="check both temperatures, the emissivity, and the efficiency point and body size that the loss comes from",
        related=(("", f"{at}.ambient_c"),),
        inputs=inputs,
    )


def _is_at_that_load(row: Soak, flux: Figure) -> bool:
    """Whether a run was steady and at the load whose loss is known."""
    voltage, current = flux.inputs[0].value, flux.inputs[1].value
    drawn = total_observed(list(row.ports.values()))
    near = abs(drawn - voltage * current) <= SAME_LOAD * voltage * current
    return near and row.foldback_after_min is None and row.after_min is not None and row.after_min >= STEADY_AFTER_MIN


def _is_plausible(flux: float, rise: float) -> bool:
    return LEAST_TRANSFER * rise <= flux <= MOST_TRANSFER * rise


def _power(place: int, row: Soak, rated: float | None) -> Iterator[Notice]:
    at, drawn = f"measured.soak[{place}]", total_observed(list(row.ports.values()))
    kept = drawn if row.sustained_w is None else row.sustained_w
    if kept > (1 + ALLOWED_POWER) * drawn:
        expected = f"no more than the {recorded(drawn, 'W')} that was drawn from the ports"
    elif kept < (1 - ALLOWED_POWER) * drawn and row.foldback_after_min is None:
        expected = f"{recorded(drawn, 'W')} as drawn from the ports, or foldback_after_min with the reduction's time"
    elif rated is not None and kept > (1 + ALLOWED_POWER) * rated:
        expected = f"no more than the rated {recorded(rated, 'W')} and 5 %"
    else:
        return
    yield Notice(
        field=f"{at}.{'ports' if row.sustained_w is None else 'sustained_w'}",
        found=f"{recorded(kept, 'W')} at the end of the run",
        expected=expected,
        fix="check ports, sustained_w and rated power; add foldback_after_min where the unit reduced its output",
        severity="note",
        related=(("", f"{at}.ports"),) if row.sustained_w is not None else (),
        inputs=(kept, drawn, rated),
    )


def _large(flux: Figure) -> Notice:
    return Notice(
        field=flux.inputs[2].field,
        found=f"a loss of {shown(flux).text} over the whole surface",
        expected=f"less than {LARGEST_FLUX:g} mW/cm² in a body that keeps its power up",
        fix="check input power and body size; a unit that gives this power for a short time may show it",
        severity="note",
        related=tuple(("", one.field) for one in flux.inputs[:2]),
        inputs=values_behind(flux),
    )


CHECK = RecordCheck(RULE, run)
