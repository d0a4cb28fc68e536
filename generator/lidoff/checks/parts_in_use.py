"""The same part in several records: every line of a component list that names maker and part number."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

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


def shared_parts(subjects: Sequence[Gist]) -> Iterator[tuple[Key, list[PartUse]]]:
    """Each part that is named more than once, with all its lines; guesses are left out.

    The key is maker and number: the same number by another maker is a second source and another part.
    """
    uses: dict[Key, list[PartUse]] = {}
    for subject in subjects:
        for place, part in enumerate(subject.record.components):
            if part.part_number is not None and part.maker is not None and part.strength != "guess":
                uses.setdefault((part.maker, part.part_number), []).append(PartUse(subject, place, part))
    for key, found in uses.items():
        if len(found) > 1:
            yield key, found
