"""Findings that came and findings that went."""

import re
from collections import Counter
from collections.abc import Mapping, Sequence

from lidoff.finding import Finding
from lidoff.record.model import Record

_ITEM = re.compile(r"^(components|ports|boards|samples|magnetics|instruments|photos)\[(\d+)\]")
_NAMING = ("ref", "id", "file")

Key = tuple[str, ...]
Records = Mapping[str, Record]


def beyond(
    findings: Sequence[Finding], others: Sequence[Finding], records: Records, other_records: Records
) -> tuple[Finding, ...]:
    """Findings that the other state does not have.

    One that only moved to another line, or whose numbers read differently, is the same: rule, record and field tell.
    """
    left = Counter(_key(finding, other_records) for finding in others)
    kept = []
    for finding in findings:
        key = _key(finding, records)
        if left[key]:
            left[key] -= 1
        else:
            kept.append(finding)
    return tuple(kept)


def _key(finding: Finding, records: Records) -> Key:
    answered = "" if finding.answer is None else "answered"
    return (finding.rule, finding.severity, finding.path, _stable(finding.field, records.get(finding.path)), answered)


def _stable(field: str, record: Record | None) -> str:
    """The field with the name of the item instead of its place in the list, which shifts when one is put in."""
    found = _ITEM.match(field)
    if found is None or record is None:
        return field
    items = getattr(record, found[1])
    place = int(found[2])
    if place >= len(items):
        return field
    name = next((getattr(items[place], key) for key in _NAMING if getattr(items[place], key, None)), place)
    return f"{found[1]}[{name}]{field[found.end() :]}"
