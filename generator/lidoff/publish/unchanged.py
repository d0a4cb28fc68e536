"""Whether the last good site is still what a build would make: then nothing needs to be built at all."""

import hashlib
import json
import multiprocessing
import os
import signal
import sys
from collections.abc import Callable, Collection, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass
from functools import partial
from multiprocessing.connection import Connection
from pathlib import Path

from lidoff.cache.code_version import code_version
from lidoff.examination.survey import survey
from lidoff.record.schema import schema_folder
from lidoff.settings import Settings, read_content

PACKAGE = Path(__file__).parents[1]
NOTE = Path(".lidoff", "cache", "last.json")
OWN_PLUGINS = {"lidoff", "search"}
HIDDEN = (".", "__pycache__")
BUILD_DATE = "SOURCE_DATE_EPOCH"


@dataclass(frozen=True, slots=True)
class LastBuild:
    """What is noted of a good build: digests of what it rests on and of its site, its pages, warnings and notes."""

    inputs: str
    site: str
    pages: int
    remarks: int


def inputs_of(settings: Settings, site: Path, strict: bool, *others: object) -> str:
    """A digest of all that a build rests on, as it is now; empty where a build may rest on what nobody can list.

    ``others`` are further options of the build. Records and logs count by their content; all other files below the folder of mkdocs.yml by their size and times.
    """
    config = settings.config_path.read_bytes()
    if _reaches_out(read_content(settings.config_path), config, settings.base):
        return ""
    records = survey(settings).key
    if not records:
        return ""
    digest = hashlib.sha256(config)
    options = (
        records,
        str(site.absolute()),
        strict,
        os.environ.get(BUILD_DATE),
        code_version(PACKAGE, schema_folder()),
        others,
    )
    digest.update(repr(options).encode("utf-8"))
    left_out = {str(settings.entries_folder), str(site.absolute())}
    for folder in (settings.base, PACKAGE):
        for stamp in _stamps(folder, left_out):
            digest.update(stamp)
    return digest.hexdigest()


def last_build(settings: Settings, site: Path, inputs: Callable[[], str]) -> tuple[str, LastBuild | None]:
    """The digest of all that a build rests on, and the last build if it rests on the same and its site is as it was made.

    The site is looked through beside the records, by a process of its own.
    """
    try:
        noted = LastBuild(**json.loads((settings.base / NOTE).read_bytes()))
    except (OSError, ValueError, TypeError, RecursionError):
        return inputs(), None
    with _digested(site) as made:
        now = inputs()
        return now, noted if now and noted.inputs == now and noted.site == made() else None


@contextmanager
def _digested(site: Path) -> Iterator[Callable[[], str]]:
    """The digest of a site for whoever asks; made meanwhile where a process can be forked without harm."""
    if sys.platform != "linux":
        yield partial(site_digest, site)
        return
    context = multiprocessing.get_context("fork")
    reader, sender = context.Pipe(duplex=False)
    process = context.Process(target=_send_digest, args=(site, sender), daemon=True)
    try:
        process.start()
    except OSError:  # there may be a limit to processes
        reader.close()
        sender.close()
        yield partial(site_digest, site)
        return
    sender.close()
    try:
        yield partial(_received, reader, site)
    finally:
        process.kill()
        process.join()
        reader.close()


def _send_digest(site: Path, sender: Connection) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent alone heeds an interruption
    with suppress(OSError):  # whoever asks then meets it again
        sender.send(site_digest(site))


def _received(reader: Connection, site: Path) -> str:
    try:
        return reader.recv()
    except EOFError:  # it has ended, for whatever reason
        return site_digest(site)


def note_build(settings: Settings, inputs: str, site: Path, pages: int, remarks: int) -> None:
    """Note a good build for the next one, in one step."""
    note = settings.base / NOTE
    note.parent.mkdir(parents=True, exist_ok=True)
    fresh = note.with_suffix(".new")
    fresh.write_text(json.dumps(asdict(LastBuild(inputs, site_digest(site), pages, remarks))), encoding="utf-8")
    os.replace(fresh, note)


def site_digest(site: Path) -> str:
    """A digest of names, sizes and times of all files of a site; empty where there is none."""
    digest, is_empty = hashlib.sha256(), True
    if not site.is_dir():
        return ""
    for stamp in _stamps(Path(os.path.realpath(site)), hidden=True):
        digest.update(stamp)
        is_empty = False
    return "" if is_empty else digest.hexdigest()


def _reaches_out(content: Mapping, config: bytes, base: Path) -> bool:
    """Whether mkdocs.yml names plugins of others, or files that do not lie beside it."""
    plugins = content.get("plugins") or []
    names = {name for one in plugins for name in (one if isinstance(one, dict) else [one])}
    theme = content.get("theme")
    folders = [content.get("docs_dir"), theme.get("custom_dir") if isinstance(theme, dict) else None]
    named = [base / str(one) for one in (*folders, *(content.get("hooks") or [])) if one]
    # a tag that only mkdocs understands, such as !ENV, was read as nothing; a path may stand in any extension's options
    is_open = b"!" in config or b"../" in config
    is_elsewhere = any(not path.resolve().is_relative_to(base.resolve()) for path in named)
    return bool(names - OWN_PLUGINS) or "INHERIT" in content or is_open or is_elsewhere


def _stamps(folder: Path, left_out: Collection[str] = (), hidden: bool = False) -> Iterator[bytes]:
    """Path, size and time of every file below a folder, in order; those in hidden folders only where asked for."""
    waiting, start = [str(folder)], len(str(folder))
    while waiting:
        with os.scandir(waiting.pop()) as found:
            entries = sorted(found, key=lambda entry: entry.name)
        for entry in entries:
            if not entry.is_dir(follow_symlinks=False):
                status = entry.stat(follow_symlinks=False)
                stamp = f"{entry.path[start:]}\0{status.st_size}\0{status.st_mtime_ns}\n"
                yield stamp.encode("utf-8", errors="surrogateescape")
            elif (hidden or not entry.name.startswith(HIDDEN)) and entry.path not in left_out:
                waiting.append(entry.path)
