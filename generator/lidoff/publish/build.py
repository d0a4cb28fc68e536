"""Build the site from Python, the same way as ``mkdocs build`` and ``mkdocs serve`` do."""

import errno
import logging
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from mkdocs.commands.build import build
from mkdocs.config import load_config
from mkdocs.exceptions import MkDocsException

from lidoff.crew.here import HERE, Crew
from lidoff.finding import Finding, has_error
from lidoff.publish.old_addresses import Published
from lidoff.publish.pictures import PictureProgress
from lidoff.publish.plugin import LidoffPlugin
from lidoff.publish.shell import Frames
from lidoff.publish.source import Source
from lidoff.settings import WORKSHOP, Settings

DISK_FAULTS = {errno.EACCES, errno.EPERM, errno.EROFS, errno.ENOSPC, errno.EDQUOT, errno.EFBIG}


@dataclass(frozen=True, slots=True)
class BuildResult:
    """What came of a build. ``site`` is the folder asked for; if the build failed, it still holds the last good site.

    ``messages`` are the warnings and errors of the site builder, the reason for a stop last. ``frames`` are there
    whenever mkdocs has drawn them; the preview sets pages into them. ``gone`` are addresses that lost their page now.
    """

    is_good: bool
    site: Path
    findings: tuple[Finding, ...]
    messages: tuple[str, ...]
    pages: int
    seconds: float
    frames: Frames | None
    gone: tuple[str, ...] = ()

    @property
    def is_records_fault(self) -> bool:
        """Whether errors in the records stopped the build, rather than anything else."""
        return not self.is_good and has_error(self.findings)


def build_site(
    settings: Settings,
    source: Source,
    out: Path | None = None,
    strict: bool = False,
    progress: Callable[[int], None] = lambda written: None,
    picture_progress: PictureProgress = lambda done, total: None,
    previous: Published = Published(),
    crew: Crew = HERE,
    tell: Callable[[str], None] = lambda text: None,
) -> BuildResult:
    """Check, build and publish. Without ``out`` the site goes to ``.lidoff/site`` beside mkdocs.yml.

    ``progress`` is called with the number of pages and bundles after each, ``picture_progress`` with the number of
    photographs that were made ready and how many there are to make. ``previous`` are the addresses of the last site.
    ``crew`` makes the pictures; ``tell`` is told where kept ones could not be read or written.
    """
    site = out or settings.base / WORKSHOP / "site"
    return _run(settings, source, site, "build", strict, progress, picture_progress, previous, crew, tell)


def build_preview(settings: Settings, source: Source, folder: Path) -> BuildResult:
    """Draw the frames, and write into ``folder`` the pages written by hand and the files of the source; publish nothing.

    All other pages are made when they are looked at, so that the source need not have them.
    """
    return _run(settings, source, folder, "serve", False, lambda written: None, None)


def _run(
    settings: Settings,
    source: Source,
    site: Path,
    command: str,
    strict: bool,
    progress: Callable[[int], None],
    picture_progress: PictureProgress | None,
    previous: Published = Published(),
    crew: Crew = HERE,
    tell: Callable[[str], None] = lambda text: None,
) -> BuildResult:
    started, plugin, is_good = time.monotonic(), None, False
    with _messages() as messages:
        try:
            config = load_config(str(settings.config_path), site_dir=str(site.absolute()), strict=strict or None)
            plugin = _plugin(config.plugins)
            plugin.source_of, plugin.progress, plugin.with_notice = (lambda *_: source), progress, False
            plugin.previous, plugin.crew, plugin.tell = previous, crew, tell
            plugin.with_pictures = picture_progress is not None
            plugin.frames_only = command == "serve"
            plugin.picture_progress = picture_progress or plugin.picture_progress
            config.plugins.on_startup(command=command, dirty=False)
            try:
                build(config)
            finally:
                config.plugins.on_shutdown()
            is_good = True
        except MkDocsException as fault:
            messages.append(fault.format_message())
        except OSError as fault:
            if fault.errno not in DISK_FAULTS:
                raise
            messages.append(_told(fault))
    session = plugin.session if plugin else None
    return BuildResult(
        is_good=is_good,
        site=site,
        findings=source.findings,
        messages=tuple(messages),
        pages=session.page_count if session else 0,
        gone=tuple(sorted(session.published.gone - previous.gone)) if session else (),
        seconds=time.monotonic() - started,
        frames=session.frames if session else None,
    )


def _told(fault: OSError) -> str:
    """What a disk would not do; the writing of a file that is open already tells no name."""
    return (
        f"found     {' to '.join(str(path) for path in (fault.filename, fault.filename2) if path) or 'a file of the site'}"
        f": {fault.strerror}\n"
        "expected  a disk with room, and folders that this user may write to\n"
        "fix       make room or change the rights, then build again"
    )


def _plugin(plugins: dict) -> LidoffPlugin:
    found = [plugin for plugin in plugins.values() if isinstance(plugin, LidoffPlugin)]
    if len(found) != 1:
        raise MkDocsException(
            f"found     the plugin lidoff {len(found)} times in mkdocs.yml\nexpected  once\nfix       plugins: [lidoff]"
        )
    return found[0]


class _Collector(logging.Handler):
    def __init__(self, messages: list[str]) -> None:
        super().__init__(logging.WARNING)
        self._messages = messages

    def emit(self, record: logging.LogRecord) -> None:
        self._messages.append(record.getMessage())


@contextmanager
def _messages() -> Iterator[list[str]]:
    """Collect mkdocs' warnings and errors instead of printing them: what people see is for the command line to say."""
    messages: list[str] = []
    logger, collector = logging.getLogger("mkdocs"), _Collector(messages)
    was_propagating, was_level = logger.propagate, logger.level
    logger.addHandler(collector)
    logger.propagate = False
    logger.setLevel(logging.INFO)
    try:
        yield messages
    finally:
        logger.removeHandler(collector)
        logger.propagate = was_propagating
        logger.setLevel(was_level)
