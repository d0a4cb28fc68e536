"""Parts at the mains are rated for the highest mains voltage on the label."""

from collections.abc import Iterator

from lidoff.checks.amounts import computed, recorded
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.engineering.bulk_capacitor import peak_voltage
from lidoff.engineering.mains_voltage import NOMINAL_FROM, NOMINAL_UP_TO
from lidoff.figures.label import label_input
from lidoff.rule import Rule

RULE = Rule(
    id="mains-part-rating",
    title="Parts at the mains are rated for the highest labelled mains voltage",
    severity="warning",
    scope="record",
    why=(
        "Fuses, varistors, X and Y capacitors are rated in alternating voltage; the bridge rectifier and the film "
        "capacitor behind it see the crest. A rating below the highest voltage of the label, its tolerance left out, "
        "is most likely misread, or the label's range is. X capacitors of 275 V, 305 V or 310 V and fuses of 250 V "
        "are usual at 240 V."
    ),
    source="ratings of the recorded parts; usual ratings: common practice, no source",
    formula=r"V_{rated,ac} < V_{label,max} \text{ or } V_{rated} < \sqrt{2} V_{label,max}",
)

AC_ROLES = frozenset(("fuse", "varistor", "x-capacitor", "y-capacitor"))
CREST_ROLES = frozenset(("bridge-rectifier", "input-film-capacitor"))


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for parts rated below the labelled mains."""
    mains = label_input(subject.record).voltage_max_v
    if mains is None:
        return
    crest = peak_voltage(mains)
    # a label such as 264 V states the limit of a nominal 240 V, which ratings of alternating voltage allow for
    nominal = NOMINAL_UP_TO if NOMINAL_UP_TO < mains < NOMINAL_FROM else mains
    for place, part in enumerate(subject.record.components):
        if part.ratings is None or part.series_string is not None:
            continue
        if part.ratings.voltage_ac_v is not None and not AC_ROLES.isdisjoint(part.roles):
            key, needed, shown = "voltage_ac_v", nominal, f"{recorded(nominal, 'V')} of the label"
        elif part.ratings.voltage_v is not None and not CREST_ROLES.isdisjoint(part.roles):
            key, needed = "voltage_v", crest
            shown = f"{computed(crest, 'V')} crest of the label's {recorded(mains, 'V')}"
        else:
            continue
        rating = getattr(part.ratings, key)
        if rating < needed:
            yield Notice(
                field=f"components[{place}].ratings.{key}",
                found=f"{part.ref} is rated {recorded(rating, 'V')}",
                expected=f"a rating of at least the {shown}",
                fix="read the print again; check label.input.voltage_max_v and the part's role",
                related=(("", "label.input.voltage_max_v"),),
                inputs=(rating, mains),
            )


CHECK = RecordCheck(RULE, run)
