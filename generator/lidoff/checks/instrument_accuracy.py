"""Instruments that measured values name state their accuracy."""

from collections.abc import Iterator

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.walk import texts_in
from lidoff.figures.rows import accuracy_is_complete, measured
from lidoff.figures.verdict import named as listed
from lidoff.rule import Rule

RULE = Rule(
    id="instrument-accuracy",
    title="Instruments state their accuracy",
    severity="note",
    scope="record",
    why=(
        "Figures carry an uncertainty only where the instrument's accuracy is recorded: percent of reading, percent "
        "of range with the range, digits with the size of a digit. Without it a value can't be judged against a "
        "limit."
    ),
    source="JCGM 100:2008, clause 4.3.7, for the use of a stated accuracy",
    formula=r"a = p_{reading} |x| + p_{range} R + n d",
)

KEYS = frozenset(("instrument", "input_instrument", "output_instrument"))


def run(subject: Subject) -> Iterator[Notice]:
    """One note for all instruments that are named and state no accuracy."""
    record = subject.record
    silent = [(place, one.id) for place, one in enumerate(record.instruments) if not accuracy_is_complete(one)]
    if not silent:
        return
    used = frozenset().union(*texts_in(measured(record), KEYS).values())
    named = [(place, id) for place, id in silent if id in used]
    if named:
        ids = listed(tuple(id for _, id in named))
        yield Notice(
            field=f"instruments[{named[0][0]}]",
            found=f"{ids} without a complete statement of accuracy",
            expected="pct_reading, pct_range with range, or digits with digit_size, as in the instrument's manual",
            fix=f"add the accuracy of {ids}; where it is not known, leave it out",
            related=tuple(("", f"instruments[{place}]") for place, _ in named[1:]),
        )


CHECK = RecordCheck(RULE, run)
