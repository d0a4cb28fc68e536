"""What is concluded on the conversion beside what the parts are consistent with."""

from collections.abc import Iterator

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.figures.topology import infer
from lidoff.figures.verdict import Verdict
from lidoff.finding import Severity
from lidoff.rule import Rule

RULE = Rule(
    id="topology-consistency",
    title="The conversion that is concluded fits the roles of the listed parts",
    severity="warning",
    scope="record",
    why=(
        "The parts say much about the conversion: a half bridge has an upper switch, a boost stage an inductor and a "
        "diode of its own, a synchronous rectifier is a transistor. Where the conclusion contradicts what the listed "
        "parts support well, one of the two is wrong. A reading of the parts that leaves room for others, or another "
        "mode of the same converter, is a note; where the parts say too little, nothing is said."
    ),
    source="heuristics of the trade: common practice, no source",
)

SAME_CONVERTER = (
    frozenset(("flyback", "flyback-fixed-frequency", "flyback-quasi-resonant", "flyback-zero-voltage")),
    frozenset(("boost", "boost-critical", "boost-continuous", "boost-interleaved")),
    frozenset(("buck", "buck-boost", "bus-selection")),
    frozenset(("sync-rectified", "sync-rectified-centre-tap", "sync-rectified-bridge")),
    frozenset(("none", "load-switch")),
)


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for conclusions that the parts contradict."""
    conversion = subject.record.conversion
    if conversion is None or not subject.record.components:
        return
    for verdict in infer(subject.record):
        stated = getattr(conversion, verdict.claim)
        if stated in (None, "undetermined") or not verdict.is_determined or stated in verdict.fits:
            continue
        yield _notice(stated, verdict)


def _notice(stated: str, verdict: Verdict) -> Notice:
    either = f"one of {', '.join(verdict.fits)}" if len(verdict.fits) > 1 else verdict.fits[0]
    return Notice(
        field=f"conversion.{verdict.claim}",
        found=f"{stated}, while the parts are consistent with {verdict.fits[0]}: {'; '.join(verdict.because[:2])}",
        expected=f"{either}, or other roles of the parts",
        fix="check the roles of these parts and coverage; correct whichever is wrong, or explain it in answered",
        severity=_severity(stated, verdict),
        inputs=(stated, verdict.fits, verdict.refs),
    )


def _severity(stated: str, verdict: Verdict) -> Severity:
    same = any(stated in words and verdict.fits[0] in words for words in SAME_CONVERTER)
    return "warning" if verdict.confidence == "high" and not same else "note"


CHECK = RecordCheck(RULE, run)
