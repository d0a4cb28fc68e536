"""``lidoff site``: check, then build the whole website; with ``--serve`` show it on this machine, live."""

from __future__ import annotations

import gc
import sys
import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING

import click

from lidoff.settings import WORKSHOP, Settings, SettingsError, find_config, read_settings

if TYPE_CHECKING:
    from lidoff.crew.here import Crew
    from lidoff.pipeline import Prepared
    from lidoff.publish.old_addresses import Published
    from lidoff.publish.picture_cache import Cache


@click.command()
@click.option("--serve", is_flag=True, help="Show the site on this machine and follow every edit.")
@click.option("--out", type=click.Path(file_okay=False, path_type=Path), help="Write the site to this folder.")
@click.option(
    "--port", type=click.IntRange(1024, 65535), help="Port of the preview; else the next free one from preview_port."
)
@click.option(
    "--config",
    type=click.Path(dir_okay=False, path_type=Path),
    help="The mkdocs.yml to use; else the nearest one upward.",
)
@click.option(
    "--previous",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    help="The site that is published now: no address of it is lost.",
)
@click.option(
    "--scheduler",
    metavar="ADDRESS",
    help="Let the workers of a Dask scheduler, such as tcp://10.0.0.5:8786, examine records and make pictures.",
)
@click.option("--strict", is_flag=True, help="Fail on warnings of the site builder too.")
def command(
    serve: bool,
    out: Path | None,
    port: int | None,
    config: Path | None,
    previous: Path | None,
    scheduler: str | None,
    strict: bool,
) -> None:
    """Check all records and build the website from them."""
    if serve and out is not None:
        raise click.UsageError("--serve shows the site from a folder of its own; leave --out away")
    if serve and scheduler is not None:
        raise click.UsageError("--serve makes but the pictures that are looked at; leave --scheduler away")
    try:
        settings = read_settings(config or find_config(Path.cwd()))
    except SettingsError as fault:
        raise click.UsageError(str(fault)) from fault
    if out is not None:
        _refuse_foreign(out, settings)
    if serve:
        serve_site(settings, port)
    else:
        sys.exit(build(settings, out, strict, previous, scheduler))


def _refuse_foreign(out: Path, settings: Settings) -> None:
    """A folder that holds anything but a site of ours is a slip of the user, not a fault of the build."""
    from lidoff.publish.atomic import Refused, check_target

    try:
        check_target(out, settings.base / WORKSHOP)
    except Refused as fault:
        raise click.UsageError(str(fault)) from fault


def build(
    settings: Settings, out: Path | None, strict: bool, previous: Path | None = None, scheduler: str | None = None
) -> int:
    """Build and publish once; the exit code."""
    from lidoff.publish.unchanged import inputs_of, last_build, note_build

    site = out or settings.base / WORKSHOP / "site"
    published = _published(previous)
    listed = previous and published.listed
    inputs, last = last_build(settings, site, lambda: inputs_of(settings, site, strict, listed))
    if last is not None:
        tell_remarks(last.remarks)
        click.echo(f"{last.pages} pages, nothing has changed since they were built: {site}")
        return 0
    # loaded only now: nothing of it is needed where nothing has changed
    from lidoff.publish.build import build_site
    from lidoff.reports.progress import progress_bars

    crew, _ = _crew(scheduler), _cache(settings)
    prepared = _prepared(settings, crew)
    report(prepared.findings)
    with progress_bars({"Writing pages": 100, "Making pictures": 2}) as (pages, pictures):
        result = build_site(
            settings, prepared, out, strict, lambda written: pages(written, None), pictures, published, crew, _tell
        )
    if not result.is_good:
        if not result.is_records_fault:
            click.echo("\n".join(result.messages), err=True)
        click.echo("Nothing was published. The last good site is as it was.", err=True)
        return 1 if result.is_records_fault else 3
    if inputs:
        note_build(settings, inputs, site, result.pages, len(prepared.findings))
    tell_gone(result.gone)
    click.echo(f"{result.pages} pages in {result.seconds:.1f} s: {result.site}")
    return 0


def _prepared(settings: Settings, crew: Crew) -> Prepared:
    """All records, read and checked for one build. They stay to its end: no search for garbage need look at them."""
    from lidoff.examination.run import without_collector
    from lidoff.pipeline import prepare
    from lidoff.reports.progress import progress_bar

    with progress_bar("Checking records") as progress, without_collector():
        prepared = prepare(settings, progress=progress, crew=crew).settled()
        gc.freeze()
    return prepared


def _crew(scheduler: str | None) -> Crew:
    """Who does the long work; a scheduler that does not answer, or has no worker of use, is a slip of the user."""
    from lidoff.crew.here import HERE

    if scheduler is None:
        return HERE
    from lidoff.crew.cluster import Cluster, NoCrew

    cluster = Cluster(scheduler, _tell)
    try:
        cluster.require()
    except NoCrew as fault:
        raise click.UsageError(str(fault)) from fault
    return cluster


def _cache(settings: Settings) -> Cache:
    """Where pictures are kept; a place that can't be used is a slip of the user."""
    from lidoff.cache.shared_place import Unreachable
    from lidoff.publish.picture_cache import picture_cache

    try:
        return picture_cache(settings)
    except Unreachable as fault:
        raise click.UsageError(str(fault)) from fault


def _tell(text: str) -> None:
    click.echo(text, err=True)


def _published(previous: Path | None) -> Published:
    """The addresses of the site that is published now; a folder without them is a slip of the user."""
    from lidoff.publish.old_addresses import Published, UnreadableSite, read_published

    try:
        return read_published(previous) if previous else Published()
    except UnreadableSite as fault:
        raise click.UsageError(str(fault)) from fault


def tell_gone(gone: tuple[str, ...]) -> None:
    """The addresses that lost their page, if there are any; the first of them by name."""
    if gone:
        named = ", ".join(gone[:5]) + (" and others" if len(gone) > 5 else "")
        click.echo(
            f"{len(gone)} addresses that were published have no page any more and say so: {named}. "
            f"Where a product was renamed, put its old path in formerly.",
            err=True,
        )


def report(findings: tuple) -> None:
    """Errors in full and the number of the rest; ``lidoff check`` shows all."""
    from lidoff.reports.text import finding_text

    errors = tuple(finding for finding in findings if finding.severity == "error")
    if errors:
        click.echo("\n\n".join(finding_text(finding) for finding in errors), err=True)
    tell_remarks(len(findings) - len(errors))


def tell_remarks(others: int) -> None:
    """The number of warnings and notes, if there are any."""
    if others:
        click.echo(f"{others} warnings and notes stand on the pages; `lidoff check` lists them.", err=True)


def serve_site(settings: Settings, port: int | None) -> None:
    """Read the records once, then answer requests on this machine until the user ends it."""
    from lidoff.live import LiveCollection, stamps_of
    from lidoff.pipeline import prepare
    from lidoff.publish.build import build_preview
    from lidoff.publish.pictures import PictureMaker
    from lidoff.publish.preview import Preview
    from lidoff.publish.search import Indexing
    from lidoff.publish.server import PortTaken, open_server

    cache, started = _cache(settings), time.monotonic()
    stamps = stamps_of(settings)  # before the records are read: what is edited meanwhile is read again
    prepared = prepare(settings, with_drafts=True)
    report(prepared.findings)
    live = LiveCollection(prepared, stamps)
    gc.freeze()  # the records stay to the end: no search for garbage need look at them
    with tempfile.TemporaryDirectory(prefix="lidoff-preview-") as folder:
        result = build_preview(settings, live.outline, Path(folder) / "site")
        if result.frames is None:
            click.echo("\n".join(result.messages), err=True)
            sys.exit(3)
        folders = (result.site, settings.base / WORKSHOP / "site")
        preview = Preview(folders, result.frames, live, PictureMaker(cache))
        try:
            server = open_server(preview, port or settings.preview_port, is_exact=port is not None)
        except PortTaken as fault:
            raise click.UsageError(str(fault)) from fault
        read = f"{len(prepared.collection.examined)} records read in {time.monotonic() - started:.1f} s"
        click.echo(f"{read}\n\n  {server.url}\n\nEdits show at once. Ctrl-C ends it.")
        indexing = Indexing(live.texts(), result.site, _tell, live.make_ready)
        try:
            server.serve_forever()
        except KeyboardInterrupt:
            click.echo("Ended.")
        finally:
            server.server_close()
            indexing.stop()
