"""Measured clearance and creepage beside typical values of named conditions, never a verdict."""

from collections.abc import Iterable, Iterator

from lidoff.checks.amounts import computed, recorded
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.engineering.insulation import TypicalSpacing, reinforced_creepage, typical_spacings
from lidoff.figures.full_load import HIGH_RANGE_FROM_V
from lidoff.figures.label import label_input
from lidoff.figures.rows import measured
from lidoff.record.model.measured import Spacing
from lidoff.rule import Rule

RULE = Rule(
    id="spacing-typical",
    title="Measured distances beside the typical value of a named condition",
    severity="note",
    scope="record",
    why=(
        "Distances across an insulation depend on edition, market, altitude, quality programme, working voltage and "
        "potting. A measured one is set beside the smallest typical value that test reports list for its place, at "
        "pollution degree 2 and mains of 240 V to 250 V. Clearly below it is worth a note, for instance because a "
        "slot or a barrier sheet was missed. A smaller distance is no fault by itself, a larger one no proof."
    ),
    source=(
        "IEC 60950-1, 2.10.3 and 2.10.4, and IEC 62368-1, 5.4.2 and 5.4.3, values as listed in CB test reports; "
        "creepage at 320 V and 400 V from memory"
    ),
    formula=r"d < 0.95 d_{typical}",
)

CLEARLY_BELOW = 0.95
INSULATION_OF = {"primary-secondary": "reinforced", "line-neutral": "functional"}
TABLE_V = (250.0, 400.0)


def run(subject: Subject) -> Iterator[Notice]:
    """Notes for distances clearly below a typical value; there is none listed for mains of 100 V to 127 V alone."""
    highest = label_input(subject.record).voltage_max_v
    if highest is not None and highest < HIGH_RANGE_FROM_V:
        return
    for place, row in enumerate(measured(subject.record).spacing):
        insulation = INSULATION_OF.get(row.across)
        if insulation is not None:
            rows = [one for one in typical_spacings() if one.insulation == insulation and one.basis == "seen"]
            yield from _beside(place, row, "clearance_mm", _least(rows, "clearance"))
            yield from _beside(place, row, "creepage_mm", _creepage(row, insulation) or _least(rows, "creepage"))


def _least(rows: Iterable[TypicalSpacing], kind: str) -> tuple[float, str]:
    """The smallest typical distance of a kind in millimetres, with its condition and document."""
    known = [(getattr(row, kind), row) for row in rows if getattr(row, kind) is not None]
    distance, row = min(known, key=lambda one: one[0])
    return 1e3 * distance, f"{row.insulation} insulation {row.condition} ({row.document})"


def _creepage(row: Spacing, insulation: str) -> tuple[float, str] | None:
    """Creepage of reinforced insulation at a recorded working voltage above that of the listed conditions."""
    if insulation != "reinforced" or row.working_v is None or not TABLE_V[0] < row.working_v <= TABLE_V[1]:
        return None
    condition = f"reinforced insulation at {recorded(row.working_v, 'V')} (IEC 60950-1, 2.10.4)"
    return 1e3 * reinforced_creepage(row.working_v), condition


def _beside(place: int, row: Spacing, key: str, typical: tuple[float, str]) -> Iterator[Notice]:
    distance, condition = getattr(row, key), typical[1]
    if distance is not None and distance < CLEARLY_BELOW * typical[0]:
        yield Notice(
            field=f"measured.spacing[{place}].{key}",
            found=f"{recorded(distance, 'mm')} of {key.removesuffix('_mm')} across {row.across}",
            expected=f"typical is {computed(typical[0], 'mm', 2)}: {condition}; no verdict",
            fix="measure again along the shortest way; record slots, barrier sheet and potting; if it stands, leave it",
            inputs=(distance, row.across, row.working_v),
        )


CHECK = RecordCheck(RULE, run)
