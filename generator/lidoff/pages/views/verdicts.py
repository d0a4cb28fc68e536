"""Measured values beside published limits, in words and with the margin; where a limit does not apply, why."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from lidoff.engineering.uncertainty import expanded_uncertainty
from lidoff.entry import Entry
from lidoff.figures.efficiency import no_load_corner
from lidoff.figures.figure import Corner, Figure, Figures
from lidoff.figures.rows import reading_uncertainty
from lidoff.figures.show import corner_text, shown
from lidoff.pages.numbers import SPACE, decimals, number, quantity, rounded
from lidoff.pages.views.readings import Reading, reading_text
from lidoff.pages.wording import sentence

ON_AVERAGE = " on average over four loads"
SEVERAL = 3  # averages that a sentence can name one by one
WITHIN = ": not decided, because that is within the uncertainty of the measurement"
UNKNOWN = ": not decided, because the accuracy of the instruments is not recorded"
NO_LOAD_POWER = Reading("Power from the mains", "power_w", "W", "power")
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
    """Each average with its margin; those that are not judged for one and the same reason together."""
    unjudged: dict[str, list[Figure]] = {}
    for average in figures.present("average_efficiency_pct"):
        limit = _limit(figures.all("efficiency_limit_pct"), average.of)
        if limit is not None and limit.value is None:
            unjudged.setdefault(limit.absent or "not judged", []).append(average)
        else:
            yield _judged(average, limit)
    for reason, averages in unjudged.items():
        yield Verdict(f"{_averages(averages)}. {sentence(reason)}")


def _averages(figures: Sequence[Figure]) -> str:
    """Each average by its corner; of many their span, since the tables name each."""
    if len(figures) <= SEVERAL:
        return "; ".join(f"{corner_text(one.of, SPACE)}: {shown(one, SPACE).text}" for one in figures) + ON_AVERAGE
    least, most = (decimals(pick(one.value for one in figures), 1) for pick in (min, max))
    settings = f"{len(figures)} settings of port, output and mains, listed below"
    return f"{least} to {most}{SPACE}%{ON_AVERAGE}, at {settings}"


def _judged(average: Figure, limit: Figure | None) -> Verdict:
    lead = f"{corner_text(average.of, SPACE)}: {shown(average, SPACE).text}{ON_AVERAGE}"
    if limit is None:
        return Verdict(f"{lead}.")
    gap = average.value - limit.value
    points = f"{rounded(abs(gap), 2)} points {'above' if gap >= 0 else 'below'}"
    doubt = _doubt(gap, average.expanded_uncertainty)
    return Verdict(f"{lead}, {points} the published minimum of {shown(limit, SPACE).text}{doubt}.", limit.source)


def _doubt(gap: float, expanded: float | None) -> str:
    """A gap within the uncertainty decides nothing, nor one on the wrong side by instruments of unknown accuracy."""
    if expanded is None:
        return UNKNOWN if gap < 0 else ""
    return WITHIN if abs(gap) <= expanded else ""


def _no_load(entry: Entry) -> Iterable[Verdict]:
    """Each no-load row whose mains has a limit; where two samples were measured, which one it was."""
    limits = entry.figures.all("no_load_limit_w")
    samples = entry.record.samples
    for row in entry.record.measured.no_load if entry.record.measured else ():
        limit = _limit(limits, no_load_corner(row))
        # the limit is that of a unit with nothing at its ports, not of one with a full device
        if limit is None or limit.value is None or row.state == "full-device":
            continue
        gap = limit.value - row.power_w
        unit = f", sample {row.sample or samples[0].id}" if len(samples) > 1 else ""
        power = reading_text(entry.record, row, NO_LOAD_POWER)
        lead = f"No load at {quantity(row.mains_v, 'V')}{unit}: {power} from the mains"
        places = max(2, len(number(row.power_w).partition(".")[2]))
        margin = f"{decimals(abs(gap), places)}{SPACE}W {'below' if gap >= 0 else 'above'}"
        standard = reading_uncertainty(entry.record, row.instrument, "power", row.power_w)
        doubt = _doubt(gap, None if standard is None else expanded_uncertainty(standard))
        yield Verdict(f"{lead}, {margin} the published maximum of {shown(limit, SPACE).text}{doubt}.", limit.source)


def _limit(limits: Iterable[Figure], of: Corner) -> Figure | None:
    return next((limit for limit in limits if limit.of == of), None)
