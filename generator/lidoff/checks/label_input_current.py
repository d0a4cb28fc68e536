"""The input current on the label against what the rated power takes."""

from collections.abc import Iterator

from lidoff.checks.captures import amount
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.engineering.mains_current import mains_current
from lidoff.figures.citation import citation
from lidoff.figures.figure import Figure
from lidoff.figures.label import label_input, rated_power_w
from lidoff.rule import Rule

RULE = Rule(
    id="label-input-current",
    title="The input current on the label covers the rated power",
    severity="warning",
    scope="record",
    why=(
        "The label gives the largest input current, which comes at the lowest voltage. Much less than rated power, "
        "efficiency and power factor ask for there means a slip in one of them, or a label of another product. Where "
        "efficiency or power factor were not measured they are assumed, and the current has to fall below 70 % of "
        "the computed one: an uncorrected supply of efficiency 0.94 and power factor 0.68 takes 0.77 of what 0.9 and "
        "0.55 give, and the last tenth of an ampere on a label is rounded. Without an assumption the limit is 90 %. "
        "A current that no power factor could explain is told in any case; more than computed is usual."
    ),
    formula=r"I = \frac{P}{\eta \lambda V} \ge \frac{P}{V}",
    source=f"{citation(mains_current)}; the allowances: common practice, no source",
)

ALLOWED_OF_MEASURED, ALLOWED_OF_ASSUMED = 0.9, 0.7


def run(subject: Subject) -> Iterator[Notice]:
    """A notice where the label's current is too small to be true."""
    record = subject.record
    given, rated = label_input(record), rated_power_w(record)
    if given.current_a is None or given.voltage_min_v is None or rated is None:
        return
    least = mains_current(rated, 1.0, 1.0, given.voltage_min_v)
    if given.current_a < least * ALLOWED_OF_MEASURED:
        taken = f"{amount(rated, 'W')} take from {given.voltage_min_v:g} V without any loss"
        inputs = (given.current_a, given.voltage_min_v, rated)
        yield _notice(given.current_a, f"at least {amount(least, 'A')}, which {taken}", inputs)
        return
    figure = next(iter(subject.figures.present("mains_current_a")), None)
    if figure is None or not _is_known_enough(subject, figure):
        return
    allowed = ALLOWED_OF_ASSUMED if figure.assumed else ALLOWED_OF_MEASURED
    if given.current_a < figure.value * allowed:
        inputs = (given.current_a, *(one.value for one in (*figure.inputs, *figure.assumed)))
        expected = f"about {amount(figure.value, 'A')} at {given.voltage_min_v:g} V{_assumed(figure)}"
        yield _notice(given.current_a, expected, inputs)


def _is_known_enough(subject: Subject, figure: Figure) -> bool:
    """Without a word on power factor correction an assumed power factor says nothing."""
    is_assumed = any(one.id.startswith("power_factor") for one in figure.assumed)
    return not is_assumed or (subject.record.conversion is not None and subject.record.conversion.pfc is not None)


def _assumed(figure: Figure) -> str:
    names = {"converter_efficiency": "efficiency"}
    said = [f"{names.get(one.id, 'power factor')} {one.value:g}" for one in figure.assumed]
    return f", assuming {' and '.join(said)}" if said else ", by the efficiency and power factor measured"


def _notice(current: float, expected: str, inputs: tuple[object, ...]) -> Notice:
    return Notice(
        field="label.input.current_a",
        found=f"{current:g} A",
        expected=expected,
        fix="check the label's input and the rated power; where both are right, answer it",
        inputs=inputs,
    )


CHECK = RecordCheck(RULE, run)
