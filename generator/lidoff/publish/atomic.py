"""A site is built in a staging folder and put in place at the end, so that a stopped build leaves the last good site.

Beside mkdocs.yml, ``.lidoff/site`` is a symbolic link to a folder in ``.lidoff/builds``: replacing the link is one step
that either happens or does not. Any other output folder is exchanged by two renames; if a build is ended between them,
the last good site lies in ``.NAME.lidoff-old`` beside it, and the next build puts it back.
"""

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from subprocess import DEVNULL

MARKER = ".lidoff-site"
MARKER_TEXT = b"Lidoff made this folder. The next build replaces all of it; keep nothing of your own here.\n"
_HAS_LINKS = os.name != "nt"  # on Windows a symbolic link needs rights that most people don't have


class Refused(Exception):
    """The site can't be put there; the text says what was found, what was expected and how to mend it."""


@dataclass(frozen=True, slots=True)
class Placement:
    """A folder to build in, and where it goes when the build is good, under the ``number`` that no other build had."""

    built: Path
    target: Path
    workshop: Path
    number: int

    @property
    def is_atomic(self) -> bool:
        """Whether publishing is one step, so that readers never meet a moment without a site."""
        return _is_link(self.target, self.workshop)

    def publish(self) -> None:
        """Put the built folder in place of the target; raises Refused where that can't be done."""
        (self.built / MARKER).write_bytes(MARKER_TEXT)
        check_target(self.target, self.workshop)
        if self.is_atomic:
            _replace_link(self.built, self.target, self.workshop / "builds" / f"{self.number:06d}")
        else:
            _exchange(self.built, self.target)


@contextmanager
def placement(target: Path, workshop: Path) -> Iterator[Placement]:
    """Hold the lock and an empty folder to build in; raises Refused before any work where the target can't be taken."""
    with locked(workshop):
        check_target(target, workshop)
        built = workshop / "staging"
        _remove(built)  # what a stopped build left
        built.mkdir()
        present = _present(workshop / "builds")
        old = [path for path in present if path.resolve() != (workshop / "site").resolve()]
        remover = _removed_beside(old) if old else None
        try:
            yield Placement(built, target, workshop, int(present[-1].name) + 1 if present else 1)
        finally:
            _remove(built)
            if remover is not None:
                remover.wait()
            for path in old:  # what could not be removed is told
                _remove(path)


@contextmanager
def locked(workshop: Path) -> Iterator[None]:
    """Hold the lock of the folder ``.lidoff``; raises Refused while another build holds it.

    The system drops the lock when its process ends, however it ends, so a dead build never blocks the next one. The
    process number in the file is for people.
    """
    workshop.mkdir(parents=True, exist_ok=True)
    (workshop / ".gitignore").write_text("*\n", encoding="utf-8")
    with open(workshop / "lock", "a+", encoding="ascii") as handle:
        try:
            _take(handle.fileno())
        except OSError as fault:
            handle.seek(0)
            raise Refused(
                f"found     another build of this site under way (process {handle.read().strip() or 'unknown'})\n"
                f"expected  one build at a time\n"
                f"fix       wait until it has ended, or end it"
            ) from fault
        handle.truncate(0)
        handle.write(str(os.getpid()))
        handle.flush()
        yield


def _take(descriptor: int) -> None:
    """Take the lock of an open file or raise OSError at once."""
    if os.name == "nt":
        import msvcrt

        msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
    else:
        import fcntl

        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)


def check_target(target: Path, workshop: Path) -> None:
    """Put back a site that a stopped exchange left aside; raises Refused where ``target`` holds the user's files."""
    if _is_link(target, workshop) and target.is_symlink():
        return
    if _aside(target).is_dir() and not target.exists():
        _aside(target).rename(target)
    if not target.exists():
        return
    if not target.is_dir():
        raise Refused(f"found     {target} is a file\nexpected  a folder for the site\nfix       name another folder")
    if any(target.iterdir()) and not (target / MARKER).is_file():
        raise Refused(
            f"found     {target} is not empty and was not made by Lidoff (no file {MARKER} in it)\n"
            f"expected  a new or empty folder, or the site of an earlier build: all of it would be replaced\n"
            f"fix       name another folder, or empty this one yourself"
        )


def _is_link(target: Path, workshop: Path) -> bool:
    return _HAS_LINKS and os.path.abspath(target) == os.path.abspath(workshop / "site")


def _present(builds: Path) -> list[Path]:
    """The builds that lie there, in their order."""
    return sorted(path for path in builds.iterdir() if path.name.isdigit()) if builds.is_dir() else []


def _removed_beside(folders: Sequence[Path]) -> subprocess.Popen:
    """A process that removes folders while the build goes on; what a kill leaves of them, the next build removes."""
    script = "import shutil, sys\nfor folder in sys.argv[1:]:\n    shutil.rmtree(folder, ignore_errors=True)"
    command = [sys.executable, "-I", "-S", "-c", script, *map(str, folders)]
    return subprocess.Popen(command, stdin=DEVNULL, stdout=DEVNULL, stderr=DEVNULL)


def _replace_link(built: Path, link: Path, build: Path) -> None:
    """Name the build and point the link at it; the one before it stays until the next build, which removes it."""
    build.parent.mkdir(exist_ok=True)
    built.rename(build)
    fresh = link.with_name(".site-new")
    fresh.unlink(missing_ok=True)
    fresh.symlink_to(os.path.join(build.parent.name, build.name), target_is_directory=True)
    if link.is_dir() and not link.is_symlink():
        link.rename(_aside(link))
    os.replace(fresh, link)
    _remove(_aside(link))


def _exchange(built: Path, target: Path) -> None:
    """Exchange two folders by renames; the new one is copied beside the old one first where it lies on another disk."""
    fresh, old = target.with_name(f".{target.name}.lidoff-new"), _aside(target)
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        _remove(fresh)
        _remove(old)
        shutil.move(built, fresh)
        if target.exists():
            target.rename(old)
        fresh.rename(target)
    except OSError as fault:
        if old.is_dir() and not target.exists():
            old.rename(target)
        raise Refused(
            f"found     {target} can't be replaced: {fault}\n"
            f"expected  a folder that can be renamed, in a folder that can be written to\n"
            f"fix       name a folder inside it (the top of a mounted disk can't be renamed)"
        ) from fault
    _remove(old)


def _aside(target: Path) -> Path:
    return target.with_name(f".{target.name}.lidoff-old")


def _remove(folder: Path) -> None:
    if folder.exists():
        shutil.rmtree(folder)
