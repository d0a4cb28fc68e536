"""Records examined where their files can't be seen: what comes back is what an examination in their place gives."""

import os
import pickle
import shutil
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path

import pytest

from lidoff.cache.store import Store
from lidoff.examination import parcel, run
from lidoff.examination.survey import CACHE
from lidoff.pipeline import Collection, examine_all
from lidoff.settings import read_settings

OTHER = "entries/fernhollow/fh-45"


@dataclass(frozen=True)
class Elsewhere:
    """A crew whose machine has no file of ours: they are out of the way while it works."""

    base: Path
    orders: list[run.Order] = field(default_factory=list)
    is_elsewhere: bool = True

    def results(self, work: Callable, orders: Iterable, count: int) -> Iterator[tuple]:
        away = self.base.with_name("away")
        for order in orders:
            self.orders.append(order)
            os.rename(self.base, away)
            try:
                made = pickle.loads(pickle.dumps(work(pickle.loads(pickle.dumps(order)))))
            finally:
                os.rename(away, self.base)
            yield order, made


@pytest.fixture
def base(knowledge_base: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Two records with pictures and logs, in a folder that may be moved away."""
    monkeypatch.setattr(run, "WORTH_PROCESSES", 1)
    base = tmp_path / "moved" / "base"
    shutil.copytree(knowledge_base, base, ignore=shutil.ignore_patterns("moved"))
    shutil.copytree(base / "entries/fernhollow/fh-65", base / OTHER)
    record = base / OTHER / "record.yaml"
    record.write_text(record.read_text(encoding="utf-8").replace("FH-65", "FH-45"), encoding="utf-8")
    (base / OTHER / "photos" / "board-top.jpg").write_bytes(b"\xff\xd8\xff\xe0 broken off")
    (base / OTHER / "photos" / "notes.txt").write_text("beside it")
    return base


def asked(base: Path, **options: object) -> Collection:
    return examine_all(read_settings(base / "mkdocs.yml"), **options)


def told(found: Collection) -> list:
    return [
        (one.slug, one.kept.data, one.kept.figures, one.kept.logs, one.kept.pictures, one.kept.spots)
        for one in found.examined
    ]


def test_what_comes_back_is_what_the_place_itself_gives(base: Path) -> None:
    crew = Elsewhere(base)
    far = asked(base, crew=crew)
    assert [order.numbers for order in crew.orders] == [(0, 1)] and all(order.store is None for order in crew.orders)
    assert sorted(Store(base / CACHE).folder.iterdir()), "kept here, although made elsewhere"
    assert [one.kept for one in asked(base, crew=Elsewhere(base / "never")).examined] == [
        one.kept for one in far.examined
    ]
    shutil.rmtree(base / ".lidoff")
    near = asked(base)
    assert far.findings == near.findings and told(far) == told(near) and far.key == near.key
    assert any("picture" in finding.rule for finding in far.findings)


def test_without_pages_nothing_is_held_that_only_pages_need(base: Path) -> None:
    far = asked(base, crew=Elsewhere(base), whole=False)
    assert all(one.kept.figures == b"" for one in far.examined)
    assert all(one.kept.figures for one in asked(base).examined), "but it was kept for later"


def test_what_is_too_heavy_to_be_sent_is_examined_in_its_place(base: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(parcel, "MOST_BYTES", 1000)
    crew = Elsewhere(base)
    found = asked(base, crew=crew)
    assert crew.orders == []
    shutil.rmtree(base / ".lidoff")
    assert told(found) == told(asked(base))


def test_a_pipe_beside_a_record_is_told_and_never_sent(base: Path) -> None:
    os.mkfifo(base / OTHER / "pipe")
    crew = Elsewhere(base)
    found = asked(base, crew=crew)
    jobs = [job for order in crew.orders for job in order.jobs]
    assert len(jobs) == 2 and not any("pipe" in job.file.companions for job in jobs)
    shutil.rmtree(base / ".lidoff")
    assert told(found) == told(asked(base))
    # it may come to lie there between the look into the folder and the packing
    late = [replace(job, file=replace(job.file, companions=job.file.companions | {"pipe"})) for job in jobs]
    assert [parcel.packed_up(job) is None for job in late if job.file.slug == "fernhollow/fh-45"] == [True]


def test_heavy_records_travel_apart(base: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(parcel, "FULL_BYTES", 10)
    crew = Elsewhere(base)
    asked(base, crew=crew)
    assert [order.numbers for order in crew.orders] == [(0,), (1,)]
