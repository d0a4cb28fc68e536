"""Findings as text for people."""

from collections.abc import Callable, Iterator, Sequence

from lidoff.finding import Finding, Severity

Paint = Callable[[str, Severity], str]

_SEVERITIES: tuple[Severity, ...] = ("error", "warning", "note")


def as_text(findings: Sequence[Finding], records: int, paint: Paint = lambda text, severity: text) -> str:
    """Every finding in four lines or more, then one line that counts them; ``paint`` colours a severity."""
    pieces = [finding_text(finding, paint) for finding in findings]
    return "\n".join([*pieces, summary(findings, records)]) + "\n"


def finding_text(finding: Finding, paint: Paint = lambda text, severity: text) -> str:
    """One finding in four lines or more."""
    return "\n".join(_lines(finding, paint))


def summary(findings: Sequence[Finding], records: int) -> str:
    """How many records were read and how many findings of each severity there are."""
    read = _counted(records, "record")
    if not findings:
        return f"{read}: nothing found"
    counts = [(sum(1 for finding in findings if finding.severity == severity), severity) for severity in _SEVERITIES]
    return f"{read}: {', '.join(_counted(count, severity) for count, severity in counts if count)}"


def _lines(finding: Finding, paint: Paint) -> Iterator[str]:
    title = paint(f"{finding.severity}[{finding.rule}]", finding.severity)
    yield f"{finding.path}:{finding.line}:{finding.column}: {title} {finding.field}".rstrip()
    yield f"  found     {finding.found}"
    yield f"  expected  {finding.expected}"
    yield f"  fix       {finding.fix}"
    for place in finding.related:
        yield f"  see       {place.path}:{place.line}:{place.column} {place.field}".rstrip()
    if finding.source and finding.severity != "error":
        yield f"  source    {finding.source}"
    if finding.answer is not None:
        yield f"  answered  {finding.answer}"
    elif finding.inputs and finding.severity == "warning":
        yield f'  inputs    "{finding.inputs}"'


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"
