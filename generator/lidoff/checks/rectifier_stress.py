"""The ratings of the output rectifiers cover the reverse voltage that they see."""

from collections.abc import Iterator

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.ratings import MEASURED, of_part, severity_of, stress_notice, voltage_rating
from lidoff.figures.bus import with_role
from lidoff.figures.figure import Figure
from lidoff.figures.known import Absent, figure
from lidoff.figures.transformer import secondary_voltage
from lidoff.record.model import Record
from lidoff.rule import Rule

RULE = Rule(
    id="rectifier-stress",
    title="The output rectifiers are rated for the reverse voltage that they see",
    severity="warning",
    scope="record",
    why=(
        "The rectifier of a flyback blocks the output voltage and the bus voltage over the turns ratio, that of a "
        "resonant converter once or twice the output voltage. Ringing comes on top and is left out. Where no turns "
        "are recorded, the output voltage alone is the least that any of them blocks. Above the rating is a warning, "
        "the last 10 % below it are worth a note. Measured peaks are looked at by waveform-against-rating."
    ),
    source="circuit theory, derived and checked by simulation; the note in the last 10 %: common practice, no source",
    formula=r"V_R = V_o + \frac{V_{bus}}{n}",
)

ROLES = ("sync-rectifier", "rectifier-diode")


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for rectifiers whose rating the computed stress reaches."""
    record = subject.record
    stresses = [one for one in subject.figures.present("sync_rectifier_stress_v") if one.method != MEASURED]
    # a diode beside transistors rectifies something else
    parts = next((found for role in ROLES if (found := with_role(record, role))), [])
    least = None if stresses else _output(record)
    for place, part in parts:
        rating, stress = voltage_rating(place, part), of_part(stresses, part.port)
        if rating is None:
            continue
        if stress is not None:
            severity = severity_of(rating.value, stress.value)
            if severity is not None:
                yield stress_notice(rating, stress, "by computation, without ringing", severity)
        elif least is not None and severity_of(rating.value, least.value) == "warning":
            yield stress_notice(rating, least, "from the output alone", "warning")


def _output(record: Record) -> Figure | None:
    """The highest output voltage, which every rectifier blocks; None where it is not known."""
    try:
        return figure("sync_rectifier_stress_v", secondary_voltage(record))
    except Absent:
        return None


CHECK = RecordCheck(RULE, run)
