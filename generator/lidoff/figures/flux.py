"""Peak flux density of a flyback transformer: the mode of the converter decides about its peak current."""

from lidoff.engineering.flyback import duty_cycle, reflected_voltage
from lidoff.engineering.flyback_current import boundary_peak_current, continuous_current, discontinuous_peak_current
from lidoff.engineering.magnetics import peak_flux_density
from lidoff.figures.assumptions import Assumptions
from lidoff.figures.bus import boost_bus, is_boosted, power_from_bus, valley
from lidoff.figures.known import Absent, Known, computed, read, resting_on
from lidoff.figures.label import lowest_labelled
from lidoff.figures.transformer import FLYBACKS, Transformer, rectifier_drop, secondary_voltage, topology
from lidoff.record.model import Record

LOWEST_MAINS = (90.0, 47.0)


def peak_flux(record: Record, assumptions: Assumptions, transformer: Transformer) -> Known:
    """Flux density at the peak of the primary current, at rated power and the lowest bus voltage."""
    if topology(record) not in FLYBACKS:
        raise Absent("the peak flux density is worked out for flyback converters with one main switch")
    if transformer.port is not None:
        raise Absent("how the rated power divides between several transformers is not recorded")
    at = f"magnetics[{transformer.place}]"
    core = transformer.magnetic.core
    if core is None or core.area_mm2 is None:
        raise Absent("the effective cross-section of the core is not recorded")
    if transformer.magnetic.inductance_uh is None:
        raise Absent("the primary inductance is not recorded")
    area = read(f"{at}.core.area_mm2", core.area_mm2, "mm²", per_si=1e6)
    inductance = read(f"{at}.inductance_uh", transformer.magnetic.inductance_uh, "µH", per_si=1e6)
    current = _peak_current(record, assumptions, transformer, inductance)
    parts = (inductance, current, transformer.primary_turns, area)
    return resting_on(computed(peak_flux_density, *(part.value for part in parts)), parts)


def _peak_current(record: Record, assumptions: Assumptions, transformer: Transformer, inductance: Known) -> Known:
    kind = topology(record)
    if kind == "flyback-quasi-resonant":
        return _at_boundary(record, assumptions, transformer)
    frequency = transformer.magnetic.switching_khz
    if frequency is None:
        raise Absent("no switching frequency at full load is recorded")
    switching = read(f"magnetics[{transformer.place}].switching_khz", frequency, "kHz", per_si=1e-3)
    if kind == "flyback-fixed-frequency":
        return _at_fixed_frequency(record, assumptions, transformer, inductance, switching)
    power = power_from_bus(record, assumptions, lowest_labelled(record, assumptions).value)
    return _discontinuous(power, inductance, switching)


def _at_boundary(record: Record, assumptions: Assumptions, transformer: Transformer) -> Known:
    """A quasi-resonant converter works near the boundary of the modes, with most current at the lowest bus voltage."""
    power, bus, share, parts = _at_lowest_bus(record, assumptions, transformer)
    return resting_on(computed(boundary_peak_current, power.value, bus.value, share), parts)


def _at_fixed_frequency(
    record: Record, assumptions: Assumptions, transformer: Transformer, inductance: Known, switching: Known
) -> Known:
    power, bus, share, parts = _at_lowest_bus(record, assumptions, transformer)
    ramp = computed(continuous_current, power.value, bus.value, share, inductance.value, switching.value)
    if ramp is None:
        return _discontinuous(power, inductance, switching)
    return resting_on(ramp.end, (*parts, inductance, switching))


def _discontinuous(power: Known, inductance: Known, switching: Known) -> Known:
    parts = (power, inductance, switching)
    return resting_on(computed(discontinuous_peak_current, *(part.value for part in parts)), parts)


def _at_lowest_bus(
    record: Record, assumptions: Assumptions, transformer: Transformer
) -> tuple[Known, Known, float, tuple[Known, ...]]:
    """Power, lowest bus voltage and duty cycle there, at the highest fixed output voltage: it carries rated power."""
    mains_v, mains_hz = LOWEST_MAINS
    bus = boost_bus(record, assumptions) if is_boosted(record) else valley(record, assumptions, mains_v, mains_hz)
    power = power_from_bus(record, assumptions, mains_v)
    output = secondary_voltage(record, transformer.port, fixed_only=True)
    drop = rectifier_drop(record, assumptions)
    reflected = computed(reflected_voltage, transformer.ratio.value, output.value, drop.value)
    share = computed(duty_cycle, bus.value, reflected)
    return power, bus, share, (power, bus, transformer.ratio, output, drop)
