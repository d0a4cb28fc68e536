"""Findings as people and programs read them: plain text, JSON, annotations of a pull request, SARIF."""

from lidoff.reports.machine import as_github, as_json, as_sarif
from lidoff.reports.text import as_text

__all__ = ["as_github", "as_json", "as_sarif", "as_text"]
