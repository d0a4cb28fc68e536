"""The ratings of the primary switches cover the voltage that they see."""

from collections.abc import Iterator

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.ratings import (
    MEASURED,
    Rating,
    boosted,
    of_part,
    severity_of,
    stress_notice,
    voltage_rating,
    with_any_role,
)
from lidoff.figures.figure import Figure
from lidoff.rule import Rule

RULE = Rule(
    id="switch-stress",
    title="The primary switches are rated for the voltage that they see",
    severity="warning",
    scope="record",
    why=(
        "The switch of a flyback sees the highest bus voltage, the reflected output voltage and a spike, the switches "
        "of a half bridge and of a boost stage the bus voltage. Where no turns are recorded, the bus voltage alone is "
        "the least that any of them sees. Above the rating is a warning, the last 10 % below it are worth a note; the "
        "rating for transients is used where it is recorded. Measured peaks are looked at by waveform-against-rating."
    ),
    source=(
        "application report SLVAFK6 for the spike of about half the reflected voltage; the note in the last 10 %: "
        "common practice, no source"
    ),
    formula=r"V_{DS} = V_{bus} + n (V_o + V_F) + V_{spike}",
)

PRIMARY_ROLES = ("primary-switch", "primary-high-side-switch", "clamp-switch")
BOOST_ROLES = ("pfc-switch", "pfc-diode")


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for switches whose rating the computed stress reaches."""
    record, figures = subject.record, subject.figures
    bus = figures.present("bulk_peak_v")
    stresses = [one for one in figures.present("switch_stress_v") if one.method != MEASURED]
    for place, part in with_any_role(record, PRIMARY_ROLES):
        rating = voltage_rating(place, part)
        stress = of_part(stresses, part.port)
        if rating is not None and stress is not None:
            yield from _beside(rating, stress)
        elif rating is not None and bus and severity_of(rating.value, bus[0].value) == "warning":
            # without turns only a rating below the bus itself says anything
            yield stress_notice(rating, bus[0], "from the bus alone", "warning")
    if bus and boosted(record):
        for place, part in with_any_role(record, BOOST_ROLES):
            rating = voltage_rating(place, part)
            if rating is not None:
                yield from _beside(rating, bus[0])


def _beside(rating: Rating, stress: Figure) -> Iterator[Notice]:
    severity = severity_of(rating.value, stress.value)
    if severity is not None:
        yield stress_notice(rating, stress, "by computation", severity)


CHECK = RecordCheck(RULE, run)
