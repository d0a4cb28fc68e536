"""Figures of the isolated converter: turns, reflected voltage, stress of switch and rectifier."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from lidoff.engineering import bridge_converters, flyback
from lidoff.engineering.observation import largest_observed
from lidoff.figures.assumptions import Assumptions
from lidoff.figures.bus import bus_peak
from lidoff.figures.figure import Corner, Figure
from lidoff.figures.flux import peak_flux
from lidoff.figures.known import Absent, Known, absent, attempt, computed, figure, read, resting_on
from lidoff.figures.ratio_window import ratio_window
from lidoff.figures.rows import measured, of_first_sample, reading_uncertainty
from lidoff.figures.transformer import (
    FLYBACKS,
    HALF_BRIDGE_FLYBACK,
    LLC,
    Transformer,
    rectifier_drop,
    secondary_voltage,
    topology,
    transformers,
)
from lidoff.record.model import Record

SWITCH_ROLES = ("primary-switch",)
RECTIFIER_ROLES = ("sync-rectifier", "rectifier-diode")
OTHER_CONVERTER = "the formula holds for flyback and half-bridge converters, not for a forward converter"

OfTransformer = Callable[[Record, Assumptions, Transformer], Known]
Wound = list[Transformer] | str
Clamped = Mapping[str, Callable[[Record, Assumptions], Known]]


@dataclass(frozen=True, slots=True)
class Basis:
    """What the figures are made from; ``wound`` is the transformers, or the reason why there are none."""

    record: Record
    assumptions: Assumptions
    wound: Wound


def converter_figures(record: Record, assumptions: Assumptions) -> Iterator[Figure]:
    """Figures of the isolated converter."""
    try:
        wound: Wound = transformers(record)
    except Absent as reason:
        wound = str(reason)
    basis = Basis(record, assumptions, wound)
    yield from _each(basis, "turns_ratio", lambda record, assumptions, one: one.ratio)
    yield from _each(basis, "reflected_voltage_v", _reflected)
    yield from _stress(basis, "switch_stress_v", SWITCH_ROLES, _switch_stress, CLAMPED_SWITCH)
    yield from _stress(basis, "sync_rectifier_stress_v", RECTIFIER_ROLES, _rectifier_stress, CLAMPED_RECTIFIER)
    yield from ratio_window(record, assumptions, turns_are_recorded=not isinstance(wound, str))
    yield from _each(basis, "peak_flux_mt", peak_flux)


def _each(basis: Basis, id: str, find: OfTransformer) -> Iterator[Figure]:
    """One figure a transformer."""
    if isinstance(basis.wound, str):
        yield absent(id, basis.wound)
        return
    for one in basis.wound:
        yield from attempt(id, lambda one=one: find(basis.record, basis.assumptions, one), Corner(port=one.port))


def _stress(
    basis: Basis, id: str, roles: tuple[str, ...], by_turns: OfTransformer, clamped: Clamped
) -> Iterator[Figure]:
    """The measured peaks of a part, then the computed stress where nothing was measured in general."""
    record = basis.record
    seen = dict(_seen(record, roles))
    for corner, peak in seen.items():
        yield figure(id, peak, corner)
    without_turns = clamped.get(record.conversion.primary if record.conversion else None)
    if without_turns is None:
        found = _each(basis, id, by_turns)
    else:
        found = attempt(id, lambda: without_turns(record, basis.assumptions))
    for one in found:
        # an absence needs no saying beside a measured value
        if one.of not in seen and (one.value is not None or not seen):
            yield one


def _seen(record: Record, roles: tuple[str, ...]) -> Iterator[tuple[Corner, Known]]:
    """Largest measured peak across the parts of some roles, by corner."""
    waveforms = measured(record).waveforms
    if not waveforms:
        return
    refs = {part.ref for part in record.components if any(role in roles for role in part.roles)}
    corners: dict[Corner, list] = {}
    for place, row in enumerate(waveforms):
        if row.ref in refs and row.peak_v > 0:
            corners.setdefault(Corner(row.port, row.mains_v, row.mains_hz, row.output_v), []).append((place, row))
    for corner, rows in corners.items():
        mine = of_first_sample(record, rows)
        peaks = [row.peak_v for _, row in mine]
        peak = computed(largest_observed, peaks)
        place, row = mine[peaks.index(peak)]
        known = read(f"measured.waveforms[{place}].peak_v", peak, "V")
        spread = reading_uncertainty(record, row.instrument, "voltage", peak)
        yield corner, resting_on(peak, (known,), spread, largest_observed)


def _reflected(record: Record, assumptions: Assumptions, transformer: Transformer) -> Known:
    kind = topology(record)
    if kind not in FLYBACKS and kind != HALF_BRIDGE_FLYBACK:
        raise Absent("a reflected output voltage is a notion of flyback converters")
    parts = (transformer.ratio, secondary_voltage(record, transformer.port), rectifier_drop(record, assumptions))
    return resting_on(computed(flyback.reflected_voltage, *(part.value for part in parts)), parts)


def _switch_stress(record: Record, assumptions: Assumptions, transformer: Transformer) -> Known:
    kind, bus = topology(record), bus_peak(record, assumptions)
    if kind not in FLYBACKS:
        raise Absent(OTHER_CONVERTER)
    if kind == "flyback-active-clamp":
        function = bridge_converters.active_clamp_flyback_stress
        output, drop = secondary_voltage(record, transformer.port), rectifier_drop(record, assumptions)
        stress = computed(function, bus.value, transformer.ratio.value, output.value, drop.value)
        return resting_on(stress.switch_voltage, (bus, transformer.ratio, output, drop), function=function)
    reflected, spike = _reflected(record, assumptions, transformer), assumptions.known("leakage_spike_ratio")
    stress = computed(flyback.switch_stress, bus.value, reflected.value, spike.value * reflected.value)
    return resting_on(stress, (bus, reflected, spike))


def _rectifier_stress(record: Record, assumptions: Assumptions, transformer: Transformer) -> Known:
    kind, bus = topology(record), bus_peak(record, assumptions)
    if kind == HALF_BRIDGE_FLYBACK:
        function = bridge_converters.asymmetric_half_bridge_stress
        stress = computed(function, bus.value, transformer.ratio.value).rectifier_voltage
        return resting_on(stress, (bus, transformer.ratio), function=function)
    if kind not in FLYBACKS:
        raise Absent(OTHER_CONVERTER)
    output = secondary_voltage(record, transformer.port)
    stress = computed(flyback.rectifier_stress, bus.value, transformer.ratio.value, output.value)
    return resting_on(stress, (bus, transformer.ratio, output))


def _half_bridge_flyback_switch(record: Record, assumptions: Assumptions) -> Known:
    """A half bridge clamps its switches to the bus, whatever the turns."""
    bus, function = bus_peak(record, assumptions), bridge_converters.asymmetric_half_bridge_stress
    return resting_on(computed(function, bus.value, turns_ratio=1.0).switch_voltage, (bus,), function=function)


def _llc_switch(record: Record, assumptions: Assumptions) -> Known:
    """A half bridge clamps its switches to the bus, whatever the output."""
    bus, function = bus_peak(record, assumptions), bridge_converters.llc_half_bridge_stress
    stress = computed(function, bus.value, output_voltage=1.0, centre_tapped=True)
    return resting_on(stress.switch_voltage, (bus,), function=function)


def _llc_rectifier(record: Record, assumptions: Assumptions) -> Known:
    """The output clamps the rectifiers, whatever the bus and the turns."""
    secondary = record.conversion.secondary if record.conversion else None
    if secondary not in ("sync-rectified-centre-tap", "sync-rectified-bridge"):
        raise Absent("whether the secondary is centre-tapped or has a bridge is not recorded")
    output, function = secondary_voltage(record), bridge_converters.llc_half_bridge_stress
    stress = computed(function, 1.0, output.value, secondary == "sync-rectified-centre-tap")
    return resting_on(stress.rectifier_voltage, (output,), function=function)


CLAMPED_SWITCH: Clamped = {HALF_BRIDGE_FLYBACK: _half_bridge_flyback_switch, LLC: _llc_switch}
CLAMPED_RECTIFIER: Clamped = {LLC: _llc_rectifier}
