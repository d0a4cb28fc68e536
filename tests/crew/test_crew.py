"""Orders given to processes of this machine and to executors that fail: every order is done once, wherever."""

import math
import operator
import os
import signal
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import BrokenExecutor, CancelledError, Future, ThreadPoolExecutor
from pathlib import Path

import pytest

from lidoff.crew import here
from lidoff.crew.handing import Lost, handed_out
from lidoff.crew.here import HERE
from lidoff.crew.program import differences, program


class Fickle(ThreadPoolExecutor):
    """Loses each order whose number is listed, in the way that is given, and takes no more than so many."""

    def __init__(self, lost: dict[int, Exception], most: int = 1000) -> None:
        super().__init__(2)
        self.lost, self.most, self.taken, self.open, self.most_open = lost, most, 0, 0, 0

    def submit(self, work: Callable, order: int) -> Future:
        if self.taken >= self.most:
            raise BrokenExecutor("no more")
        self.taken += 1
        fault = self.lost.get(order)
        return super().submit(self._fail, fault) if fault else super().submit(work, order)

    @staticmethod
    def _fail(fault: Exception) -> None:
        raise fault


def outcome(handing: Iterator) -> tuple[list, list]:
    """What was yielded and what was left."""
    found = []
    while True:
        try:
            found.append(next(handing))
        except StopIteration as ended:
            return found, ended.value


def test_what_is_lost_on_the_way_is_left_over_and_the_rest_goes_on() -> None:
    lost = {3: ConnectionError("the worker died"), 5: CancelledError(), 6: TimeoutError("of the work itself")}
    with Fickle(lost) as executor:
        found, left = outcome(handed_out(executor, operator.neg, iter(range(10)), lambda: 4))
    assert found == [(order, -order) for order in (0, 1, 2, 4, 7, 8, 9)]
    assert [(order, type(reason)) for order, reason in left] == [(order, type(lost[order])) for order in (3, 5, 6)]


def test_an_executor_that_breaks_leaves_the_orders_that_it_never_saw() -> None:
    orders = iter(range(10))
    with Fickle({}, most=4) as executor:
        found, left = outcome(handed_out(executor, operator.neg, orders, lambda: 3))
    assert [order for order, _ in found] == [0, 1, 2, 3]
    assert [order for order, _ in left] == [4] and list(orders) == [5, 6, 7, 8, 9]


def test_orders_are_taken_up_only_as_they_are_needed() -> None:
    drawn: list[int] = []
    orders = (drawn.append(number) or number for number in range(100))
    with Fickle({}) as executor:
        handing = handed_out(executor, operator.neg, orders, lambda: 5)
        assert next(handing) == (0, 0) and len(drawn) == 5
        handing.close()


def test_nobody_left_who_could_answer_ends_the_waiting(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("lidoff.crew.handing.PATIENCE_S", 0.01)
    never, looks = threading.Event(), []

    def look() -> None:
        looks.append(1)
        if len(looks) == 3:
            raise Lost("the scheduler was lost")

    with Fickle({}) as executor:
        found, left = outcome(handed_out(executor, lambda order: never.wait(60), iter("abc"), lambda: 2, look))
        never.set()
    assert found == [] and len(looks) == 3
    assert [(order, str(reason)) for order, reason in left] == [(order, "the scheduler was lost") for order in "ab"]


@pytest.mark.parametrize("method", ["fork", pytest.param("spawn", marks=pytest.mark.long)])
def test_processes_give_what_one_gives(method: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(here, "processors", lambda: 2)
    monkeypatch.setattr(here, "_start_method", lambda: method)
    assert list(HERE.results(math.sqrt, range(20), 20)) == [(order, math.sqrt(order)) for order in range(20)]


def test_an_error_of_the_work_is_told_and_not_swallowed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(here, "processors", lambda: 2)
    with pytest.raises(ValueError, match="math domain error"):
        list(HERE.results(math.sqrt, [4, -1, 9], 3))


def dying(order: int) -> int:
    """Ends its process at the third order, but not the process of the test."""
    if order == 3 and os.getppid() == PARENT:
        os.kill(os.getpid(), signal.SIGKILL)
    return order + 1


PARENT = os.getpid()


def test_a_process_that_is_killed_loses_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(here, "processors", lambda: 2)
    monkeypatch.setattr(here, "_start_method", lambda: "fork")
    assert sorted(HERE.results(dying, iter(range(12)), 12)) == [(order, order + 1) for order in range(12)]


def test_the_difference_of_two_programs_is_named_on_both_sides() -> None:
    own = dict(program())
    assert differences(own, own) == ("", "") and "pillow" in own and "Lidoff's sources" in own
    other = own | {"pillow": "1.0"}
    del other["numpy"]
    found, expected = differences(other, own)
    assert found == "pillow 1.0, numpy unknown" and expected == f"pillow {own['pillow']}, numpy {own['numpy']}"


@pytest.mark.long
def test_neither_dask_nor_fsspec_is_loaded_without_an_address(knowledge_base: Path) -> None:
    (knowledge_base / "docs").mkdir()
    with open(knowledge_base / "mkdocs.yml", "a", encoding="utf-8") as config:
        config.write("theme: {name: material, font: false}\n")
    code = (
        "import sys; from pathlib import Path\n"
        "from lidoff.commands.site import build; from lidoff.settings import read_settings\n"
        "assert build(read_settings(Path('mkdocs.yml')), None, False) == 0\n"
        "print(sorted({'dask', 'distributed', 'fsspec'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=knowledge_base, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines()[-1] == "[]"
    assert list((knowledge_base / ".lidoff" / "site" / "pictures").rglob("*.webp"))
