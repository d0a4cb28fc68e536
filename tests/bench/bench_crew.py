"""Measure what pictures cost and what workers bring: ``python tests/bench/bench_crew.py [PICTURES]``, by hand.

Pictures of eight megapixels with the variants of a site are made by one process, by those of this machine, and by one
and two workers of a scheduler that is started here. All make the same bytes, or the run stops. Only ratios of one run
say something, and on two processors a second worker takes time from whoever hands out.
"""

import resource
import subprocess
import sys
import tempfile
import time
from hashlib import sha256
from pathlib import Path

import numpy as np
import psutil
from PIL import Image, ImageFilter

from lidoff.crew.cluster import Cluster
from lidoff.crew.here import HERE, Crew
from lidoff.publish.picture_cache import PictureCache
from lidoff.publish.pictures import PictureMaker, _jobs, _order, make
from lidoff.website import PictureFile

SIZE = (3264, 2448)
PORT = 28786


def masters(folder: Path, count: int) -> list[PictureFile]:
    """The variants of invented pictures: three widths, a JPEG, and six close-ups each."""
    found = []
    for number in range(count):
        noise = np.random.default_rng(number).integers(0, 255, (SIZE[1] // 4, SIZE[0] // 4, 3), np.uint8)
        path = folder / f"{number}.jpg"
        Image.fromarray(noise).resize(SIZE).filter(ImageFilter.GaussianBlur(2)).save(path, quality=88)
        digest, name = sha256(path.read_bytes()).hexdigest(), f"pictures/{number}"
        for width in (480, 1024, 2048):
            found.append(PictureFile(f"{name}-{width}.webp", str(path), digest, (width, width * 3 // 4)))
        found.append(PictureFile(f"{name}.jpg", str(path), digest, (1024, 768)))
        for place in range(6):
            box = (400 * place, 300, 400 * place + 600, 800)
            found.append(PictureFile(f"{name}-{place}.jpg", str(path), digest, (480, 400), box))
    return found


def timed(pictures: list[PictureFile], crew: Crew) -> tuple[float, float, str]:
    """Seconds that pass, seconds of this process, and a digest of all that was made, nothing being kept before."""
    digest = sha256()
    with tempfile.TemporaryDirectory() as folder:
        wall, used = time.perf_counter(), time.process_time()
        files = []
        PictureMaker(PictureCache(Path(folder)), crew=crew).write(pictures, files.append)
        wall, used = time.perf_counter() - wall, time.process_time() - used
    for file in sorted(files, key=lambda file: file.path):
        digest.update(file.path.encode() + file.content)
    return wall, used, digest.hexdigest()


class Alone:
    """One process."""

    is_elsewhere = False

    def results(self, work, orders, count):  # noqa: ANN001, ANN201
        return ((order, work(order)) for order in orders)


def started(program: str, *arguments: str) -> subprocess.Popen:
    """A process of Dask that has told that it is ready."""
    command = [sys.executable, "-m", f"distributed.cli.dask_{program}", "--no-dashboard", *arguments]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    ready = "Registered to" if program == "worker" else "Scheduler at"
    while ready not in process.stdout.readline():
        assert process.poll() is None
    return process


def processor_time(running: list[subprocess.Popen]) -> float:
    """What these processes have used of the processors, which other work on the machine hardly changes."""
    return sum(sum(psutil.Process(one.pid).cpu_times()[:2]) for one in running)


def main(count: int) -> None:
    """Print one line for each crew."""
    with tempfile.TemporaryDirectory() as folder:
        pictures = masters(Path(folder), count)
        jobs = _jobs(pictures)
        started_at = time.process_time()
        made = [make(_order(job)) for job in jobs]
        cost = (time.process_time() - started_at) / count
        sent = sum(Path(job.source).stat().st_size for job in jobs) / count / 1e6
        back = sum(len(content) for one in made for content in one.contents) / count / 1e6
        print(f"{count} pictures: {cost:.2f} s of processor time each, {sent:.1f} MB there, {back:.1f} MB back")
        address = f"tcp://127.0.0.1:{PORT}"
        running = [started("scheduler", "--host", "127.0.0.1", "--port", str(PORT))]
        try:
            rows = [("one process", Alone()), ("this machine", HERE)]
            first = [timed(pictures, crew) for _, crew in rows]
            for number in (1, 2):
                running.append(started("worker", address, "--nthreads", "1", "--no-nanny"))
                rows.append((f"{number} workers", Cluster(address, print)))
                before = processor_time(running)
                first.append(timed(pictures, rows[-1][1]))
                there = (processor_time(running) - before) / count
                print(f"scheduler and {number} workers: {there:.2f} s of processor time each, start included")
        finally:
            for process in reversed(running):
                process.kill()
                process.wait()
        assert len({digest for *_, digest in first}) == 1
        for (name, _), (wall, used, _) in zip(rows, first, strict=True):
            print(
                f"{name:14} {wall:7.1f} s  {first[0][0] / wall:5.2f} times as fast, {used / count * 1e3:6.0f} ms here"
            )
    print(f"peak of this process: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3:.0f} MB")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 24)
