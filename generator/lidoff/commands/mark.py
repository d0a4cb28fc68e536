"""``lidoff mark ENTRY``: draw boxes over the pictures of a record, and measure in them, on a page of this machine."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from lidoff.commands._ending import stop

if TYPE_CHECKING:
    from lidoff.mark.entry import Entry

RECORD_NAME = "record.yaml"
WRONG_RECORD = 1


@click.command()
@click.argument("entry", type=click.Path(exists=True, path_type=Path))
@click.option(
    "--port", type=click.IntRange(0, 65535), default=0, help="Listen on this port; any free one when left out."
)
@click.option("--browser/--no-browser", default=None, help="Open the page; the default at a terminal.")
def command(entry: Path, port: int, browser: bool | None) -> None:
    """Mark the parts in the pictures of the record at ENTRY, its file or its folder.

    Opens a page of this machine alone, at an address that is good for one use. Boxes are drawn with the mouse, a finger
    or the keyboard and given to parts; sizes are taken from a known length or from a card that lies in the picture.
    What is saved goes into the record, and its comments stay. Ends when the page is closed, or with Ctrl-C.
    """
    from lidoff.mark.desk import Desk
    from lidoff.mark.entry import Entry
    from lidoff.mark.server import LOOPBACK, DeskServer

    file = entry / RECORD_NAME if entry.is_dir() else entry
    desk = Desk(Entry(Path.cwd() / file, file.as_posix()))
    _require_pictures(desk.entry)
    try:
        server = DeskServer(desk, port)
    except OSError as error:
        stop(
            f"port {port} of {LOOPBACK}, which can't be listened on: {error.strerror}",
            "a free port",
            "leave --port out",
        )
    with server:
        click.echo(
            f"{server.url}\nThis address is good for one use. The desk ends when its page is closed, or with Ctrl-C."
        )
        if browser or (browser is None and sys.stdout.isatty()):
            click.launch(server.url)
        try:
            server.serve_until_closed()
        except KeyboardInterrupt:
            click.echo()
    saved = f"saved {desk.saves} time{'s' * (desk.saves != 1)} into {file.as_posix()}"
    click.echo(saved if desk.saves else "nothing was saved")


def _require_pictures(entry: "Entry") -> None:
    """Stop with the reason where there is nothing to mark."""
    from lidoff.mark.entry import UnreadableEntry
    from lidoff.reports.text import finding_text

    try:
        reading = entry.read()
    except UnreadableEntry as reason:
        for finding in reason.findings:
            click.echo(finding_text(finding), err=True)
        stop(
            str(reason),
            "a record whose pictures, boards and parts can be read",
            "correct it, then try again",
            WRONG_RECORD,
        )
    if not reading.sections.photos:
        stop(f"no pictures in {entry.path}", "at least one of the list photos", "add one: lidoff photo add")
