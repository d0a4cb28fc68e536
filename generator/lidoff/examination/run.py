"""Examine many record files: what is kept is taken as it is, the rest is made anew, on all processors if it is much."""

import gc
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace

from lidoff.cache.store import Store
from lidoff.crew.here import HERE, Crew
from lidoff.examination.desk import Desk
from lidoff.examination.examine import examine_for_others, examine_in_full
from lidoff.examination.examined import Examined, Kept, Outline, packed, unpacked
from lidoff.examination.keys import Job, record_key
from lidoff.examination.parcel import NOTHING, Parcel, laid_out, packed_up
from lidoff.record.collection import RecordFile
from lidoff.record.marks import Marks
from lidoff.record.other_protocols import OtherProtocols
from lidoff.settings import Settings

Progress = Callable[[int, int], None]
WORTH_PROCESSES = 60
"""Fewer records are examined sooner than further processes begin."""
CHUNK = 16


@dataclass(frozen=True, slots=True)
class Order:
    """Some of the files to be examined, each with its number, and all that their examination takes.

    ``parcel`` holds the files for a crew that does not see them; None where they are read from the disk.
    """

    numbers: tuple[int, ...]
    jobs: tuple[Job, ...]
    settings: Settings
    protocols: OtherProtocols
    store: Store | None
    parcel: Parcel | None = None


def examined_files(
    jobs: Sequence[Job], desk: Desk, whole: bool, progress: Progress | None, crew: Crew = HERE
) -> tuple[Examined, ...]:
    """Every file in its order; without ``whole`` nothing is held that only pages need."""
    found: dict[int, Examined] = {}
    missing: list[int] = []
    for number, job in enumerate(jobs):
        kept = _kept(job, desk)
        if kept is None:
            missing.append(number)
        else:
            found[number] = _examined(job, kept if whole else _slim(kept), desk)
    _tell(progress, len(found), jobs)
    for number, content in _made(jobs, missing, desk, crew):
        # what a worker elsewhere sent and nobody can read is made here
        kept = unpacked(content) or unpacked(_worked(jobs[number], desk))
        found[number] = _examined(jobs[number], kept if whole else _slim(kept), desk)
        _tell(progress, len(found), jobs)
    if missing and desk.store and all(job.is_in_full for job in jobs):
        desk.store.prune([name for one in found.values() for name in (one.key, *one.kept.beside)])
    return tuple(found[number] for number in range(len(jobs)))


def examined_file(file: RecordFile, desk: Desk) -> Examined:
    """One file in full, as it is kept or made anew."""
    job = Job(file, record_key(file, desk), is_in_full=True)
    kept = _kept(job, desk)
    return _examined(job, unpacked(_worked(job, desk)) if kept is None else kept, desk)


def kept_file(file: RecordFile, key: str, desk: Desk) -> Examined | None:
    """One file as it was kept under a key, for those who know that it is the same; None where nothing is kept."""
    job = Job(file, key, is_in_full=True)
    kept = _kept(job, desk)
    return None if kept is None else _examined(job, kept, desk)


def _tell(progress: Progress | None, done: int, jobs: Sequence[Job]) -> None:
    if progress is not None:
        progress(done, len(jobs))


def _kept(job: Job, desk: Desk) -> Kept | None:
    """What is kept of a file; a result in full serves every purpose."""
    for name in dict.fromkeys((job.key, job.name)):
        content = desk.get(name)
        kept = None if content is None else unpacked(content)
        if kept is not None:
            return kept
    return None


def _examined(job: Job, kept: Kept, desk: Desk) -> Examined:
    outline = Outline(job.file.relative, kept.status, Marks(job.file.relative, job.file.path, kept.spots))
    return Examined(outline, job.file.slug, kept, desk.tiers_w, job.key)


def _slim(kept: Kept) -> Kept:
    return replace(kept, figures=b"", logs=b"", rows=b"")


def _made(jobs: Sequence[Job], missing: Sequence[int], desk: Desk, crew: Crew) -> Iterator[tuple[int, bytes]]:
    """The missing results, packed, in any order; by this process alone where they are few."""
    unsent = list(missing)
    if len(missing) >= WORTH_PROCESSES:
        unsent = []
        orders = _parcels(jobs, missing, desk, unsent) if crew.is_elsewhere else _chunks(jobs, missing, desk)
        for order, made in crew.results(_work, orders, len(missing)):
            if order.parcel is not None:  # made where our store is not: kept now
                for number, content in zip(order.numbers, made, strict=True):
                    _keep(jobs[number], content, desk)
            yield from zip(order.numbers, made, strict=True)
    for number in unsent:
        with without_collector():
            yield number, _worked(jobs[number], desk)


def _chunks(jobs: Sequence[Job], missing: Sequence[int], desk: Desk) -> Iterator[Order]:
    for start in range(0, len(missing), CHUNK):
        numbers = missing[start : start + CHUNK]
        some = tuple(jobs[number] for number in numbers)
        yield Order(tuple(numbers), some, desk.settings, desk.protocols, desk.store)


def _parcels(jobs: Sequence[Job], missing: Sequence[int], desk: Desk, unsent: list[int]) -> Iterator[Order]:
    """Orders with their files; ``unsent`` fills up with what can't be sent."""
    parcel, numbers = NOTHING, []
    for number in missing:
        more = packed_up(jobs[number])
        if more is None:
            unsent.append(number)
        else:
            parcel, numbers = parcel + more, [*numbers, number]
        if numbers and (parcel.is_full or len(numbers) == CHUNK or number == missing[-1]):
            some = tuple(jobs[one] for one in numbers)
            yield Order(tuple(numbers), some, desk.settings, desk.protocols, None, parcel)
            parcel, numbers = NOTHING, []


def _work(order: Order) -> list[bytes]:
    """On the crew's side: examine some files, and keep the results where the store is.

    They are sent as they are kept, which takes a fifth of what objects take to pack and unpack.
    """
    if order.parcel is None:
        desk = Desk(order.settings, order.protocols, order.store)
        with without_collector():
            return [_worked(job, desk) for job in order.jobs]
    with laid_out(order.parcel, order.jobs, order.settings) as (jobs, settings):
        desk = Desk(settings, order.protocols)
        # the keys of what lies beside a record hold times, which are right on the other machine alone
        return [packed(replace(_made_anew(job, desk), beside=())) for job in jobs]


def _worked(job: Job, desk: Desk) -> bytes:
    content = packed(_made_anew(job, desk))
    _keep(job, content, desk)
    return content


def _made_anew(job: Job, desk: Desk) -> Kept:
    return (examine_in_full if job.is_in_full else examine_for_others)(job.file, desk)[1]


def _keep(job: Job, content: bytes, desk: Desk) -> None:
    # what was edited while it was being read is examined again by the next run
    if desk.store and job.key and record_key(job.file, desk) == job.key:
        desk.put(job.name, content)


@contextmanager
def without_collector() -> Iterator[None]:
    """Spare the search for cycles of dead objects meanwhile: a record has many objects and no cycle."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
