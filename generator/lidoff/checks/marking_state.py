"""What is said of a print agrees with the print that is given."""

from collections.abc import Iterator

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.finding import Severity
from lidoff.record.model.component import Marking
from lidoff.rule import Rule

RULE = Rule(
    id="marking-state",
    title="The state of a marking agrees with its lines",
    severity="warning",
    scope="record",
    why=(
        "A question mark stands for one character that can't be read, so a legible marking has none, and a part that "
        "was never printed or whose print can't be seen has no lines. A partial marking without a question mark, and "
        "a legible one without lines, are notes: others can look a part up only by the characters that are there."
    ),
    source="The definitions of Lidoff's vocabulary",
)


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for markings whose words contradict their lines."""
    for place, part in enumerate(subject.record.components):
        if part.marking is None:
            continue
        for found, expected, fix, severity in _contradictions(part.marking):
            yield Notice(
                field=f"components[{place}].marking",
                found=f"{part.ref}: {found}",
                expected=expected,
                fix=fix,
                severity=severity,
                inputs=(part.marking.state, part.marking.lines),
            )


def _contradictions(marking: Marking) -> Iterator[tuple[str, str, str, Severity | None]]:
    state, has_lines = marking.state, bool(marking.lines)
    has_gap = any("?" in line for line in marking.lines)
    if state == "legible" and has_gap:
        words = "legible, with a ? for a character that is not", "partial where characters are unreadable"
        yield *words, "write state: partial, or fill in the character", None
    elif state in ("none", "hidden") and has_lines:
        meaning = "nothing was ever printed" if state == "none" else "it is not visible where it sits"
        words = f"{state}, so {meaning}, and yet lines are given", f"no lines with the state {state}"
        yield *words, "take the lines out, or write legible or partial", None
    elif state == "partial" and has_lines and not has_gap:
        words = "partial, without a ? in its lines", "a ? for each character that is unreadable"
        yield *words, "put a ? where a character is missing, or write state: legible", "note"
    elif state == "legible" and not has_lines:
        yield "legible, without its lines", "the lines as printed", "add the lines", "note"


CHECK = RecordCheck(RULE, run)
