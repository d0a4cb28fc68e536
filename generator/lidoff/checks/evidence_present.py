"""Statements on the conversion and their evidence belong together."""

from collections.abc import Iterator

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.rule import Rule

RULE = Rule(
    id="evidence-present",
    title="The main statements on the conversion have evidence, and no evidence is without its statement",
    severity="note",
    scope="record",
    why=(
        "How the isolated converter works, and which boost stage there is, counts in every table of topologies; a "
        "reader can judge it only by what it rests on. Rectification, conversion for each port and the lack of a "
        "boost stage speak through the list of parts. Evidence for something that the record does not state is a slip."
    ),
    source="Lidoff's own decision",
)

NEEDS_NO_EVIDENCE = frozenset({None, "none", "undetermined"})


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for statements without evidence and for evidence without its statement."""
    conversion = subject.record.conversion
    if conversion is None:
        return
    backed = {evidence.claim for evidence in conversion.evidence}
    for claim in ("pfc", "primary"):
        stated = getattr(conversion, claim)
        if stated not in NEEDS_NO_EVIDENCE and claim not in backed:
            yield Notice(
                field=f"conversion.{claim}",
                found=f"{stated}, without evidence",
                expected="an item in evidence that says by what it was seen and how sure it is",
                fix=f"add an item with claim: {claim} to conversion.evidence",
                inputs=(stated,),
            )
    for place, evidence in enumerate(conversion.evidence):
        if getattr(conversion, evidence.claim) is None:
            yield Notice(
                field=f"conversion.evidence[{place}].claim",
                found=f"evidence for {evidence.claim}, which the record does not state",
                expected=f"a statement in conversion.{evidence.claim}",
                fix=f"add conversion.{evidence.claim}, or correct the claim",
                severity="warning",
                inputs=(evidence.claim,),
            )


CHECK = RecordCheck(RULE, run)
