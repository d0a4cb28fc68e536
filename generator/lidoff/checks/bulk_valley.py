"""The bulk capacitor carries rated power from one half wave to the next."""

from collections.abc import Iterator

from lidoff.checks.amounts import recorded, values_behind
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.figures.bus import REACHES_ZERO
from lidoff.figures.figure import Figure
from lidoff.figures.show import shown
from lidoff.rule import Rule

RULE = Rule(
    id="bulk-valley",
    title="The bulk capacitor carries rated power over a half wave of the lowest mains",
    severity="note",
    scope="record",
    why=(
        "Between two crests of the mains the bulk capacitor alone feeds the converter. Where an ideal rectifier at "
        "the lowest mains voltages of the label leaves no solution, the bus would reach zero at rated power: a "
        "capacitor is most likely missing in the list, or the unit gives less than its rated power there. Few "
        "microfarads for each watt are a habit of design and no fault."
    ),
    source="exact solution of an ideal model, derived and checked against numerical integration; no published limit",
    formula=r"V_1^2 - \frac{2 P}{C} \frac{\pi + \theta_2 - \theta_1}{\omega} = V_{pk}^2 \sin^2 \theta_2",
)


def run(subject: Subject) -> Iterator[Notice]:
    """A notice where the bus would reach zero."""
    figures = subject.figures
    empty = [valley for valley in figures.all("bulk_valley_v") if valley.absent == REACHES_ZERO]
    ratios = figures.present("bulk_uf_per_w")
    if empty and ratios:
        yield _notice(empty, ratios[-1])


def _notice(empty: list[Figure], ratio: Figure) -> Notice:
    corners = " and ".join(f"{recorded(one.of.mains_v, 'V')} {recorded(one.of.mains_hz, 'Hz')}" for one in empty)
    return Notice(
        field=ratio.inputs[0].field,
        found=f"{shown(ratio).text} of rated output, with which an ideal model has the bus reach zero at {corners}",
        expected="a bus that stays above zero at rated power and the lowest labelled mains",
        fix="look for further bulk capacitors; check their print, and whether the unit gives rated power at low mains",
        related=tuple(("", one.field) for one in ratio.inputs[1:]),
        inputs=values_behind(ratio),
    )


CHECK = RecordCheck(RULE, run)
