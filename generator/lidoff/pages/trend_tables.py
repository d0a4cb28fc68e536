"""The trend tables of one build, made when a page asks for them: a preview of one product never pays for them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from lidoff.entry import Entry
from lidoff.settings import Settings
from lidoff.trends.frames import Frames, make_frames
from lidoff.trends.own_tables import definitions
from lidoff.trends.table import Table
from lidoff.trends.tables import Definition


class Trends:
    """Frames and tables of a collection; each is made once. ``earlier`` are those of an earlier state of it."""

    def __init__(self, entries: Sequence[Entry], settings: Settings, earlier: Trends | None = None) -> None:
        self._tables: dict[str, Table] = {}
        self.definitions: Mapping[str, Definition] = definitions(settings.tables)
        self.frames: Frames = earlier.frames.followed_by(entries) if earlier else make_frames(entries, settings.tiers_w)

    def table(self, name: str) -> Table:
        """One table."""
        if name not in self._tables:
            self._tables[name] = self.definitions[name].build(self.frames)
        return self._tables[name]
