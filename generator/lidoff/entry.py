"""One entry of the knowledge base: a record with all that was derived from it."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Generic, TypeVar

from lidoff.bench.logs import Logs
from lidoff.bench.pictures import Pictures
from lidoff.figures.figure import Figures
from lidoff.finding import Finding
from lidoff.record.model import Record
from lidoff.record.sketch import Sketch

Value = TypeVar("Value")


@dataclass(frozen=True, slots=True)
class Packed(Generic[Value]):
    """A value in bytes, what makes it of them, and that little of it which is asked of thousands: ``brief``.

    ``rows`` are bytes that were made of it (`rows/record_rows.py`).
    """

    content: bytes
    unpack: Callable[[bytes], Value]
    brief: object
    rows: bytes = b""


class Unpacked(Generic[Value]):
    """A field of a dataclass that may be given packed: then it is made whenever it is read, and held by whoever reads it."""

    def __set_name__(self, owner: type, name: str) -> None:
        self._name = f"_{name}"

    def __set__(self, item: object, value: Value | Packed[Value]) -> None:
        vars(item)[self._name] = value

    def __get__(self, item: object | None, owner: type) -> Value:
        if item is None:
            raise AttributeError(self._name)  # by this a dataclass knows that the field has no default
        value = vars(item)[self._name]
        return value.unpack(value.content) if isinstance(value, Packed) else value

    def brief(self, item: object) -> object:
        """The little of it that is at hand; all of it where it was not given packed."""
        value = vars(item)[self._name]
        return value.brief if isinstance(value, Packed) else value

    def rows(self, item: object) -> bytes:
        """What was made of it; nothing where it was not given packed, since it may be another one then."""
        value = vars(item)[self._name]
        return value.rows if isinstance(value, Packed) else b""


_RECORD: Unpacked[Record] = Unpacked()
_FIGURES: Unpacked[Figures] = Unpacked()


@dataclass(frozen=True)
class Entry:
    """A record that could be read, its figures, the findings that its page shows, what its logs say and what its pictures are.

    ``path`` is the record's file relative to mkdocs.yml; ``slug`` is its product path, brand/model, as in the site's addresses.
    ``inputs`` is a digest of all that was read for it (record, logs, pictures, options); empty where that is not known.
    What goes through many entries reads `sketch` and `brief`, for ``record`` and ``figures`` are unpacked at each reading.
    """

    path: str
    slug: str
    record: Unpacked[Record] = _RECORD
    figures: Unpacked[Figures] = _FIGURES
    findings: tuple[Finding, ...] = ()
    logs: Logs = field(default_factory=dict)
    pictures: Pictures = field(default_factory=dict)
    inputs: str = ""

    @property
    def sketch(self) -> Record | Sketch:
        """The record as far as others ask of it; the same field has the same value."""
        return _RECORD.brief(self)

    @property
    def brief(self) -> Figures:
        """The few figures that others ask of it."""
        return _FIGURES.brief(self)

    @property
    def rows(self) -> bytes:
        """The rows that tables take from record and figures, where they were made when these were; else nothing."""
        return _FIGURES.rows(self)

    @property
    def title(self) -> str:
        """Brand and model as one name."""
        return f"{self.sketch.product.brand} {self.sketch.product.model}"

    @property
    def year(self) -> int | None:
        """Year of launch, else of the teardown, else None."""
        if self.sketch.product.launched is not None:
            return self.sketch.product.launched
        return int(self.sketch.teardown.date[:4]) if self.sketch.teardown else None

    @property
    def is_draft(self) -> bool:
        """Whether the record is a draft, previewed only."""
        return self.sketch.status == "draft"
