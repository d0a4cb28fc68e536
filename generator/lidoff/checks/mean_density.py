"""Mass and size agree with what such a unit can be made of."""

from collections.abc import Iterator

from lidoff.checks.amounts import values_behind
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.figures.show import shown
from lidoff.record.model import Record
from lidoff.rule import Rule

RULE = Rule(
    id="mean-density",
    title="Mass and size give a density that a charger can have",
    severity="warning",
    scope="record",
    why=(
        "Plastic, compound, copper, ferrite and some air come to about 1.2 to 2 g/cm³ over the envelope, with little "
        "or with full potting. Below 0.6 or above 3.5 g/cm³ the mass or an edge most likely has a slip in it, such as "
        "a mass with its packaging or an edge in centimetres. The lower bound is left out for hollow products and "
        "bodies of irregular shape, the upper one where a cord or cable that cannot be taken off may have been "
        "weighed too. The plug's mass is counted and its volume is not, which makes small units seem a little denser."
    ),
    formula=r"0.6 \le \frac{m}{V} \le 3.5",
    source="Common practice, no source; the bounds are wide on purpose and judge no design",
)

LOWEST, HIGHEST = 0.6, 3.5
HOLLOW = frozenset({"outlet", "extension-lead", "travel-adapter"})


def run(subject: Subject) -> Iterator[Notice]:
    """A notice where mass and volume do not go together."""
    for density in subject.figures.present("mean_density_g_per_cm3"):
        is_low = density.value < LOWEST and not _may_be_hollow(subject.record)
        is_high = density.value > HIGHEST and not _has_cord(subject.record)
        if is_low or is_high:
            yield Notice(
                field="measured.mass_g",
                found=f"{shown(density).text} over the envelope of the body",
                expected=f"{LOWEST} to {HIGHEST} g/cm³",
                fix="weigh the unit alone, then check the edges of the body and their unit",
                related=tuple(("", one.field) for one in density.inputs if one.field != "measured.mass_g"),
                inputs=values_behind(density),
            )


def _may_be_hollow(record: Record) -> bool:
    body = record.measured.body_mm if record.measured is not None else None
    return record.product.kind in HOLLOW or (body is not None and body.shape == "irregular")


def _has_cord(record: Record) -> bool:
    plug = record.product.plug
    has_mains_cord = record.product.kind == "extension-lead" or (plug is not None and plug.mechanism == "captive-cord")
    return has_mains_cord or any(port.connector.startswith("captive") for port in record.ports)


CHECK = RecordCheck(RULE, run)
