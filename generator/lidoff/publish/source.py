"""What publishing asks of the stages before it; anything that answers like this can be published."""

import datetime
from typing import Protocol

from lidoff.finding import Finding
from lidoff.website import Page, PictureFile, Website


class Source(Protocol):
    """The checked collection of one build.

    ``newest`` is the newest date in the records: it stands for "now" wherever a tool wants a build date. ``website``
    leaves out a record that has an error, so that a preview can show the others; its pages with the frame ``builder``
    come first.
    """

    @property
    def findings(self) -> tuple[Finding, ...]: ...

    @property
    def newest(self) -> datetime.date | None: ...

    def website(self) -> Website: ...


class Live(Protocol):
    """The records as they are now, for the live preview. A broken record is a finding here, never an exception.

    Several threads may ask at once.
    """

    def refresh(self) -> frozenset[str]:
        """Read again what was edited; the addresses of all pages that changed since the last call. Must be cheap."""
        ...

    def look(self, address: str) -> bool:
        """Read again the record behind this page alone; whether it was edited. Must be as cheap for many records."""
        ...

    def is_ahead(self, address: str) -> bool:
        """Whether ``look`` has read this page's record again, and ``refresh`` not yet all that goes with it."""
        ...

    def page(self, address: str) -> Page | None:
        """The page made from the records as they are now, or None where they make none."""
        ...

    def earlier_page(self, address: str) -> Page | None:
        """The page of a record as it was before it had errors, where that was seen."""
        ...

    def moved(self, address: str) -> str | None:
        """The address of today of a page that once had this one."""
        ...

    def file(self, path: str) -> bytes | None:
        """The file at this path of the site, made from the records as they are now, or None where they make none."""
        ...

    def picture(self, path: str) -> PictureFile | None:
        """How the picture at this path of the site is made, or None where no record wants one there."""
        ...

    def findings(self, address: str) -> tuple[Finding, ...]:
        """The findings of the record behind this page, as it is now."""
        ...
