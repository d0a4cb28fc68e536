"""What pages make of one entry alone, for as long as the entry is the same: after an edit most of it is asked for again."""

from collections.abc import Callable, Collection
from typing import TypeVar

from lidoff.entry import Entry

Value = TypeVar("Value")


class OfEntries:
    """Things made of entries, by what they are called and the entry's slug."""

    def __init__(self) -> None:
        self._known: dict[str, dict[str, tuple[Entry, object]]] = {}

    def of(self, entry: Entry, name: str, make: Callable[[Entry], Value]) -> Value:
        """What goes by a name, made now if this very entry was not asked for it before."""
        known = self._known.setdefault(name, {})
        found = known.get(entry.slug)
        if found is None or found[0] is not entry:
            found = known[entry.slug] = entry, make(entry)
        return found[1]

    def keep(self, slugs: Collection[str]) -> None:
        """Hold nothing of other entries any more."""
        for name, known in self._known.copy().items():  # copies: another thread may ask just now
            self._known[name] = {slug: found for slug, found in known.copy().items() if slug in slugs}
