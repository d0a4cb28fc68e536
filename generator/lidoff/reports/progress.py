"""A progress bar for work that takes long enough to wonder, on the terminal's error stream only."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

_FEW = 100


@contextmanager
def progress_bar(title: str) -> Iterator[Callable[[int, int | None], None]]:
    """Give a function that takes how much is done of how much (None where unknown).

    It draws nothing when the error stream is piped or when there is little to do.
    """
    if not sys.stderr.isatty():
        yield lambda done, total: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(title, total=None, visible=False)

        def show(done: int, total: int | None) -> None:
            if (done if total is None else total) >= _FEW:
                bar.update(task, completed=done, total=total, visible=True)

        yield show
