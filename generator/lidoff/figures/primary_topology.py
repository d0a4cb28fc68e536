"""The isolated converter, read from its switches, its clamp and its capacitors."""

from lidoff.figures.part_roles import PartRoles
from lidoff.figures.verdict import Confidence, Verdict, named, undetermined

ONE_SWITCH = ("flyback-quasi-resonant", "flyback-fixed-frequency", "flyback-zero-voltage", "flyback")
PASSIVE_CLAMP = ("clamp-diode", "clamp-capacitor", "clamp-resistor", "clamp-suppressor")
RECTIFIERS = ("sync-rectifier", "rectifier-diode")
CLAIM = "primary"


def primary_verdict(parts: PartRoles, windings: frozenset[str]) -> Verdict:
    """The isolated converter that the parts are consistent with."""
    switches, uppers = _main_switches(parts), parts.count("primary-high-side-switch")
    features = parts.features("primary-controller", "gate-driver")
    if not switches and not uppers:
        return undetermined(CLAIM, "no primary switch is listed")
    if parts.has("clamp-switch"):
        return _active_clamp(parts, features)
    if uppers or (switches == 2 and "half-bridge-drive" in features):
        return _half_bridge(parts, windings)
    if not parts.is_listed:
        return undetermined(CLAIM, "one primary switch is listed, but not that it is the only one", _switch_refs(parts))
    if parts.has("resonant-capacitor", "resonant-inductor"):
        return undetermined(CLAIM, "a resonant part is listed, but no upper switch", _switch_refs(parts))
    if switches > 1 and switches != parts.count("transformer"):
        return undetermined(CLAIM, "several primary switches are listed, but no half bridge", _switch_refs(parts))
    if features & {"active-clamp-drive", "half-bridge-drive"}:
        return undetermined(CLAIM, "the controller drives a second switch, which is not listed", _switch_refs(parts))
    return _one_switch(parts, features)


def _main_switches(parts: PartRoles) -> int:
    """Main switches; a controller that contains its switch counts where none is listed by itself."""
    listed = parts.count("primary-switch")
    inside = sum("switch-inside" in part.control for part in parts.all("primary-controller"))
    return listed or inside


def _switch_refs(parts: PartRoles) -> tuple[str, ...]:
    return parts.refs("primary-switch") or parts.refs("primary-controller")


def _active_clamp(parts: PartRoles, features: frozenset[str]) -> Verdict:
    refs = parts.refs("primary-switch", "clamp-switch", "clamp-capacitor")
    sure = parts.has("clamp-capacitor") or "active-clamp-drive" in features
    main = named(_switch_refs(parts)) or "the main switch"
    why = f"{named(parts.refs('clamp-switch'))} switches a clamp beside {main}"
    return Verdict(CLAIM, ("flyback-active-clamp", "flyback"), "high" if sure else "medium", (why,), refs)


def _half_bridge(parts: PartRoles, windings: frozenset[str]) -> Verdict:
    refs = parts.refs("primary-high-side-switch", "primary-switch", "resonant-capacitor", "resonant-inductor")
    pair = parts.refs("primary-high-side-switch", "primary-switch")
    bridge = f"{named(pair)} {'is' if len(pair) == 1 else 'form'} a half bridge"
    rectifiers = parts.count(*RECTIFIERS)
    if not parts.has("resonant-capacitor"):
        if parts.has("clamp-capacitor") and not parts.has("clamp-diode"):
            why = f"{bridge} with {named(parts.refs('clamp-capacitor'))} as its clamp"
            return Verdict(CLAIM, ("flyback-active-clamp", "flyback"), "medium", (why,), refs)
        fits = ("llc-half-bridge", "flyback-asymmetric-half-bridge", "flyback-active-clamp", "flyback")
        why = f"{bridge}, and no capacitor in series with the primary winding is listed"
        return Verdict(CLAIM, fits, "medium", (why,), refs)
    series = f"{bridge} with {named(parts.refs('resonant-capacitor'))} in series with the primary winding"
    if rectifiers > 1 or "secondary-2" in windings:
        confidence: Confidence = "high" if "secondary-2" in windings or parts.has("resonant-inductor") else "medium"
        fits = ("llc-half-bridge",) if confidence == "high" else ("llc-half-bridge", "flyback-asymmetric-half-bridge")
        return Verdict(CLAIM, fits, confidence, (series, "both halves of the output are rectified"), refs)
    if rectifiers == 1:
        # a gap in the core would not tell the two apart: transformers of resonant converters have one as well
        fits = ("flyback-asymmetric-half-bridge", "flyback")
        rectifier = named(parts.refs(*RECTIFIERS))
        return Verdict(CLAIM, fits, "medium", (series, f"{rectifier} alone rectifies the output"), refs)
    fits = ("llc-half-bridge", "flyback-asymmetric-half-bridge", "flyback")
    return Verdict(CLAIM, fits, "medium", (series, "no output rectifier is listed"), refs)


def _one_switch(parts: PartRoles, features: frozenset[str]) -> Verdict:
    switch = _switch_refs(parts)
    clamp = parts.refs(*PASSIVE_CLAMP)
    refs = (*switch, *clamp, *parts.refs("transformer"))
    fits, mode = _mode(features)
    alone = "is the only main switch" if len(switch) == 1 else "switch one transformer each"
    because = [f"{named(switch)} {alone}"]
    if mode:
        because.append(f"{named(parts.refs('primary-controller'))} {mode}")
    if clamp:
        because.append(f"{named(clamp)} clamp{'s' if len(clamp) == 1 else ''} it")
    if parts.has("output-inductor") and parts.count(*RECTIFIERS) > 1:
        because.append("an inductor behind several rectifiers would also fit a forward converter")
        return Verdict(CLAIM, (*fits, "forward"), "medium", tuple(because), refs)
    plain = parts.has("transformer") and parts.has(*RECTIFIERS) and (clamp or not parts.has("output-inductor"))
    return Verdict(CLAIM, fits, "high" if plain and not parts.is_hidden else "medium", tuple(because), refs)


def _mode(features: frozenset[str]) -> tuple[tuple[str, ...], str]:
    """The modes of a flyback with one switch that fit what the controller does, and what it does in words."""
    in_valley = bool(features & {"valley-switching", "zero-current-detection"})
    at_zero = "zero-voltage-assist" in features
    fixed = "fixed-frequency" in features
    if at_zero and not fixed:
        return ("flyback-zero-voltage", "flyback-quasi-resonant", "flyback"), "lets the node fall to zero first"
    if in_valley and not fixed:
        return ("flyback-quasi-resonant", "flyback-zero-voltage", "flyback"), "switches in the valley"
    if fixed and not in_valley and not at_zero:
        return ("flyback-fixed-frequency", "flyback"), "keeps its frequency"
    return ONE_SWITCH, ""
