"""Findings as text for the terminal and as a notice on top of a previewed page."""

from collections.abc import Iterable

from markupsafe import escape

from lidoff.finding import Finding


def finding_line(finding: Finding) -> str:
    """The first line of a finding: where, how bad, which rule, what."""
    place = f"{finding.path}:{finding.line}:{finding.column}"
    return f"{place}: {finding.severity}[{finding.rule}] {finding.field}".rstrip()


def finding_text(finding: Finding) -> str:
    """The whole finding, the way ``lidoff check`` shows it."""
    rows = (("found", finding.found), ("expected", finding.expected), ("fix", finding.fix))
    return "\n".join((finding_line(finding), *(f"  {name:<9} {text}" for name, text in rows if text)))


def notice(findings: Iterable[Finding], lead: str) -> str:
    """The errors as HTML to be set above a page's content; empty where there are none."""
    errors = [finding for finding in findings if finding.severity == "error"]
    if not errors:
        return ""
    items = "".join(f"<li><pre>{escape(finding_text(finding))}</pre></li>" for finding in errors)
    return f'<div class="notice" role="status"><p>{escape(lead)}</p><ul>{items}</ul></div>'
