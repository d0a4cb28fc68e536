"""A point of efficiency that stands in a file beside the record."""

from dataclasses import dataclass

from lidoff.record.model.electrical import EfficiencyPoint


@dataclass(frozen=True, slots=True)
class SweptPoint(EfficiencyPoint):
    """A row of a sweep's file, with what the record says of the whole sweep.

    ``at`` is its place: the sweep in the record, and the line of its file in brackets.
    """

    at: str = ""
    line: int = 0
