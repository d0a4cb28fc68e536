"""The isolated converter: its family, its transformers, the voltage that its secondary gives."""

from dataclasses import dataclass

from lidoff.engineering.windings import turns_ratio
from lidoff.figures.assumptions import Assumptions
from lidoff.figures.bus import with_role
from lidoff.figures.known import Absent, Known, computed, read, resting_on
from lidoff.figures.label import highest_output
from lidoff.record.model import Record
from lidoff.record.model.construction import Magnetic

FLYBACKS = frozenset(
    ("flyback-fixed-frequency", "flyback-quasi-resonant", "flyback-zero-voltage", "flyback-active-clamp", "flyback")
)
HALF_BRIDGE_FLYBACK = "flyback-asymmetric-half-bridge"
LLC = "llc-half-bridge"
OPEN_PRIMARY = (None, "undetermined")
PER_PORT_STAGES = ("buck", "buck-boost", "bus-selection")
NO_TURNS = "no turns of a transformer are recorded"


@dataclass(frozen=True, slots=True)
class Transformer:
    """A transformer whose turns are recorded; ``port`` is the port it alone feeds."""

    place: int
    magnetic: Magnetic
    primary_turns: Known
    ratio: Known
    port: str | None = None


def topology(record: Record) -> str:
    """The isolated converter, as concluded."""
    primary = record.conversion.primary if record.conversion else None
    if primary in OPEN_PRIMARY:
        raise Absent("the kind of isolated converter is not determined")
    return primary


def transformers(record: Record) -> list[Transformer]:
    """The transformers whose turns are recorded; several count only where each names the port it feeds."""
    parts = {part.ref: part for part in record.components}
    found = []
    for place, magnetic in enumerate(record.magnetics):
        part = parts.get(magnetic.ref)
        if part is not None and "transformer" not in part.roles:
            continue
        turns = {name: _turns(place, magnetic, name) for name in ("primary", "secondary")}
        if None not in turns.values():
            primary, secondary = turns["primary"], turns["secondary"]
            ratio = resting_on(computed(turns_ratio, primary.value, secondary.value), (primary, secondary))
            found.append(Transformer(place, magnetic, primary, ratio, part.port if part else None))
    if not found:
        raise Absent(NO_TURNS)
    ports = [one.port for one in found]
    if len(found) > 1 and (None in ports or len(set(ports)) < len(ports)):
        raise Absent("several transformers are recorded, and which port each one feeds is not")
    return found


def _turns(place: int, magnetic: Magnetic, name: str) -> Known | None:
    found = [
        read(f"magnetics[{place}].windings[{number}].turns", winding.turns, "1")
        for number, winding in enumerate(magnetic.windings)
        if winding.name == name and winding.turns is not None
    ]
    if len(found) > 1:
        raise Absent(f"{magnetic.ref} has several windings named {name}: whether they are in series is not recorded")
    return found[0] if found else None


def secondary_voltage(record: Record, port: str | None = None, fixed_only: bool = False) -> Known:
    """Highest voltage of a secondary: that of the ports it feeds, or of the bus before per-port stages."""
    conversion = record.conversion
    per_port = conversion.per_port if conversion else None
    if port is not None and per_port not in PER_PORT_STAGES:
        return highest_output(record, (port,), fixed_only)
    if per_port in ("none", "load-switch"):
        return highest_output(record, fixed_only=fixed_only)
    if conversion is not None and conversion.intermediate_v is not None:
        return read("conversion.intermediate_v", conversion.intermediate_v, "V")
    if per_port in PER_PORT_STAGES:
        raise Absent("the voltage of the bus that feeds the per-port converters is not recorded")
    if per_port == "separate-converters":
        raise Absent("each port has a converter of its own, and which port this transformer feeds is not recorded")
    if len(record.ports) > 1:
        raise Absent("how the ports are fed is not recorded")
    return highest_output(record, fixed_only=fixed_only)


def rectifier_drop(record: Record, assumptions: Assumptions) -> Known:
    """Drop of the output rectifier; where its kind is not recorded the larger one, that of a diode."""
    secondary = record.conversion.secondary if record.conversion else None
    if secondary is not None and secondary.startswith("sync"):
        return assumptions.known("sync_rectifier_drop_v")
    if secondary != "diode" and with_role(record, "sync-rectifier"):
        return assumptions.known("sync_rectifier_drop_v")
    for place, part in with_role(record, "rectifier-diode"):
        if part.ratings is not None and part.ratings.forward_v is not None:
            return read(f"components[{place}].ratings.forward_v", part.ratings.forward_v, "V")
    return assumptions.known("output_diode_drop_v")
