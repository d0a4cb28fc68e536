"""One record file after reading, deriving and checking it on its own, in the form in which it is kept from run to run.

What thousands of records need at once lies open; figures and logs stay packed until a page asks for them. A result that
was kept and one that was made just now pass through the same form, so that they can't differ.
"""

import zlib
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from functools import cached_property, lru_cache

from lidoff.bench.logs import LogResult, Logs
from lidoff.bench.picture_file import PictureFacts
from lidoff.checks.check import HELD_FIGURES, Gist, HeldFigures, Subject
from lidoff.entry import Entry, Packed
from lidoff.examination.packing import decoded, encoded
from lidoff.figures.figure import Figure, Figures
from lidoff.finding import Finding, Place
from lidoff.record.gist import NAMED, record_gist
from lidoff.record.load import Loaded, built
from lidoff.record.marks import Marks
from lidoff.record.model import Record
from lidoff.record.sketch import Sketch, sketch_of

AT_HAND = 64
"""So many of the records and figures that were asked for last are not made anew: a page asks for its own again and again."""


@dataclass(frozen=True, slots=True)
class Kept:
    """What a file of the cache holds.

    ``data`` is the record, empty where it can't be read; ``figures`` and ``logs`` are packed; ``held`` are the figures
    that checks of the collection compare, and ``spots`` the places of the fields that they may name. ``beside`` are the
    keys of results on the files beside the record, ``rows`` what tables take from it.
    """

    status: str | None
    findings: tuple[Finding, ...]
    data: bytes = b""
    held: tuple[Figure, ...] = ()
    spots: bytes = b""
    figures: bytes = b""
    logs: bytes = b""
    pictures: Mapping[str, PictureFacts] = field(default_factory=dict)
    beside: tuple[str, ...] = ()
    rows: bytes = b""


@dataclass(frozen=True, slots=True)
class Outline:
    """A record file: its path, whether it says that it is a draft, and where its fields stand."""

    path: str
    status: str | None
    marks: Marks

    def place(self, field: str) -> Place:
        """Where a field such as ``ports[0].label[1].voltage_max_v`` stands, or what encloses it."""
        return self.marks.place(field)


@dataclass(frozen=True)
class Examined:
    """One record file after reading, deriving and checking it on its own.

    ``key`` is a digest of all that this rests on; empty where it was not made.
    """

    loaded: Outline
    slug: str
    kept: Kept
    tiers_w: tuple[float, ...]
    key: str = ""

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What was found in it without looking at other records."""
        return self.kept.findings

    @property
    def is_readable(self) -> bool:
        """Whether there is a record."""
        return bool(self.kept.data)

    def __getstate__(self) -> tuple:
        """What another process is given: not what was made on the way."""
        return tuple(getattr(self, one.name) for one in fields(self))

    def __setstate__(self, state: tuple) -> None:
        self.__dict__.update(zip((one.name for one in fields(self)), state, strict=True))

    @cached_property
    def gist(self) -> Gist:
        """What checks of the collection see of the readable record."""
        kept, figures = self.kept, HeldFigures(self.kept.held)
        return Gist(self.loaded.path, self.slug, record_gist(kept.data), figures, self.tiers_w, kept.pictures)

    @cached_property
    def sketch(self) -> Sketch:
        """What lists and tables see of the readable record."""
        return sketch_of(self.kept.data)

    def entry(self, findings: tuple[Finding, ...] = ()) -> Entry:
        """The readable record as pages see it, made anew at each call; ``findings`` are what its page shows."""
        kept = self.kept
        if not kept.figures:
            raise ValueError(f"{self.loaded.path} was examined without keeping its figures")
        logs = decoded(zlib.decompress(kept.logs), dict[str, LogResult]) if kept.logs else {}
        return Entry(
            path=self.loaded.path, slug=self.slug, findings=findings, logs=logs, pictures=kept.pictures, inputs=self.key,
            record=Packed(kept.data, unpacked_record, self.sketch),
            figures=Packed(kept.figures, unpacked_figures, HeldFigures(kept.held), kept.rows),
        )  # fmt: skip


def kept_of(
    loaded: Loaded, subject: Subject | None, findings: tuple[Finding, ...], beside: tuple[str, ...], rows: bytes = b""
) -> Kept:
    """What is kept of a record; ``subject`` is None where it can't be read."""
    if subject is None:
        return Kept(loaded.status, findings)
    held = tuple(figure for figure in subject.figures if figure.id in HELD_FIGURES)
    figures, logs = zlib.compress(encoded(subject.figures), 1), packed_logs(subject.logs)
    spots = loaded.marks.packed(NAMED)
    return Kept(loaded.status, findings, loaded.data, held, spots, figures, logs, subject.pictures, beside, rows)


def packed(kept: Kept) -> bytes:
    """The bytes of a file of the cache."""
    return encoded(kept)


def unpacked(content: bytes) -> Kept | None:
    """What the bytes of a file hold; None where they are of another form."""
    return decoded(content, Kept)


@lru_cache(maxsize=AT_HAND)
def unpacked_record(data: bytes) -> Record:
    """A record."""
    return built(data)


@lru_cache(maxsize=AT_HAND)
def unpacked_figures(content: bytes) -> Figures:
    """The figures of a record."""
    return decoded(zlib.decompress(content), Figures)


def packed_logs(logs: Logs) -> bytes:
    """What the logs say, in bytes; empty where there are none."""
    return zlib.compress(encoded(logs), 1) if logs else b""
