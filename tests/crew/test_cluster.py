"""A real scheduler and worker processes on this machine: workers that die, are of another version, or all go away."""

import ctypes
import os
import shutil
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path

import pytest
from click.testing import CliRunner
from PIL import Image

from lidoff.commands import site
from lidoff.crew import cluster as cluster_module
from lidoff.crew import handing, team
from lidoff.crew.cluster import Cluster, NoCrew
from lidoff.crew.here import HERE, Crew
from lidoff.examination import run
from lidoff.pipeline import examine_all
from lidoff.publish.picture_cache import PictureCache
from lidoff.publish.pictures import PictureMaker
from lidoff.settings import read_settings
from lidoff.website import PictureFile, SiteFile

pytestmark = [pytest.mark.long, pytest.mark.xdist_group("cluster")]
PACKAGE = Path(site.__file__).parents[1]
START_S = 60


def end_with_the_test() -> None:
    """Let the system kill a process as soon as that of the test is gone, however it ended (PR_SET_PDEATHSIG)."""
    if sys.platform == "linux":
        ctypes.CDLL(None).prctl(1, signal.SIGKILL)


@dataclass
class Farm:
    """Processes of Dask, each in a session of its own so that it can be killed for sure; they end by themselves too."""

    folder: Path
    running: list[subprocess.Popen] = field(default_factory=list)
    address: str = ""

    def start(self, program: str, *arguments: str, package: Path | None = None) -> subprocess.Popen:
        environment = os.environ | ({"PYTHONPATH": str(package)} if package else {})
        log = self.folder / f"{len(self.running)}.log"
        with open(log, "w", encoding="utf-8") as output:
            command = [sys.executable, "-m", f"distributed.cli.dask_{program}", "--no-dashboard", *arguments]
            process = subprocess.Popen(
                command, stdout=output, stderr=output, env=environment, cwd=self.folder, start_new_session=True,
                preexec_fn=end_with_the_test,
            )  # fmt: skip
        self.running.append(process)
        ready = "Registered to" if program == "worker" else "Scheduler at"
        end = time.monotonic() + START_S
        while ready not in log.read_text(encoding="utf-8"):
            assert process.poll() is None and time.monotonic() < end, log.read_text(encoding="utf-8")
            time.sleep(0.05)
        return process

    def scheduler(self) -> subprocess.Popen:
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            port = free.getsockname()[1]
        self.address = f"tcp://127.0.0.1:{port}"
        return self.start("scheduler", "--host", "127.0.0.1", "--port", str(port), "--idle-timeout", "300")

    def worker(self, package: Path | None = None) -> subprocess.Popen:
        options = ("--nthreads", "1", "--no-nanny", "--death-timeout", "60", "--lifetime", "300")
        return self.start("worker", self.address, *options, package=package)

    def end(self) -> None:
        for process in self.running:
            if process.poll() is None:
                os.killpg(process.pid, signal.SIGKILL)
        for process in self.running:
            process.wait(30)


@pytest.fixture
def farm(tmp_path: Path) -> Iterator[Farm]:
    (tmp_path / "farm").mkdir()
    farm = Farm(tmp_path / "farm")
    try:
        farm.scheduler()
        yield farm
    finally:
        farm.end()


@pytest.fixture(scope="module")
def pictures(tmp_path_factory: pytest.TempPathFactory) -> list[PictureFile]:
    """Variants of many masters, of which one is damaged."""
    folder, found = tmp_path_factory.mktemp("masters"), []
    for number in range(16):
        path = folder / f"{number}.jpg"
        Image.radial_gradient("L").resize((900 + number, 700)).convert("RGB").save(path)
        if number == 7:
            path.write_bytes(path.read_bytes()[:3000])
        digest = sha256(path.read_bytes()).hexdigest()
        for ending, size in (("webp", (800, 600)), ("webp", (400, 300)), ("jpg", (300, 200))):
            found.append(PictureFile(f"pictures/{number}-{size[0]}.{ending}", str(path), digest, size))
    return found


Written = tuple[dict[str, bytes], tuple[str, ...]]


def written(folder: Path, pictures: list[PictureFile], **options: object) -> Written:
    """What a build writes, by path, and its faults."""
    files: list[SiteFile] = []
    faults = PictureMaker(PictureCache(folder), is_forgiving=True, **options).write(pictures, files.append)
    assert len({file.path for file in files}) == len(files)
    return {file.path: file.content for file in files}, faults


@pytest.fixture(scope="module")
def alone(tmp_path_factory: pytest.TempPathFactory, pictures: list[PictureFile]) -> Written:
    """What this machine makes of them."""
    found = written(tmp_path_factory.mktemp("alone"), pictures)
    assert len(found[0]) == 45 and len(found[1]) == 1 and "7.jpg: this picture can't be used" in found[1][0]
    return found


def after(number: int, act: Callable[[], None]) -> Callable[[int, int], None]:
    """Acts once, as soon as so many masters are done."""
    return lambda done, total: act() if done == number else None


def examined(base: Path, crew: Crew) -> list:
    """What is found in the records of a base when nothing was kept."""
    shutil.rmtree(base / ".lidoff", ignore_errors=True)
    found = examine_all(read_settings(base / "mkdocs.yml"), crew=crew)
    kept = [(one.slug, one.kept.figures, one.kept.logs, one.kept.pictures) for one in found.examined]
    assert any(logs for _, _, logs, _ in kept) and any(pictures for _, _, _, pictures in kept)
    return [found.findings, kept]


def test_a_worker_that_is_killed_in_mid_run_loses_nothing(
    farm: Farm,
    pictures: list[PictureFile],
    alone: Written,
    knowledge_base: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(run, "WORTH_PROCESSES", 1)
    first, _ = farm.worker(), farm.worker()
    told: list[str] = []
    crew = Cluster(farm.address, told.append)
    crew.require()
    here, there = (examined(knowledge_base, one) for one in (HERE, crew))
    assert here == there
    kill = after(3, lambda: os.kill(first.pid, signal.SIGKILL))
    assert written(tmp_path / "cache", pictures, crew=crew, progress=kill, tell=told.append) == alone
    assert first.wait(30) == -signal.SIGKILL
    assert told == [], "the scheduler gives its orders to the other one"


def test_a_worker_of_another_version_is_named_and_gets_nothing_to_do(
    farm: Farm, pictures: list[PictureFile], alone: Written, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(handing, "PATIENCE_S", 1.0)
    monkeypatch.setattr(team, "LOOK_EVERY_S", 0.5)
    stale = tmp_path / "stale" / "generator"
    shutil.copytree(PACKAGE, stale / "lidoff", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copytree(PACKAGE.parents[1] / "schema", tmp_path / "stale" / "schema")
    shutil.copy(PACKAGE.parents[1] / "pyproject.toml", tmp_path / "stale")
    encoder = stale / "lidoff" / "publish" / "picture_encoder.py"
    encoder.write_text(encoder.read_text(encoding="utf-8").replace('"quality": 80', '"quality": 81'), encoding="utf-8")
    farm.worker(package=stale)
    told: list[str] = []
    crew = Cluster(farm.address, told.append)
    with pytest.raises(NoCrew, match="no worker of use at the scheduler .*, where there are 1\n"):
        crew.require()
    assert "is given nothing to do.\nfound     Lidoff's sources " in told[0] and "\nfix       install" in told[0]
    good = farm.worker()
    told.clear()
    kill = after(3, lambda: os.kill(good.pid, signal.SIGKILL))
    assert written(tmp_path / "cache", pictures, crew=crew, progress=kill) == alone
    assert "is given nothing to do" in told[0], "told again: it is another run"
    assert told[-1].startswith("The workers did not bring back everything (")


@pytest.mark.parametrize("sign", [signal.SIGKILL, signal.SIGSTOP], ids=["killed", "frozen"])
def test_a_scheduler_that_is_lost_in_mid_run_leaves_the_rest_to_this_machine(
    farm: Farm, sign: int, pictures: list[PictureFile], alone: Written, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for module in (team, cluster_module):
        monkeypatch.setattr(module, "ANSWER_S", 2.0)
    monkeypatch.setattr(handing, "PATIENCE_S", 1.0)
    farm.worker()
    told: list[str] = []
    crew = Cluster(farm.address, told.append)
    lose = after(2, lambda: os.kill(farm.running[0].pid, sign))
    assert written(tmp_path / "cache", pictures, crew=crew, progress=lose) == alone
    assert len(told) == 1 and told[0].startswith("The workers did not bring back everything (")
    told.clear()
    assert written(tmp_path / "other", pictures[:3], crew=crew)[0].items() <= alone[0].items()
    assert "no answer from a scheduler" in told[0] and told[0].endswith("This machine does the work alone.")


def test_a_scheduler_that_does_not_answer_stops_the_command_before_anything(
    knowledge_base: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cluster_module, "ANSWER_S", 1.0)
    with socket.create_server(("127.0.0.1", 0)) as silent:
        address = f"tcp://127.0.0.1:{silent.getsockname()[1]}"
        arguments = ["--config", str(knowledge_base / "mkdocs.yml"), "--scheduler", address]
        result = CliRunner().invoke(site.command, arguments)
    assert result.exit_code == 2
    assert (
        f"found     no answer from a scheduler at {address}" in result.output
        and "\nfix       start it" in result.output
    )
    assert not (knowledge_base / ".lidoff" / "site").exists()
