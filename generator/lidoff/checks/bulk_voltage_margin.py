"""The bulk capacitor's rating covers the highest voltage of the bus."""

from collections.abc import Iterator

from lidoff.checks.amounts import assumes, computed, values_behind
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.figures.show import shown
from lidoff.rule import Rule

RULE = Rule(
    id="bulk-voltage-margin",
    title="The bulk capacitor is rated for the highest voltage of its bus",
    severity="warning",
    scope="record",
    why=(
        "Without a boost stage the bus reaches the crest of the highest labelled mains voltage plus 10 %, behind one "
        "the voltage that it regulates to. A margin of a few percent is normal: 400 V at a crest of 373 V, or behind "
        "a boost stage. Below zero the rating, the label's range or the kind of stage is most likely misread. "
        "Capacitors that are switched in at low mains voltage only are left out."
    ),
    source="IEC 60038, 10 % at the supply terminals (from memory); a definition of margin that needs no source",
    formula=r"V_{rated} < \sqrt{2} \cdot 1.1 V_{label,max}",
)


def run(subject: Subject) -> Iterator[Notice]:
    """A notice where the bus can exceed the capacitor's rating."""
    figures = subject.figures
    for margin in figures.present("bulk_voltage_margin_pct"):
        (peak,) = figures.present("bulk_peak_v")
        if margin.value >= 0:
            continue
        # the margin is the share of the rating that is left
        rating = peak.value / (1 - margin.value / 100)
        is_assumed = assumes(peak, "high_line_v", "boost_bus_v")
        doubt = ", though the label's range or the boost stage's voltage is assumed" if is_assumed else ""
        yield Notice(
            field=margin.inputs[0].field,
            found=f"a bus of {shown(peak).text}, {computed(-margin.value, '%', 2)} above the rating of "
            f"{computed(rating, 'V')}{doubt}",
            expected=f"a rating of {shown(peak).text} or more",
            fix="read the print of the capacitor again, then the label's input and the conversion",
            severity="note" if is_assumed else None,
            related=tuple(("", one.field) for one in peak.inputs),
            inputs=values_behind(margin, peak),
        )


CHECK = RecordCheck(RULE, run)
