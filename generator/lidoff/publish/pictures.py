"""The pictures of the site: taken from where they are kept, else made by the crew, from bytes to bytes."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from lidoff.crew.here import HERE, Crew
from lidoff.publish.picture_cache import Cache, key_of
from lidoff.publish.shell import ShellError
from lidoff.website import PictureFile, SiteFile

PictureProgress = Callable[[int, int], None]
BATCH = 64
"""So many kept variants are asked for at once: where they lie far away, each question takes long."""
MOST_FAILURES = 10
"""After so many vain tries to keep what was made, no more are made in this build."""


@dataclass(frozen=True, slots=True)
class Job:
    """What is to be made from one master: its file here, the digest that it must have, and the variants."""

    source: str
    sha256: str
    wanted: tuple[PictureFile, ...]


@dataclass(frozen=True, slots=True)
class Order:
    """A job with the bytes of its master, for whoever does it; ``unread`` says why there are none."""

    job: Job
    content: bytes
    unread: str = ""


@dataclass(frozen=True, slots=True)
class Made:
    """The variants of one master in the order in which they were wanted, or the fault."""

    contents: tuple[bytes, ...] = ()
    fault: str = ""


@dataclass(frozen=True, slots=True)
class PictureMaker:
    """Makes the pictures of a site; ``progress`` is told how many masters are done of how many.

    A preview is ``is_forgiving``: it shows what it can where a master can't be used. ``tell`` is told where variants
    could not be kept, or not be read again: that costs time, and the site has them all the same.
    """

    cache: Cache
    progress: PictureProgress = lambda done, total: None
    is_forgiving: bool = False
    crew: Crew = HERE
    tell: Callable[[str], None] = lambda text: None

    def write(self, pictures: Iterable[PictureFile], write: Callable[[SiteFile], None]) -> tuple[str, ...]:
        """Write every picture; returns one fault for each master that can't be used, after all others were made.

        Raises ShellError with all of these faults where they may not be forgiven.
        """
        jobs = _jobs(self._write_kept(pictures, write))
        faults: list[str] = []
        fresh: list[str] = []
        unkept: list[str] = []
        results = self.crew.results(make, map(_order, jobs), len(jobs))
        for number, (order, made) in enumerate(results, start=1):
            if made.fault:
                faults.append(f"{order.job.source}: this picture can't be used: {made.fault}")
            for picture, content in zip(order.job.wanted, made.contents, strict=not made.fault):
                write(SiteFile(picture.path, content))
            reason = self._keep(order.job, made) if len(unkept) < MOST_FAILURES else unkept[0]
            if reason:
                unkept.append(reason)
            else:
                fresh.extend(map(key_of, order.job.wanted))
            self.progress(number, len(jobs))
        if unkept:
            self.tell(
                f"{len(unkept)} pictures are in the site, but could not be kept: {unkept[0]}. "
                f"The next build makes them again."
            )
        self.cache.prune(fresh)
        if faults and not self.is_forgiving:
            raise ShellError("\n".join(sorted(faults)))
        return tuple(sorted(faults))

    def one(self, picture: PictureFile) -> bytes | None:
        """One picture, made now if need be; None where its master can't be used."""
        key = key_of(picture)
        kept, _ = self.cache.get_many([key])
        if key in kept:
            return kept[key]
        job = Job(picture.source, picture.sha256, (picture,))
        made = make(_order(job))
        self._keep(job, made)
        return made.contents[0] if made.contents else None

    def _write_kept(self, pictures: Iterable[PictureFile], write: Callable[[SiteFile], None]) -> list[PictureFile]:
        """Write what was made before; the others, each once."""
        missing, reasons = [], []
        for batch in _batches(_each_once(pictures)):
            kept, reason = self.cache.get_many([key_of(picture) for picture in batch])
            reasons += [reason] if reason else []
            for picture in batch:
                content = kept.get(key_of(picture))
                if content is None:
                    missing.append(picture)
                else:
                    write(SiteFile(picture.path, content))
        if reasons:
            self.tell(f"Some kept pictures can't be read and are made again: {reasons[0]}")
        return missing

    def _keep(self, job: Job, made: Made) -> str:
        return self.cache.put_many(dict(zip(map(key_of, job.wanted), made.contents, strict=not made.fault)))


def make(order: Order) -> Made:
    """All variants of one master, from nothing but the order."""
    if order.unread:
        return Made(fault=order.unread)
    # Pillow is loaded where there is something to make, and nowhere else
    from lidoff.publish.picture_encoder import encode

    try:
        return Made(tuple(encode(order.content, order.job.sha256, order.job.wanted)))
    except Exception as error:
        # a decoder meets a damaged picture with any kind of error; the file must be named, and the others made
        return Made(fault=str(error) or type(error).__name__)


def _order(job: Job) -> Order:
    try:
        return Order(job, Path(job.source).read_bytes())
    except OSError as error:
        return Order(job, b"", str(error))


def _jobs(pictures: Iterable[PictureFile]) -> tuple[Job, ...]:
    """One job a master, so that each is read and decoded once."""
    by_master: dict[tuple[str, str], list[PictureFile]] = {}
    for picture in pictures:
        by_master.setdefault((picture.source, picture.sha256), []).append(picture)
    return tuple(Job(source, sha256, tuple(wanted)) for (source, sha256), wanted in by_master.items())


def _each_once(pictures: Iterable[PictureFile]) -> Iterator[PictureFile]:
    seen: set[str] = set()
    for picture in pictures:
        if picture.path not in seen:
            seen.add(picture.path)
            yield picture


def _batches(pictures: Iterable[PictureFile]) -> Iterator[tuple[PictureFile, ...]]:
    remaining = iter(pictures)
    while batch := tuple(islice(remaining, BATCH)):
        yield batch
