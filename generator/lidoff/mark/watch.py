"""When the desk has done its work: its page was closed, or has not been heard of for long."""

import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field

UNOPENED_S = 600.0
SILENT_S = 240.0
"""A page in the background is let run once a minute by its browser."""
CLOSED_S = 4.0
"""A page that is loaded anew says goodbye, and comes back."""


@dataclass
class Watch:
    """Keeps an eye on the pages that are open; ``now`` is a clock that never goes back [s]."""

    now: Callable[[], float] = time.monotonic
    _started: float = 0.0
    _pages: dict[str, float] = field(default_factory=dict)
    _last_closed: float | None = None
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def __post_init__(self) -> None:
        self._started = self.now()

    def heard(self, page: str) -> None:
        """A page is there."""
        with self._lock:
            self._pages[page] = self.now()

    def asked(self) -> None:
        """The page is being loaded: what was closed before counts no longer."""
        with self._lock:
            self._last_closed = self.now() if self._last_closed is not None else None

    def closed(self, page: str) -> None:
        """A page has said goodbye."""
        with self._lock:
            self._pages.pop(page, None)
            self._last_closed = self.now()

    def is_over(self) -> bool:
        """Whether nobody is at the desk any more."""
        with self._lock:
            now = self.now()
            pages = [seen for seen in self._pages.values() if now - seen <= SILENT_S]
            if pages:
                return False
            if self._last_closed is not None:
                return now - self._last_closed > CLOSED_S
            return now - self._started > (SILENT_S if self._pages else UNOPENED_S)
