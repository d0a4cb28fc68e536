"""The lines of products in comparisons, made once for many pages."""

from lidoff.entry import Entry
from lidoff.pages.views.comparison_lines import Line, comparison_lines

MOST_KNOWN = 10_000  # products whose lines are at hand, some 10 kB each


class KnownColumns:
    """The lines of each product that was asked for; the newest products stand in most comparisons."""

    def __init__(self) -> None:
        self._known: dict[str, tuple[Line, ...]] = {}

    def of(self, entry: Entry) -> tuple[Line, ...]:
        """Those of one product."""
        found = self._known.get(entry.slug)
        if found is None:
            if len(self._known) == MOST_KNOWN:
                del self._known[next(iter(self._known))]
            found = self._known[entry.slug] = comparison_lines(entry)
        return found
