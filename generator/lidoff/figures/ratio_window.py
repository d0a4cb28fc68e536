"""The turns ratios that the ratings of switch and rectifier leave open where no turns are recorded."""

from collections.abc import Callable, Iterator

from lidoff.engineering.turns_ratio import turns_ratio_by_rectifier, turns_ratio_by_switch
from lidoff.figures.assumptions import Assumptions
from lidoff.figures.bus import bus_peak, with_role
from lidoff.figures.figure import Figure
from lidoff.figures.known import Absent, Known, absent, computed, figure, read, resting_on
from lidoff.figures.transformer import FLYBACKS, rectifier_drop, secondary_voltage, topology
from lidoff.record.model import Record

ID = "turns_ratio_window"


def ratio_window(record: Record, assumptions: Assumptions, turns_are_recorded: bool) -> Iterator[Figure]:
    """Two bounds, told apart by their formula: the least ratio by the rectifier, the largest by the switch."""
    if turns_are_recorded:
        yield absent(ID, "the turns are recorded")
        return
    bounds = (
        _bound(turns_ratio_by_rectifier, lambda: _least(record, assumptions)),
        _bound(turns_ratio_by_switch, lambda: _largest(record, assumptions)),
    )
    reasons = {one.absent for one in bounds}
    if len(reasons) == 1 and None not in reasons:
        yield absent(ID, *reasons)
    else:
        yield from bounds


def _bound(function: Callable, find: Callable[[], Known]) -> Figure:
    try:
        return figure(ID, find())
    except Absent as reason:
        return absent(ID, str(reason), function=function)


def _least(record: Record, assumptions: Assumptions) -> Known:
    _require_flyback(record)
    rating = _lowest_rating(record, ("sync-rectifier", "rectifier-diode"), "output rectifier")
    bus, output = bus_peak(record, assumptions), secondary_voltage(record)
    if rating.value <= output.value:
        raise Absent("the rating of the output rectifier is not above the highest output voltage")
    ratio = computed(turns_ratio_by_rectifier, bus.value, rating.value, output.value)
    return resting_on(ratio, (rating, bus, output), function=turns_ratio_by_rectifier)


def _largest(record: Record, assumptions: Assumptions) -> Known:
    kind = _require_flyback(record)
    rating = _lowest_rating(record, ("primary-switch",), "primary switch")
    bus, output, drop = bus_peak(record, assumptions), secondary_voltage(record), rectifier_drop(record, assumptions)
    if rating.value <= bus.value:
        raise Absent("the bus alone reaches the rating of the primary switch")
    spike = Known(0.0) if kind == "flyback-active-clamp" else assumptions.known("leakage_spike_ratio")
    ratio = computed(turns_ratio_by_switch, bus.value, rating.value, output.value, drop.value, spike.value)
    return resting_on(ratio, (rating, bus, output, drop, spike), function=turns_ratio_by_switch)


def _require_flyback(record: Record) -> str:
    kind = topology(record)
    if kind not in FLYBACKS:
        raise Absent("the window is worked out for flyback converters with one main switch")
    return kind


def _lowest_rating(record: Record, roles: tuple[str, ...], name: str) -> Known:
    """The lowest rating among the parts of the first role that has any, the transient one where it is recorded."""
    for role in roles:
        parts = with_role(record, role)
        if parts:
            return min((_rating(place, part, name) for place, part in parts), key=lambda rating: rating.value)
    raise Absent(f"no {name} is recorded")


def _rating(place: int, part: object, name: str) -> Known:
    for key in ("voltage_transient_v", "voltage_v"):
        value = getattr(part.ratings, key, None)
        if value is not None:
            return read(f"components[{place}].ratings.{key}", value, "V")
    raise Absent(f"the rated voltage of the {name} {part.ref} is not recorded")
