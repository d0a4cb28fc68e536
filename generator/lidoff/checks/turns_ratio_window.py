"""The ratings of switch and rectifier leave some turns ratio open."""

from collections.abc import Iterator

from lidoff.checks.amounts import assumes, recorded, rounded, values_behind
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.engineering.turns_ratio import turns_ratio_by_rectifier, turns_ratio_by_switch
from lidoff.figures.citation import dotted
from lidoff.figures.figure import Figure
from lidoff.rule import Rule

RULE = Rule(
    id="turns-ratio-window",
    title="Some turns ratio suits both the switch and the rectifier of a flyback",
    severity="warning",
    scope="record",
    why=(
        "Where the turns are not recorded, the rating of the rectifier gives the least turns ratio and that of the "
        "switch the largest. Where the least is above the largest, the recorded parts, output voltage and mains do "
        "not go together in one flyback; most often a rating is misread, or a boost stage or a converter behind the "
        "output is not recorded. Where the window closes only through the assumed spike it is a note."
    ),
    source="derived from the stresses of a flyback; the spike after application report SLVAFK6",
    formula=r"\frac{V_{bus}}{V_{R,rated} - V_o} > \frac{V_{DS,rated} - V_{bus}}{(1 + k) (V_o + V_F)}",
)

SPIKE = "leakage_spike_ratio"


def run(subject: Subject) -> Iterator[Notice]:
    """A notice where no turns ratio is left."""
    bounds = {bound.method: bound for bound in subject.figures.present("turns_ratio_window")}
    least, largest = bounds.get(dotted(turns_ratio_by_rectifier)), bounds.get(dotted(turns_ratio_by_switch))
    if least is not None and largest is not None and least.value > largest.value:
        yield _notice(least, largest)


def _notice(least: Figure, largest: Figure) -> Notice:
    # the bound of the switch goes as 1 / (1 + spike), so without a spike it is wider by that much
    without_spike = largest.value * (1 + next((one.value for one in largest.assumed if one.id == SPIKE), 0.0))
    is_certain = least.value > without_spike and not assumes(largest, "high_line_v", "boost_bus_v")
    rectifier, switch = least.inputs[0], largest.inputs[0]
    return Notice(
        field=switch.field,
        found=f"a ratio of at least {rounded(least.value)} for the rectifier's {recorded(rectifier.value, 'V')} and of "
        f"at most {rounded(largest.value)} for the switch's {recorded(switch.value, 'V')}",
        expected="a turns ratio that both ratings leave open",
        fix="check both ratings, the highest output voltage, the label's input and the kind of converter",
        severity=None if is_certain else "note",
        related=(("", rectifier.field),),
        inputs=values_behind(least, largest),
    )


CHECK = RecordCheck(RULE, run)
