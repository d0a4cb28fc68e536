"""The input fuse carries the expected mains current, and not many times more."""

from collections.abc import Iterator

from lidoff.checks.amounts import assumes, computed, recorded, values_behind
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.figures.bus import with_role
from lidoff.figures.figure import Figure
from lidoff.figures.show import shown
from lidoff.rule import Rule

RULE = Rule(
    id="fuse-current",
    title="The input fuse suits the mains current",
    severity="warning",
    scope="record",
    why=(
        "A fuse below the current that the unit takes at rated output and the lowest labelled mains would open in "
        "use, so the print is most likely misread. Where the power factor is assumed, a fuse within 10 % of the "
        "expected current is a note only. A fuse of more than ten times the current is unusual and a note: charging "
        "the bulk capacitor needs some room, but not that much."
    ),
    source="definition of the power factor; the bounds: common practice, no source",
    formula=r"I_{fuse} < \frac{P_o}{\eta \lambda V_{min}}",
)

ROOM_OF_AN_ASSUMPTION = 0.9
UNUSUAL = 10.0
ASSUMED = ("power_factor_uncorrected", "power_factor_boost", "low_line_v")


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for fuses that do not suit the mains current."""
    current = next(iter(subject.figures.present("mains_current_a")), None)
    if current is None:
        return
    for place, part in with_role(subject.record, "fuse"):
        rating = part.ratings.current_a if part.ratings is not None else None
        if rating is not None and not current.value <= rating <= UNUSUAL * current.value:
            yield _notice(f"components[{place}].ratings.current_a", part.ref, rating, current)


def _notice(field: str, ref: str, rating: float, current: Figure) -> Notice:
    is_small = rating < current.value
    is_sure = rating < ROOM_OF_AN_ASSUMPTION * current.value or not assumes(current, *ASSUMED)
    where = f"rated output and {recorded(current.of.mains_v, 'V')}"
    if is_small:
        expected = f"at least the {shown(current).text} that the unit takes at {where}"
    else:
        expected = f"less than {computed(UNUSUAL * current.value, 'A')}, ten times the current at {where}"
    return Notice(
        field=field,
        found=f"{ref} is rated {recorded(rating, 'A')}, where the mains current is {shown(current).text}",
        expected=expected,
        fix="read the print of the fuse again, then rated power and the label's input",
        severity=None if is_small and is_sure else "note",
        related=tuple(("", one.field) for one in current.inputs[:3]),
        inputs=(rating, *values_behind(current)),
    )


CHECK = RecordCheck(RULE, run)
