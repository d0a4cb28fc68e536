"""Work shared out among processes: the same results, faults that arrive, and nobody left behind."""

import errno
import multiprocessing
import os
import signal
import subprocess
import sys
import time
from functools import partial
from pathlib import Path

import pytest

from lidoff.publish import workers
from lidoff.publish.shell import ShellError
from lidoff.publish.workers import FEW, apart, shared_out

forks = pytest.mark.skipif(sys.platform != "linux", reason="only Linux forks without harm")
MANY = range(FEW * 3)

SLOW = """
import os, sys, time
from lidoff.publish import workers
workers.processors = lambda: 3
def work(item):
    os.write(1, f"{os.getpid()}\\n".encode())
    time.sleep(0.05)
for _ in workers.shared_out(range(2000), work):
    pass
"""


@pytest.fixture(autouse=True)
def three_processors(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(workers, "processors", lambda: 3)


@pytest.mark.parametrize("count", [0, 1, FEW - 1, FEW, FEW * 3 + 1])
def test_every_item_gives_one_result(count: int) -> None:
    assert sorted(shared_out(range(count), lambda item: item * item)) == [item * item for item in range(count)]


@forks
def test_many_items_are_worked_on_by_several_processes() -> None:
    found = set(shared_out(MANY, lambda item: os.getpid()))
    assert len(found) == 3 and os.getpid() in found
    assert set(shared_out(range(FEW - 1), lambda item: os.getpid())) == {os.getpid()}


@forks
def test_processes_begin_anew_after_a_round(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(workers, "ROUND", FEW)
    found = list(shared_out(MANY, lambda item: (item, os.getpid())))
    assert sorted(item for item, _ in found) == list(MANY) and len({process for _, process in found}) == 1 + 3 * 2


@pytest.mark.parametrize("items", [range(3), MANY])
def test_fault_of_a_page_arrives_as_it_is(items: range) -> None:
    def work(item: int) -> int:
        if item == 2:
            raise ShellError("found     two pages")
        return item

    with pytest.raises(ShellError, match="two pages"):
        list(shared_out(items, work))


@pytest.mark.parametrize("items", [range(3), MANY])
def test_fault_of_the_disk_arrives_as_it_is(items: range) -> None:
    def work(item: int) -> int:
        if item == 2:
            raise OSError(errno.ENOSPC, "No space left on device", "/site/x")
        return item

    with pytest.raises(OSError, match="No space left") as found:
        list(shared_out(items, work))
    assert (found.value.errno, found.value.filename) == (errno.ENOSPC, "/site/x")


@pytest.mark.parametrize("count", [0, 1, 7])
@pytest.mark.parametrize("system", ["linux", "darwin"])
def test_every_work_that_is_done_apart_gives_one_result(
    count: int, system: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(workers.sys, "platform", system)
    with apart([partial(pow, number, 2) for number in range(count)]) as results:
        assert list(results) == [number**2 for number in range(count)]


@forks
def test_each_work_has_a_process_of_its_own_after_the_other_and_the_first_begins_at_once(tmp_path: Path) -> None:
    def work(number: int) -> tuple[int, list[str]]:
        (tmp_path / str(number)).touch()
        time.sleep(0.02)
        running = [path.name for path in tmp_path.iterdir()]
        if number:
            (tmp_path / str(number)).unlink()
        return os.getpid(), sorted(running)

    with apart([partial(work, number) for number in range(4)]) as results:
        ends = time.monotonic() + 20
        while not (tmp_path / "0").exists() and time.monotonic() < ends:
            time.sleep(0.01)
        assert not (tmp_path / "1").exists() and (tmp_path / "0").exists()
        found = list(results)
    processes = {process for process, _ in found}
    assert len(processes) == 4 and os.getpid() not in processes and not any(map(is_alive, processes))
    assert [running for _, running in found] == [["0"], ["0", "1"], ["0", "2"], ["0", "3"]]


@forks
def test_what_is_done_apart_ends_with_whoever_wanted_it() -> None:
    with pytest.raises(ZeroDivisionError), apart([partial(time.sleep, 30), partial(time.sleep, 30)]):
        raise ZeroDivisionError
    assert multiprocessing.active_children() == []


@forks
@pytest.mark.parametrize(
    ("fault", "raised"),
    [
        (ShellError("found     two pages"), ShellError),
        (OSError(errno.ENOSPC, "No space left on device"), OSError),
        (ZeroDivisionError("by 0"), RuntimeError),
    ],
)
def test_a_fault_of_what_is_done_apart_arrives_and_nobody_is_left(fault: Exception, raised: type[Exception]) -> None:
    def fail() -> None:
        raise fault

    with pytest.raises(raised, match=str(fault.args[-1])), apart([int, fail, partial(time.sleep, 30)]) as results:
        assert next(results) == 0
        next(results)
    assert multiprocessing.active_children() == []


@forks
def test_fault_of_ours_names_its_place() -> None:
    with pytest.raises(RuntimeError, match="ZeroDivisionError"):
        list(shared_out(MANY, lambda item: 1 // (item - 5)))


@forks
def test_process_that_ends_early_is_noticed() -> None:
    with pytest.raises(RuntimeError, match="ended with code 7"):
        list(shared_out(MANY, lambda item: os._exit(7) if item == 100 else item))


@forks
def test_nobody_is_left_when_the_results_are_no_longer_wanted() -> None:
    results = shared_out(MANY, lambda item: os.getpid())
    one = next(process for process in results if process != os.getpid())
    results.close()
    assert not is_alive(one)


@forks
def test_nobody_goes_on_when_the_build_is_killed() -> None:
    parent = subprocess.Popen([sys.executable, "-c", SLOW], stdout=subprocess.PIPE, text=True)
    children = {int(parent.stdout.readline()) for _ in range(30)}
    parent.send_signal(signal.SIGKILL)
    parent.wait()
    ends = time.monotonic() + 20
    while any(map(is_alive, children)) and time.monotonic() < ends:
        time.sleep(0.05)
    parent.stdout.close()
    assert len(children) == 3 and not any(map(is_alive, children))


def is_alive(process: int) -> bool:
    """Whether a process is there and has not ended."""
    try:
        return Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0] not in "ZX"
    except OSError:
        return False
