"""The findings of the checks of the collection that a change takes away and brings."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from lidoff.examination.company import Noticed, Outlines, Read, difference
from lidoff.examination.examine import placed
from lidoff.examination.examined import Examined
from lidoff.finding import Finding
from lidoff.impact.stock import Stock


class Disagreement(Exception):
    """The stock does not fit the records: it has to be taken anew."""


@dataclass(frozen=True, slots=True)
class Moved:
    """Findings of the checks of the collection that went and that came, by the path of their record."""

    gone: Mapping[str, Sequence[Finding]]
    come: Mapping[str, Sequence[Finding]]

    def findings(self, before: Iterable[Finding], path: str) -> list[Finding]:
        """Those of one record after the change."""
        left = list(before)
        for finding in self.gone.get(path, ()):
            if finding not in left:
                raise Disagreement(path)
            left.remove(finding)
        return [*left, *self.come.get(path, ())]


def moved(stock: Stock, numbers: frozenset[int], old: Sequence[Examined], new: Sequence[Examined], read: Read) -> Moved:
    """What differs once the records with these numbers, as they were, are replaced by new ones; ``read`` reads others."""
    found = difference(stock, numbers, old, new, read)
    return Moved(_placed(found.gone, found.was), _placed(found.come, found.now))


def _placed(noticed: Iterable[Noticed], outlines: Outlines) -> Mapping[str, Sequence[Finding]]:
    found: dict[str, list[Finding]] = defaultdict(list)
    for rule, path, notice in noticed:
        found[path].append(placed(rule, notice, outlines[path], outlines))
    return found
