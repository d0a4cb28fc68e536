"""The knowledge base as git kept it: which files differ from a revision, and what they held there."""

import io
import subprocess
import tarfile
from dataclasses import dataclass
from pathlib import Path

MOST_NAMED = 200  # more folders than this on a command line and all entries are taken instead


class HistoryError(Exception):
    """The history can't be read; the text says what was found, what was expected and how to mend it."""


@dataclass(frozen=True, slots=True)
class Past:
    """One revision to compare with: the last one that it and the present share. Paths are relative to ``base``."""

    base: Path
    revision: str


def past(base: Path, reference: str) -> Past:
    """The revision where the present left ``reference``; raises HistoryError where there is none."""
    _git(base, "rev-parse", "--git-dir")
    if reference.startswith("-"):
        raise _unknown(reference)
    try:
        found = _git(base, "merge-base", reference, "HEAD").decode().strip()
    except HistoryError:
        # two histories without a common start are compared as they stand
        try:
            found = _git(base, "rev-parse", "--verify", "--quiet", f"{reference}^{{commit}}").decode().strip()
        except HistoryError as fault:
            raise _unknown(reference) from fault
    return Past(base, found)


def changed_files(then: Past, folder: str) -> tuple[str, ...]:
    """Files below a folder that were added, changed or removed since, committed or not; ignored ones left out."""
    return differences(then, folder)[0]


def differences(then: Past, folder: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The same, and the files that git is told to ignore."""
    differing = _git(then.base, "diff", "--name-only", "--no-renames", "--relative", "-z", then.revision, "--", folder)
    unknown = _git(then.base, "ls-files", "--others", "-z", "--", folder)
    ignored = _names(_ignored(then.base, unknown)) if unknown else []
    fresh = set(_names(unknown)) - set(ignored)
    return tuple(sorted(set(_names(differing)) | fresh)), tuple(sorted(ignored))


def tree_of(then: Past, folder: str) -> str:
    """What git calls the content of a folder; raises HistoryError where it was not there."""
    return _git(then.base, "rev-parse", "--verify", "--quiet", f"{then.revision}:./{folder}").decode().strip()


def restore(then: Past, folders: frozenset[str], into: Path) -> None:
    """Write the files of these folders as they were into another folder; a folder that was not there yields none."""
    listed = _names(_git(then.base, "ls-tree", "-r", "-z", "--name-only", then.revision, "--", *_few(folders)))
    wanted = [name for name in listed if any(name.startswith(f"{folder}/") for folder in folders)]
    if not wanted:
        return
    packed = _git(then.base, "archive", "--format=tar", then.revision, "--", *_few(folders, wanted))
    asked = frozenset(wanted)
    with tarfile.open(fileobj=io.BytesIO(packed)) as archive:
        for member in archive:
            file = into / member.name
            # regular files that git listed, within the folder: links and devices have no place among records
            if not member.isfile() or member.name not in asked or not file.resolve().is_relative_to(into.resolve()):
                continue
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_bytes(archive.extractfile(member).read())


def _few(folders: frozenset[str], existing: list[str] | None = None) -> list[str]:
    """The folders to name to git: all of them, or what holds them all where there are too many for one command."""
    if existing is not None:
        folders = frozenset(folder for folder in folders if any(name.startswith(f"{folder}/") for name in existing))
    if len(folders) <= MOST_NAMED:
        return sorted(folders)
    return sorted({folder.split("/")[0] for folder in folders})


def _names(listed: bytes) -> list[str]:
    return [name.decode("utf-8", "surrogateescape") for name in listed.split(b"\0") if name]


def _ignored(base: Path, names: bytes) -> bytes:
    """Those of the files that git is told to ignore; it ends with 1 where there is none."""
    return _git(base, "check-ignore", "-z", "--stdin", "--no-index", told=names, fine=(0, 1))


def _git(base: Path, *arguments: str, told: bytes = b"", fine: tuple[int, ...] = (0,)) -> bytes:
    try:
        done = subprocess.run(["git", "-C", str(base), *arguments], input=told, capture_output=True, check=False)
    except FileNotFoundError as fault:
        raise HistoryError(
            "found     no program git\nexpected  git, which keeps the history of the records\nfix       install git"
        ) from fault
    if done.returncode not in fine:
        said = done.stderr.decode("utf-8", "replace").strip().splitlines()
        raise HistoryError(
            f"found     git {arguments[0]} failed: {said[0] if said else 'no reason given'}\n"
            f"expected  a knowledge base under git\n"
            f"fix       run the command inside a clone that holds the revision"
        )
    return done.stdout


def _unknown(reference: str) -> HistoryError:
    return HistoryError(
        f"found     no revision {reference}\n"
        f"expected  a branch, tag or commit of this clone, such as origin/main\n"
        f"fix       fetch it first; a shallow clone lacks older ones (fetch-depth: 0)"
    )
