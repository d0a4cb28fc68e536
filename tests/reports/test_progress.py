"""Bars for long work: on a terminal, from an amount on that is worth one; nothing where the stream is piped."""

import io
import sys

import pytest

from lidoff.reports.progress import progress_bar, progress_bars


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def on_a_terminal(monkeypatch: pytest.MonkeyPatch) -> Terminal:
    """Within the test itself: pytest puts its own stream in place after the fixtures."""
    stream = Terminal()
    monkeypatch.setattr(sys, "stderr", stream)
    monkeypatch.setenv("TERM", "xterm")
    return stream


def test_much_work_is_drawn_on_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = on_a_terminal(monkeypatch)
    with progress_bars({"Reading records": 3, "Building pages": 100}) as (reading, building):
        reading(2, 3)
        building(99, 99)
    assert "Reading records" in terminal.getvalue() and "2/3" in terminal.getvalue()
    assert "Building pages" not in terminal.getvalue()


def test_work_of_an_unknown_amount_is_drawn_once_enough_is_done(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = on_a_terminal(monkeypatch)
    with progress_bar("Reading records") as show:
        show(99, None)
        assert "Reading records" not in terminal.getvalue()
        show(100, None)
    assert "Reading records" in terminal.getvalue()


def test_nothing_is_drawn_where_the_stream_is_piped(capfd: pytest.CaptureFixture[str]) -> None:
    with progress_bar("Reading records") as show:
        show(500, 1000)
    assert capfd.readouterr() == ("", "")
