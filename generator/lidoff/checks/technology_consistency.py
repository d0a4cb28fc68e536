"""A transistor's technology beside its drive, ratings and package: several cues together, never one alone."""

from collections.abc import Iterator

from lidoff.checks.amounts import computed, recorded
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.engineering.switch_losses import figure_of_merit
from lidoff.record.model.component import Component, Ratings
from lidoff.rule import Rule

RULE = Rule(
    id="technology-consistency",
    title="A transistor's technology fits its drive, ratings and package",
    severity="note",
    scope="record",
    why=(
        "Normally-off gallium nitride transistors have a gate limit near 7 V and little charge for their resistance, "
        "and come without leads; cascodes and silicon take 18 V to 30 V at the gate, and superjunction silicon has "
        "several times the charge. Each of these has exceptions, so one cue alone says nothing: a note needs two that "
        "speak against the recorded technology."
    ),
    source="bands of gate voltage, resistance times charge and package: common practice, from memory",
    formula=(
        "on-resistance times gate charge: about 0.3 to 0.8 Ω nC for normally-off gallium nitride, 1.5 to 3 for "
        "cascodes, 3 to 8 for superjunction silicon, at 650 V"
    ),
)

FEWEST_CUES = 2
HIGH_VOLTAGE_FROM_V = 400.0
LEADED = frozenset(("TO-220", "TO-220F", "TO-247", "TO-251", "TO-252", "TO-263"))
GATE_LIMIT_V = {"gan-enhancement": (0.0, 10.0), "gan-cascode": (15.0, 60.0), "silicon": (10.0, 60.0)}
CHARGE_BAND = {"gan-enhancement": (0.0, 2.0), "gan-cascode": (0.8, 6.0), "silicon": (1.5, 1000.0)}
"""Resistance times gate charge [Ω nC] at high voltage, wide on purpose."""
VOLTAGE_BAND_V = {
    "silicon-superjunction": (400.0, 2000.0),
    "silicon-planar": (150.0, 3000.0),
    "silicon-trench": (0.0, 300.0),
    "gan-cascode": (400.0, 2000.0),
    "sic-mosfet": (400.0, 5000.0),
}
TRANSISTORS = ("gan-", "silicon-superjunction", "silicon-planar", "silicon-trench", "silicon-mosfet", "sic-mosfet")


def run(subject: Subject) -> Iterator[Notice]:
    """Notes for transistors whose technology several cues speak against."""
    for place, part in enumerate(subject.record.components):
        if part.technology is None or part.ratings is None or not part.technology.startswith(TRANSISTORS):
            continue
        cues = list(_cues(part, part.technology, part.ratings))
        if len(cues) >= FEWEST_CUES:
            yield Notice(
                field=f"components[{place}].technology",
                found=f"{part.technology} with {' and '.join(text for _, text in cues)}",
                expected=f"cues that go together; for {part.technology} these are unusual",
                fix="check technology, ratings and package; if they stand, say in the note what they rest on",
                related=tuple(("", f"components[{place}].{field}") for field, _ in cues),
                inputs=(part.technology, *(text for _, text in cues)),
            )


def _cues(part: Component, technology: str, ratings: Ratings) -> Iterator[tuple[str, str]]:
    """What speaks against a technology: the field and its value in words."""
    kind = technology if technology.startswith("gan") else technology.partition("-")[0]
    gate = GATE_LIMIT_V.get(kind)
    if gate is not None and ratings.gate_v is not None and not gate[0] <= ratings.gate_v <= gate[1]:
        yield "ratings.gate_v", f"a gate limit of {recorded(ratings.gate_v, 'V')}"
    band = CHARGE_BAND.get(kind)
    charge = _resistance_times_charge(ratings)
    if band is not None and charge is not None and not band[0] <= charge <= band[1]:
        yield "ratings.gate_charge_nc", f"{computed(charge, 'Ω nC', 2)} of resistance times gate charge"
    volts = VOLTAGE_BAND_V.get(technology)
    if volts is not None and ratings.voltage_v is not None and not volts[0] <= ratings.voltage_v <= volts[1]:
        yield "ratings.voltage_v", f"a rating of {recorded(ratings.voltage_v, 'V')}"
    package = _family(part.package)
    if technology == "gan-enhancement" and package in LEADED:
        yield "package", f"the package {part.package}"


def _resistance_times_charge(ratings: Ratings) -> float | None:
    """Resistance times gate charge of a high-voltage transistor; low-voltage ones have other bands."""
    if ratings.rds_on_mohm is None or ratings.gate_charge_nc is None:
        return None
    if ratings.voltage_v is None or ratings.voltage_v < HIGH_VOLTAGE_FROM_V:
        return None
    return figure_of_merit(ratings.rds_on_mohm / 1e3, ratings.gate_charge_nc / 1e9) * 1e9


def _family(package: str | None) -> str | None:
    """The package's family without pins and size: TO-220 keeps its number, SO-8 does not."""
    if package is None:
        return None
    name = package.partition(" ")[0]
    return name if name in LEADED else name.partition("-")[0]


CHECK = RecordCheck(RULE, run)
