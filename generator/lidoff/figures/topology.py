"""How power is converted, read from what the parts do: an explained verdict for each stage.

The rules are heuristics of the trade (common practice, from memory): what a stage cannot do without is looked for, and
what is missing counts only where all main parts are listed. A verdict says "consistent with", never "is".
"""

from lidoff.figures.part_roles import PartRoles, part_roles
from lidoff.figures.primary_topology import primary_verdict
from lidoff.figures.verdict import Confidence, Verdict, named, undetermined
from lidoff.record.model import Record

BOOST_ROLES = ("pfc-inductor", "pfc-switch", "pfc-diode", "pfc-controller")
CONVERTER_ROLES = ("primary-switch", "primary-controller")
STEP_DOWN_ROLES = ("dc-dc-inductor", "dc-dc-converter", "dc-dc-controller", "dc-dc-switch")
NOT_LISTED = "it is not recorded that all main parts are listed"
RATED_FOR_A_BOOST_STAGE_V = 420.0


def infer(record: Record) -> tuple[Verdict, ...]:
    """The verdicts on power factor correction, isolated converter, secondary rectification and per-port conversion."""
    parts = part_roles(record)
    windings = frozenset(winding.name for magnetic in record.magnetics for winding in magnetic.windings)
    return (
        boost_verdict(parts),
        primary_verdict(parts, windings),
        secondary_verdict(parts, windings),
        per_port_verdict(parts, len(record.ports)),
    )


def by_absence(parts: PartRoles) -> Confidence:
    """How far a conclusion holds that rests on something missing among the main parts."""
    return "medium" if parts.is_hidden else "high"


def boost_verdict(parts: PartRoles) -> Verdict:
    """Whether a boost stage stands before the bulk capacitor."""
    refs = parts.refs(*BOOST_ROLES)
    if refs:
        form, because = _boost_forms(parts)
        reason = f"{named(refs)} {'is part of' if len(refs) == 1 else 'make up'} a boost stage"
        confidence: Confidence = "high" if parts.kinds(*BOOST_ROLES) > 1 else "medium"
        return Verdict("pfc", form, confidence, (reason, *because), refs)
    if not parts.is_listed or not parts.has("bulk-capacitor") or not parts.has(*CONVERTER_ROLES):
        return undetermined("pfc", NOT_LISTED)
    bulk = parts.all("bulk-capacitor")
    because = ("no part of a boost stage is among the main parts",)
    confidence = by_absence(parts)
    ratings = [part.ratings.voltage_v for part in bulk if part.ratings is not None and part.ratings.voltage_v]
    if any(rating >= RATED_FOR_A_BOOST_STAGE_V for rating in ratings):
        confidence = "medium"
        because += (f"though the rating of {named(parts.refs('bulk-capacitor'))} is that usual behind one",)
    return Verdict("pfc", ("none", "passive"), confidence, because, parts.refs("bulk-capacitor"))


def _boost_forms(parts: PartRoles) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The forms of boost stage that fit, and why."""
    if parts.count("pfc-switch") > 1 and parts.is_listed and not parts.has("bridge-rectifier", "pfc-diode"):
        why = "several switches and neither a bridge rectifier nor a boost diode are listed"
        return ("totem-pole", "boost-interleaved", "boost"), (why,)
    inductors, switches = parts.count("pfc-inductor"), parts.count("pfc-switch")
    if inductors > 1 and switches > 1:
        return ("boost-interleaved", "boost"), ("inductor and switch are there more than once",)
    interleaved = ("boost-interleaved",) if max(inductors, switches) > 1 else ()
    controllers = parts.refs("pfc-controller")
    features = parts.features("pfc-controller")
    if "critical-conduction" in features and "continuous-conduction" not in features:
        return ("boost-critical", *interleaved, "boost"), (f"{named(controllers)} works in critical conduction",)
    if "continuous-conduction" in features and "critical-conduction" not in features:
        return ("boost-continuous", *interleaved, "boost"), (f"{named(controllers)} works in continuous conduction",)
    return ("boost", *interleaved, "boost-critical", "boost-continuous"), ()


def secondary_verdict(parts: PartRoles, windings: frozenset[str]) -> Verdict:
    """How the output of the isolated converter is rectified."""
    transistors, diodes = parts.count("sync-rectifier"), parts.count("rectifier-diode")
    refs = parts.refs("sync-rectifier", "rectifier-diode")
    if not transistors and parts.has("sync-rectifier-controller"):
        controller = parts.refs("sync-rectifier-controller")
        fits = ("sync-rectified", "sync-rectified-centre-tap", "sync-rectified-bridge")
        return Verdict("secondary", fits, "medium", (f"{named(controller)} controls a transistor",), controller)
    if not transistors:
        if not diodes:
            return undetermined("secondary", "no output rectifier is listed")
        confidence = by_absence(parts) if parts.is_listed else "medium"
        return Verdict("secondary", ("diode",), confidence, (f"{named(refs)} rectifies the output",), refs)
    fits, confidence, why = _rectifying_transistors(transistors, parts, windings)
    if diodes or not parts.is_listed or parts.is_hidden:
        confidence = "medium"
    return Verdict("secondary", fits, confidence, (f"{why} ({named(parts.refs('sync-rectifier'))})",), refs)


def _rectifying_transistors(
    count: int, parts: PartRoles, windings: frozenset[str]
) -> tuple[tuple[str, ...], Confidence, str]:
    if count == 1:
        return ("sync-rectified",), "high", "one transistor rectifies"
    is_resonant = parts.has("resonant-capacitor") and parts.count("transformer") == 1
    if count == 2 and "secondary-2" in windings and is_resonant:
        return ("sync-rectified-centre-tap",), "high", "two transistors on two secondaries of a resonant converter"
    if count < 4:
        why = f"{count} transistors rectify, in parallel, on two windings or on a centre tap"
        return ("sync-rectified", "sync-rectified-centre-tap"), "medium", why
    why = f"{count} transistors rectify, which may be a bridge or pairs in parallel"
    return ("sync-rectified-bridge", "sync-rectified-centre-tap", "sync-rectified"), "medium", why


def per_port_verdict(parts: PartRoles, ports: int) -> Verdict:
    """What stands between the output of the isolated converter and the ports."""
    refs = parts.refs(*STEP_DOWN_ROLES)
    apart = ("separate-converters",) if parts.count("transformer") > 1 and parts.count("primary-switch") > 1 else ()
    if refs:
        confidence: Confidence = "high" if parts.kinds(*STEP_DOWN_ROLES) > 1 else "medium"
        verb = "is part of a converter" if len(refs) == 1 else "make up converters"
        return Verdict("per_port", (*_stages(parts), *apart), confidence, (f"{named(refs)} {verb} at the ports",), refs)
    if not parts.is_listed or not parts.has(*CONVERTER_ROLES):
        return undetermined("per_port", NOT_LISTED)
    because = ("no part of a per-port converter is among the main parts",)
    switches = parts.refs("vbus-switch")
    if ports > 1 and apart:
        return Verdict("per_port", (*apart, "load-switch"), "medium", because, parts.refs("transformer"))
    fits = ("none", "load-switch") if ports == 1 else ("load-switch", "none")
    return Verdict("per_port", fits, by_absence(parts), because, switches)


def _stages(parts: PartRoles) -> tuple[str, ...]:
    """Step-down, or step-up too: the latter has four switches to an inductor."""
    inductors, switches = parts.count("dc-dc-inductor"), parts.count("dc-dc-switch")
    if inductors and switches >= 4 * inductors:
        return ("buck-boost", "bus-selection", "buck")
    if inductors and switches and not parts.has("dc-dc-converter"):
        return ("buck", "bus-selection")
    return ("buck", "buck-boost", "bus-selection")
