"""Ripple can be compared only with its bandwidth and the capacitors at the probe."""

from collections.abc import Iterator

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.figures.rows import measured
from lidoff.record.model.electrical import Ripple
from lidoff.rule import Rule

RULE = Rule(
    id="ripple-bandwidth",
    title="Ripple is recorded with bandwidth and decoupling",
    severity="note",
    scope="record",
    why=(
        "Peak-to-peak ripple depends on the bandwidth of the oscilloscope and on the capacitors across the probe's "
        "tip, by a factor of two and more. Without both, a value can't be set beside that of another product."
    ),
    source="common practice, no source",
)


def run(subject: Subject) -> Iterator[Notice]:
    """One note for all rows that can't be compared."""
    rows = [(place, missing) for place, row in enumerate(measured(subject.record).ripple) if (missing := gaps(row))]
    if rows:
        missing = list(dict.fromkeys(gap for _, lacking in rows for gap in lacking))
        yield Notice(
            field=f"measured.ripple[{rows[0][0]}]",
            found=f"peak-to-peak ripple without {' and '.join(missing)}, which can't be compared with other products",
            expected="bandwidth_mhz, and ceramic_nf or electrolytic_uf for the capacitors at the probe",
            fix="add what was set; write 0 where there was no capacitor",
            related=tuple(("", f"measured.ripple[{place}]") for place, _ in rows[1:]),
        )


def gaps(row: Ripple) -> list[str]:
    """What is missing for a comparison with other products."""
    if row.pk_pk_mv is None:
        return []
    missing = ["bandwidth"] if row.bandwidth_mhz is None else []
    if row.ceramic_nf is None and row.electrolytic_uf is None:
        missing.append("decoupling")
    return missing


CHECK = RecordCheck(RULE, run)
