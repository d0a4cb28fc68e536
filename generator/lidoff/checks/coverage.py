"""How much of a unit was looked at: only what was looked for can be said to be missing."""

from lidoff.record.model import Record


def lists_every_part(record: Record) -> bool:
    """Whether every part of every board is in the list and nothing hid any from view."""
    found = record.coverage
    return found is not None and found.parts == "every" and found.boards == "all" and not found.hidden_by


def lists_main_parts(record: Record) -> bool:
    """Whether every part that matters to power path, protection and control is in the list."""
    found = record.coverage
    return found is not None and found.parts in ("every", "main")
