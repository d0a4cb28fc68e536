"""A charger that takes more than 75 W from the mains without power factor correction."""

from collections.abc import Iterator

from lidoff.checks.amounts import recorded
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.points import points
from lidoff.checks.ratings import boosted
from lidoff.engineering.harmonic_current import limits_apply
from lidoff.figures.label import label_input, rated_power_w
from lidoff.rule import Rule

RULE = Rule(
    id="power-factor-correction",
    title="Power factor correction above 75 W of input",
    severity="note",
    scope="record",
    why=(
        "Limits of harmonic current begin above 75 W of rated input at mains of 220 V and more. A charger counts as "
        "class A, whose limits are absolute currents, so that a unit of up to about 100 W can keep them without "
        "correction; the standard alone does not force it. It is usual, though, which makes its absence worth "
        "knowing. Where no input was measured, the rated output stands for it as a lower bound."
    ),
    source="IEC 61000-3-2, clause 7, 75 W (from memory); scope of 220 V and up to 16 A a phase (seen)",
    formula=r"P_{in} > 75 \text{ W}",
)

SCOPE_FROM_V = 220.0


def run(subject: Subject) -> Iterator[Notice]:
    """A note for more than 75 W without correction."""
    record = subject.record
    pfc = record.conversion.pfc if record.conversion else None
    highest_mains = label_input(record).voltage_max_v
    in_scope = highest_mains is not None and highest_mains >= SCOPE_FROM_V
    power = _input_power(subject)
    if power is None or pfc == "passive" or not in_scope or not limits_apply(power) or boosted(record) is not False:
        return
    yield Notice(
        field="conversion.pfc" if pfc is not None else "product.rated_power_w",
        found=f"no power factor correction at {recorded(power, 'W')} or more from the mains",
        expected="correction is usual above 75 W of input; class A limits can be kept without it",
        fix="look for a boost inductor before the bulk capacitor; if there is none, leave it",
        inputs=(power, highest_mains),
    )


def _input_power(subject: Subject) -> float | None:
    """Largest measured input power, at least the rated output power."""
    known = [row.input_w for _, row in points(subject)]
    rated = rated_power_w(subject.record)
    return max(known + ([rated] if rated is not None else []), default=None)


CHECK = RecordCheck(RULE, run)
