"""The way along a surface is never shorter than the way through air."""

from collections.abc import Iterator

from lidoff.checks.amounts import recorded
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.figures.rows import measured
from lidoff.rule import Rule

RULE = Rule(
    id="creepage-below-clearance",
    title="Creepage is not shorter than clearance",
    severity="warning",
    scope="record",
    why=(
        "Clearance is the shortest way between two parts through air, creepage the shortest along a surface. Any way "
        "along a surface is a way in air as well, so creepage can equal clearance and not fall below it. Where it "
        "does, the two are swapped or one was not measured along the shortest way. A difference of 0.2 mm is left to "
        "the calliper."
    ),
    source="IEC 62368-1, 5.4.2 and 5.4.3, definitions of IEC 60664-1 (from memory); 0.2 mm: common practice, no source",
    formula=r"d_{creepage} < d_{clearance} - 0.2\,\mathrm{mm}",
)

READING_MM = 0.2


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for rows whose creepage is below their clearance."""
    for place, row in enumerate(measured(subject.record).spacing):
        if row.clearance_mm is None or row.creepage_mm is None:
            continue
        if round(row.clearance_mm - row.creepage_mm, 6) > READING_MM:
            at = f"measured.spacing[{place}]"
            yield Notice(
                field=f"{at}.creepage_mm",
                found=f"{recorded(row.creepage_mm, 'mm')} of creepage across {row.across}",
                expected=f"at least the clearance of {recorded(row.clearance_mm, 'mm')}",
                fix="check whether the two are swapped; else measure both again along the shortest way",
                related=(("", f"{at}.clearance_mm"),),
                inputs=(row.clearance_mm, row.creepage_mm),
            )


CHECK = RecordCheck(RULE, run)
