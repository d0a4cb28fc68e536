"""Current through the Y capacitors, and measured touch current, beside published figures."""

from collections.abc import Iterator

from lidoff.checks.amounts import recorded, values_behind
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.figures.figure import Figure
from lidoff.figures.rows import measured
from lidoff.figures.show import shown
from lidoff.record.model.measured import TouchCurrent
from lidoff.rule import Rule

RULE = Rule(
    id="touch-current-bound",
    title="The current from the mains to the output stays below the published figures",
    severity="warning",
    scope="record",
    why=(
        "The Y capacitors between mains side and output pass at most the current worked out here; because they "
        "usually end on a rectified rail it is commonly 0.5 to 0.7 of that, and other paths add to it. It is set "
        "beside 0.25 mA, the older figure for equipment without protective earth, and 0.5 mA. A computed bound above "
        "either is a note, never a verdict; a bound of which 0.7 is above 0.5 mA, or a measured touch current above "
        "it, is a warning that asks for a second look. Units with protective earth are left out."
    ),
    source=(
        "IEC 60950-1:1999, table 5A, 0.25 mA r.m.s. for class II (seen quoted); IEC 62368-1, ES1, 0.5 mA r.m.s. at "
        "mains frequency, measured after IEC 60990 (from memory)"
    ),
    formula=r"I = 2 \pi f C V",
)

OLDER_UA = 250.0
PRESENT_UA = 500.0
USUAL_SHARE = 0.7
"""What a capacitor at one rail of a bridge passes of the bound: root mean square of half waves, 1 / sqrt(2)."""
OLDER = "0.25 mA, the older figure for class II equipment"
PRESENT = "0.5 mA, a figure given from memory"


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for currents above a published figure."""
    if subject.record.product.protection_class == "i":
        return
    for bound in subject.figures.present("y_touch_current_ua"):
        if bound.value > OLDER_UA:
            yield _of_bound(bound)
    for place, row in enumerate(measured(subject.record).touch_current):
        if row.current_ua > OLDER_UA:
            yield _of_measurement(place, row)


def _of_bound(bound: Figure) -> Notice:
    return Notice(
        field=bound.inputs[0].field,
        found=f"Y capacitors that pass at most {shown(bound).text} to the output, an upper bound",
        expected=f"a bound of no more than {PRESENT if bound.value > PRESENT_UA else OLDER}",
        fix="check capacitance, number and what they bridge; a series connection is recorded with series_string",
        severity=None if USUAL_SHARE * bound.value > PRESENT_UA else "note",
        related=tuple(("", one.field) for one in bound.inputs[1:4]),
        inputs=values_behind(bound),
    )


def _of_measurement(place: int, row: TouchCurrent) -> Notice:
    is_high = row.current_ua > PRESENT_UA
    return Notice(
        field=f"measured.touch_current[{place}].current_ua",
        found=f"a measured touch current of {recorded(row.current_ua, 'µA')} at {recorded(row.mains_v, 'V')}",
        expected=f"no more than {PRESENT if is_high else OLDER}; one unit, no compliance test",
        fix="check network, polarity and unit in the notes of the measurement; if it stands, leave it",
        severity=None if is_high else "note",
        inputs=(row.current_ua, row.mains_v, row.mains_hz),
    )


CHECK = RecordCheck(RULE, run)
