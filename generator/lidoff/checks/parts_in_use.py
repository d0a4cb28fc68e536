"""The same part in several records: every line of a component list that names maker and part number."""

from collections.abc import Callable, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from lidoff.checks.check import Gist
from lidoff.record.gist import PartGist

Key = tuple[str, str]


@dataclass(frozen=True, slots=True)
class PartUse:
    """One line of a record that names a part."""

    subject: Gist
    place: int
    part: PartGist

    @property
    def field(self) -> str:
        """The line's field."""
        return f"components[{self.place}]"


PartLine = tuple[Gist, int, PartGist]
"""The record, the place in its list of parts, and what stands there."""


class Subjects(tuple[Gist, ...]):
    """All records of a collection, whose parts are looked through once for all checks."""

    @cached_property
    def part_lines(self) -> Mapping[Key, Sequence[PartLine]]:
        """Every line that names a part, by the part."""
        return _part_lines(self)


def part_lines(subjects: Sequence[Gist]) -> Mapping[Key, Sequence[PartLine]]:
    """Every line that names maker and part number, by these two."""
    return subjects.part_lines if isinstance(subjects, Subjects) else _part_lines(subjects)


def _part_lines(subjects: Sequence[Gist]) -> Mapping[Key, Sequence[PartLine]]:
    found: dict[Key, list[PartLine]] = {}
    for subject in subjects:
        for place, part in enumerate(subject.record.components):
            maker, number = part.maker, part.part_number
            if number is not None and maker is not None:
                found.setdefault((maker, number), []).append((subject, place, part))
    return found


def shared_parts(
    subjects: Sequence[Gist], aspect: Callable[[PartGist], Hashable]
) -> Iterator[tuple[Key, list[PartUse]]]:
    """Each part whose lines differ in an aspect, with all its lines; guesses are left out.

    The key is maker and number: the same number by another maker is a second source and another part.
    """
    for key, lines in part_lines(subjects).items():
        if len({aspect(part) for _, _, part in lines}) > 1:
            uses = [PartUse(*line) for line in lines if line[2].strength != "guess"]
            if len({aspect(use.part) for use in uses}) > 1:
                yield key, uses
