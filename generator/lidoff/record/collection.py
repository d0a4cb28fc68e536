"""The record files of a knowledge base, and what lies among them that does not belong there."""

import os
import time
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from operator import attrgetter
from pathlib import Path

from lidoff.finding import Finding, Place, in_order
from lidoff.record.faults import fault, shown
from lidoff.record.identity import RECORD_NAME, WINDOWS_NAMES, is_folder_name
from lidoff.record.other_protocols import FILE_NAME

VOCABULARY_FILES = frozenset((FILE_NAME,))
_NAME = attrgetter("name")
JUST_NOW_NS = 2_000_000_000
_EXPLANATIONS = frozenset(("readme.md", "readme.txt"))


@dataclass(frozen=True, slots=True)
class RecordFile:
    """One record file.

    ``relative`` is its path from the folder of mkdocs.yml, ``slug`` the two folders that hold it (brand/model), and
    ``companions`` the other files of its folder, relative to that folder.
    """

    path: Path
    relative: str
    slug: str
    companions: frozenset[str] = frozenset()


Changed = tuple[int, int]
"""When a folder's contents changed last, which copying may set back, and when it changed in any way, where a system tells."""


@dataclass(frozen=True, slots=True)
class SeenFolder:
    """The record of a product's folder in which nothing was amiss, when it was looked at, and when it had changed last.

    ``stamps`` are the times of the last changes [ns] of the folder and of those in it.
    """

    record: RecordFile
    seen_ns: int
    stamps: Mapping[str, Changed]

    def is_as_it_was(self) -> bool:
        """Whether no file has come or gone since; a folder that had just changed may have changed again within a tick."""
        latest = self.seen_ns - JUST_NOW_NS
        return all(max(stamp) < latest and _changed_ns(path) == stamp for path, stamp in self.stamps.items())


SeenFolders = dict[str, SeenFolder]
"""Folders of products by their paths."""


@dataclass(frozen=True, slots=True)
class _Search:
    """A search through the entries: paths in messages are relative to ``base``; ``findings`` fills up on the way.

    So does ``stamps``, where it is given, with the folders that were looked through.

    Thousands of folders are looked through at every run, so paths are text here. ``base`` ends with a separator.
    """

    base: str
    findings: list[Finding] = field(default_factory=list)
    stamps: dict[str, Changed] | None = None

    def relative(self, path: str) -> str:
        """A path as messages write it."""
        return path.removeprefix(self.base).replace(os.sep, "/")

    def tell(self, rule: str, path: str, found: str, expected: str, fix: str, *also: str) -> None:
        """Note a finding about a file or folder."""
        related = tuple(Place(self.relative(other), 1, 1) for other in also)
        self.findings.append(fault(rule, self.relative(path), 1, 1, found, expected, fix, related=related))


def find_records(
    entries_folder: Path, base: Path, seen_folders: SeenFolders | None = None
) -> tuple[tuple[RecordFile, ...], tuple[Finding, ...]]:
    """All record files in the order of their paths, and findings for what does not belong; links are not followed.

    ``seen_folders`` are the products' folders as an earlier call found them; it is brought up to date. Files in place of
    others are not told by it: for that a record has its stamps.
    """
    search = _Search(os.path.join(base, ""))
    if not entries_folder.is_dir():
        fix = "make the folder, or set entries in mkdocs.yml"
        search.tell("entry-missing", str(entries_folder), "no such folder", "the folder that holds the records", fix)
        return (), tuple(search.findings)
    now: SeenFolders = {}
    look = _record_in if seen_folders is None else partial(_seen_record, before=seen_folders, now=now)
    records = [
        record
        for brand in _folders(str(entries_folder), VOCABULARY_FILES, search)
        for model in _folders(brand.path, frozenset(), search)
        if (record := look(model.path, f"{brand.name}/{model.name}", search)) is not None
    ]
    if seen_folders is not None:
        seen_folders.clear()
        seen_folders.update(now)
    return tuple(sorted(records, key=lambda record: record.relative)), in_order(search.findings)


def _seen_record(folder: str, slug: str, search: _Search, before: SeenFolders, now: SeenFolders) -> RecordFile | None:
    """The record of a product's folder; as it was seen before, where no file has come or gone since."""
    seen = before.get(folder)
    if seen is None or not seen.is_as_it_was():
        inner, at = replace(search, findings=[], stamps={}), time.time_ns()
        record = _record_in(folder, slug, inner)
        search.findings.extend(inner.findings)
        if record is None or inner.findings:
            return record
        seen = SeenFolder(record, at, inner.stamps)
    now[folder] = seen
    return seen.record


def find_record(entries_folder: Path, slug: str, base: Path) -> RecordFile | None:
    """The record file of one product, without looking at the others; None where there is none."""
    folder = os.path.join(entries_folder, *slug.split("/"))
    return _record_in(folder, slug, _Search(os.path.join(base, ""))) if os.path.isdir(folder) else None


def _contents(folder: str, search: _Search) -> list[os.DirEntry]:
    """What a folder holds, sorted; hidden things are passed over, links and what is no file at all are findings."""
    if search.stamps is not None:
        search.stamps[folder] = _changed_ns(folder)
    try:
        with os.scandir(folder) as found:
            entries = sorted([entry for entry in found if not entry.name.startswith(".")], key=_NAME)
    except OSError as error:
        found_out = f"a folder that can't be read: {error.strerror}"
        search.tell("record-file", folder, found_out, "a readable folder", "check that it is there and may be read")
        return []
    for entry in entries[:]:
        if entry.is_symlink():
            expected, fix = "a file or folder of its own", "put the file itself here"
            search.tell("entry-link", entry.path, "a symbolic link", expected, fix)
            entries.remove(entry)
        elif not (entry.is_file() or entry.is_dir()):  # reading it might never end
            found, fix = "a device, pipe or socket", "put a file in its place, or take it away"
            search.tell("record-file", entry.path, found, "a file or folder", fix)
            entries.remove(entry)
    _tell_names(entries, search)
    return entries


def _changed_ns(folder: str) -> Changed:
    """When a folder changed last; zeros where that can't be told."""
    try:
        status = os.stat(folder)
    except OSError:
        return 0, 0
    return status.st_mtime_ns, status.st_ctime_ns


def _folders(folder: str, allowed: frozenset[str], search: _Search) -> list[os.DirEntry]:
    """The folders inside a folder that holds folders only."""
    contents = _contents(folder, search)
    folders = [entry for entry in contents if entry.is_dir()]
    for entry in contents:
        if not entry.is_dir() and entry.name not in allowed and entry.name.lower() not in _EXPLANATIONS:
            expected = f"records at brand/model/{RECORD_NAME}, files of a product beside its record"
            fix = "move it into the folder of its product, or out of the entries"
            search.tell("entry-stray", entry.path, "a file outside a product's folder", expected, fix)
    for inner in folders:
        if not is_folder_name(inner.name) and inner.name not in WINDOWS_NAMES:
            expected, fix = "lower-case letters, digits and single hyphens", "name it as lidoff new BRAND MODEL would"
            search.tell("entry-name", inner.path, f"the folder {shown(inner.name)}", expected, fix)
    return folders


def _tell_names(entries: Sequence[os.DirEntry], search: _Search) -> None:
    """Tell of names that Windows keeps for itself, and of names that differ by case or Unicode form alone."""
    first: dict[str, os.DirEntry] = {}
    for entry in entries:
        name = entry.name
        if name.partition(".")[0].lower() in WINDOWS_NAMES:
            found, fix = f"{shown(name)}, which Windows keeps for itself", "give it another name"
            if entry.is_dir():
                fix = "name it as lidoff new BRAND MODEL would"
            search.tell("entry-name", entry.path, found, "a name that every system can have", fix)
        other = first.setdefault(unicodedata.normalize("NFKC", name).casefold(), entry)
        if other is not entry:
            found = f"{_distinct(name)} beside {_distinct(other.name)}"
            fix = "merge the two under the lower-case name, or take one away"
            search.tell("entry-clash", entry.path, found, "names that differ on every system", fix, other.path)


def _distinct(name: str) -> str:
    """A name, with its signs as numbers where they are more than letters of ASCII: two that look alike may differ."""
    return name if name.isascii() else f"{shown(name)} ({ascii(name)[1:-1]})"


def _record_in(folder: str, slug: str, search: _Search) -> RecordFile | None:
    """The record of a product's folder; None, with a finding, where it has none."""
    files = dict(_files_below(folder, "", search))
    for name, path in files.items():
        if name != RECORD_NAME and name.lower().endswith((".yaml", ".yml")):
            expected = f"one {RECORD_NAME} in the folder of a product"
            fix = f"rename it to {RECORD_NAME}, or move it out of the entries"
            search.tell("entry-stray", path, f"a YAML file that is not {RECORD_NAME}", expected, fix)
    if RECORD_NAME not in files:
        expected, fix = f"{RECORD_NAME} in the folder of every product", f"add {RECORD_NAME}, or take the folder away"
        search.tell("entry-missing", folder, f"a folder without {RECORD_NAME}", expected, fix)
        return None
    path = files[RECORD_NAME]
    return RecordFile(Path(path), search.relative(path), slug, frozenset(files) - {RECORD_NAME})


def _files_below(folder: str, inside: str, search: _Search) -> Iterator[tuple[str, str]]:
    """The files of a folder: their names from the product's folder on, and their paths."""
    for entry in _contents(folder, search):
        if entry.is_dir():
            yield from _files_below(entry.path, f"{inside}{entry.name}/", search)
        else:
            yield f"{inside}{entry.name}", entry.path
