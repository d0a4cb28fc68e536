"""Errors of records as a notice on top of a previewed page."""

from collections.abc import Iterable

from markupsafe import escape

from lidoff.finding import Finding
from lidoff.reports.text import finding_text


def notice(findings: Iterable[Finding], lead: str) -> str:
    """The errors as HTML to be set above a page's content; empty where there are none."""
    errors = [finding for finding in findings if finding.severity == "error"]
    if not errors:
        return ""
    items = "".join(f"<li><pre>{escape(finding_text(finding))}</pre></li>" for finding in errors)
    return f'<div class="notice" role="status"><p>{escape(lead)}</p><ul>{items}</ul></div>'
