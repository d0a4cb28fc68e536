"""Invented and real records are not in one knowledge base."""

from collections.abc import Iterator, Sequence

from lidoff.checks.check import CollectionCheck, Gist, Notice
from lidoff.rule import Rule

RULE = Rule(
    id="demo-mixed",
    title="Either all records are invented or none is",
    severity="warning",
    scope="collection",
    why=(
        "Tables, medians and comparisons count all records alike. Where some are invented and some are not, no number "
        "of the site can be believed."
    ),
    source="Lidoff's own decision",
)


def run(subjects: Sequence[Gist]) -> Iterator[tuple[str, Notice]]:
    """One notice, at the first record of the smaller group."""
    invented = [subject for subject in subjects if subject.record.demo]
    real = [subject for subject in subjects if not subject.record.demo]
    if not invented or not real:
        return
    fewer, more = (invented, real) if len(invented) <= len(real) else (real, invented)
    yield (
        fewer[0].path,
        Notice(
            field="demo" if fewer is invented else "status",
            found=f"marked as invented: {len(invented)} of {len(subjects)} records",
            expected="demo: true in all records or in none",
            fix="move the invented records out, or mark those that are invented and do not say so",
            related=((more[0].path, "demo" if more is invented else "status"),),
            inputs=(bool(invented), bool(real)),
        ),
    )


CHECK = CollectionCheck(RULE, run)
