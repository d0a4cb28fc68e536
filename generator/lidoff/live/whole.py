"""All records in one state, as pages that show many of them see it, and as none of them."""

from __future__ import annotations

import gc
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lidoff.examination.run import without_collector
from lidoff.finding import Finding
from lidoff.pipeline import Prepared
from lidoff.settings import Settings
from lidoff.website import Page, SearchText, Website

if TYPE_CHECKING:
    from lidoff.pages.context import Context
    from lidoff.pages.trend_tables import Trends


class Whole:
    """Makes one page or file at a time, for any thread; records are indexed when the first is asked for."""

    def __init__(self, prepared: Prepared) -> None:
        self._prepared = prepared
        self._files: dict[str, bytes] = {}
        self._lock = threading.Lock()

    def page(self, address: str) -> Page | None:
        """The page at an address; None where there is none."""
        with self._alone():
            return self._prepared.page(address)

    def file(self, path: str) -> bytes | None:
        """The file at a path; None where there is none. Those that are made together are made once."""
        from lidoff.pages.website import files_near

        with self._alone():
            if path not in self._files:
                self._files |= {file.path: file.content for file in files_near(path, self._seen)}
            return self._files.get(path)

    def texts(self) -> Iterator[SearchText]:
        """What the search knows of each product."""
        from lidoff.pages.sections import search

        with self._alone():
            context, _ = self._seen()
        gc.freeze()  # most of it stays to the end, over all edits: no search for garbage need look at it
        return search.texts(context)

    @contextmanager
    def _alone(self) -> Iterator[None]:
        with self._lock, without_collector():
            yield

    def _seen(self) -> tuple[Context, Trends]:
        return self._prepared.seen


@dataclass(frozen=True, slots=True)
class Outline:
    """A source without records: the pages of its navigation have the frames of any other's."""

    settings: Settings
    findings: tuple[Finding, ...]
    newest: None = None

    def website(self) -> Website:
        """Its pages and files."""
        from lidoff.pages.website import outline

        return outline(self.settings)
