"""Measured values beside published limits, in words and with the margin; where a limit does not apply, why."""

from collections.abc import Iterable
from dataclasses import dataclass

from lidoff.entry import Entry
from lidoff.figures.figure import Corner, Figure, Figures
from lidoff.figures.show import corner_text, shown
from lidoff.pages.numbers import SPACE, quantity, rounded
from lidoff.pages.wording import sentence

HEDGE = "One unit, the reviewer's instruments, no compliance test."


@dataclass(frozen=True, slots=True)
class Verdict:
    """One measured value beside its limit, and whose limit that is."""

    text: str
    source: str = ""


def verdicts(entry: Entry) -> tuple[Verdict, ...]:
    """Average efficiency and no-load power, each against its limit; a source is named once."""
    said: list[Verdict] = []
    for one in (*_efficiency(entry.figures), *_no_load(entry)):
        is_named = one.source in {earlier.source for earlier in said}
        said.append(Verdict(one.text) if is_named else one)
    return (*said, Verdict(HEDGE)) if said else ()


def _efficiency(figures: Figures) -> Iterable[Verdict]:
    for average in figures.present("average_efficiency_pct"):
        lead = f"{corner_text(average.of, SPACE)}: {shown(average, SPACE).text} on average over four loads"
        yield _judged(lead, average, _limit(figures.all("efficiency_limit_pct"), average.of))


def _judged(lead: str, average: Figure, limit: Figure | None) -> Verdict:
    if limit is None:
        return Verdict(f"{lead}.")
    if limit.value is None:
        return Verdict(f"{lead}. {sentence(limit.absent or 'not judged')}")
    gap = average.value - limit.value
    points = f"{rounded(abs(gap), 2)} points {'above' if gap >= 0 else 'below'}"
    is_within = average.expanded_uncertainty is not None and abs(gap) <= average.expanded_uncertainty
    doubt = ", which is within the uncertainty of the measurement" if is_within else ""
    return Verdict(f"{lead}, {points} the published minimum of {shown(limit, SPACE).text}{doubt}.", limit.source)


def _no_load(entry: Entry) -> Iterable[Verdict]:
    """Each no-load row whose mains has a limit; where two samples were measured, which one it was."""
    limits = entry.figures.all("no_load_limit_w")
    samples = entry.record.samples
    for row in entry.record.measured.no_load if entry.record.measured else ():
        limit = _limit(limits, Corner(mains_v=row.mains_v, mains_hz=row.mains_hz))
        # the limit is that of a unit with nothing at its ports, not of one with a full device
        if limit is None or limit.value is None or row.state == "full-device":
            continue
        gap = limit.value - row.power_w
        unit = f", sample {row.sample or samples[0].id}" if len(samples) > 1 else ""
        lead = f"With nothing drawn at {quantity(row.mains_v, 'V')}{unit}: {quantity(row.power_w, 'W')} from the mains"
        margin = f"{rounded(abs(gap), 2)}{SPACE}W {'below' if gap >= 0 else 'above'}"
        yield Verdict(f"{lead}, {margin} the published maximum of {shown(limit, SPACE).text}.", limit.source)


def _limit(limits: Iterable[Figure], of: Corner) -> Figure | None:
    return next((limit for limit in limits if limit.of == of), None)
