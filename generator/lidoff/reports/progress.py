"""A progress bar for work that takes long enough to wonder, on the terminal's error stream only."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.progress import Progress

Show = Callable[[int, int | None], None]
_FEW = 100


@contextmanager
def progress_bar(title: str) -> Iterator[Show]:
    """Give a function that takes how much is done of how much (None where unknown).

    It draws nothing when the error stream is piped or when there is little to do.
    """
    with progress_bars({title: _FEW}) as (show,):
        yield show


@contextmanager
def progress_bars(titles: Mapping[str, int]) -> Iterator[tuple[Show, ...]]:
    """The same for several kinds of work, each with the amount from which on its bar is worth drawing."""
    if not sys.stderr.isatty():
        yield tuple(_show_nothing for _ in titles)
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        yield tuple(_bar(bar, title, few) for title, few in titles.items())


def _bar(bar: Progress, title: str, few: int) -> Show:
    task = bar.add_task(title, total=None, visible=False)

    def show(done: int, total: int | None) -> None:
        if (done if total is None else total) >= few:
            bar.update(task, completed=done, total=total, visible=True)

    return show


def _show_nothing(done: int, total: int | None) -> None:
    """What a piped error stream shows."""
