"""One entry of the knowledge base: a record with all that was derived from it."""

from dataclasses import dataclass, field

from lidoff.bench.logs import Logs
from lidoff.bench.pictures import Pictures
from lidoff.figures.figure import Figures
from lidoff.finding import Finding
from lidoff.record.model import Record


@dataclass(frozen=True, slots=True)
class Entry:
    """A record that could be read, its figures, the findings that its page shows, what its logs say and what its pictures are.

    ``path`` is the record's file relative to mkdocs.yml; ``slug`` is its product path, brand/model, as in the site's addresses.
    ``inputs`` is a digest of all that was read for it (record, logs, pictures, options); empty where that is not known.
    """

    path: str
    slug: str
    record: Record
    figures: Figures
    findings: tuple[Finding, ...] = ()
    logs: Logs = field(default_factory=dict)
    pictures: Pictures = field(default_factory=dict)
    inputs: str = ""

    @property
    def title(self) -> str:
        """Brand and model as one name."""
        return f"{self.record.product.brand} {self.record.product.model}"

    @property
    def year(self) -> int | None:
        """Year of launch, else of the teardown, else None."""
        if self.record.product.launched is not None:
            return self.record.product.launched
        return int(self.record.teardown.date[:4]) if self.record.teardown else None

    @property
    def is_draft(self) -> bool:
        """Whether the record is a draft, previewed only."""
        return self.record.status == "draft"
