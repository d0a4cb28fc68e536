"""Compare the knowledge base as it is with how it was at a revision."""

import tempfile
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from lidoff.entry import Entry
from lidoff.examination.examined import Examined
from lidoff.finding import has_error
from lidoff.impact.cells import moved_cells
from lidoff.impact.change import Impact, RecordChange
from lidoff.impact.figures import changed_figures
from lidoff.impact.findings import beyond
from lidoff.impact.history import Past, changed_files, restore
from lidoff.impact.names import Known, known_of, new_names
from lidoff.impact.siblings import siblings
from lidoff.impact.standing import standings
from lidoff.pipeline import Collection, examine_all, examine_file, with_collection_checks
from lidoff.record.collection import find_records
from lidoff.record.facts import changed_facts
from lidoff.record.identity import RECORD_NAME
from lidoff.record.model import Record
from lidoff.record.other_protocols import OtherProtocols, load_other_protocols
from lidoff.settings import Settings

DEEP_ENOUGH = 3  # brand, model and a file below the entries


@dataclass(frozen=True, slots=True)
class _State:
    """One state of the knowledge base: the record files, those that can be read, and those that count in tables."""

    paths: frozenset[str]
    entries: Mapping[str, Entry]
    published: tuple[Entry, ...]


def impact_of(settings: Settings, then: Past, reference: str) -> Impact:
    """What the difference between a revision and the files on the disk means, with today's settings for both."""
    files = changed_files(then, settings.entries)
    folders = folders_of(files, settings)
    after = examine_all(settings)
    before = _before(settings, then, folders, after)
    now = _state(after, after.entries)
    once = _state(before, _entries(before, folders, now))
    known = known_of(entry for path, entry in now.entries.items() if _folder(path) not in folders)
    changes = [_change(folder, once, now, known, settings) for folder in sorted(folders)]
    records, earlier = _records(now), _records(once)
    return Impact(
        base=reference,
        records_before=len(once.entries),
        records=len(now.entries),
        changes=tuple(replace(change, other_files=_beside(change.path, files)) for change in changes),
        new_findings=beyond(after.findings, before.findings, records, earlier),
        resolved_findings=beyond(before.findings, after.findings, earlier, records),
        cells=moved_cells(once.published, now.published, settings) if folders else (),
    )


def folders_of(files: Iterable[str], settings: Settings) -> frozenset[str]:
    """The folders of products that hold these files, relative to mkdocs.yml."""
    depth = len(Path(settings.entries).parts)
    parts = [Path(file).parts for file in files]
    return frozenset("/".join(one[: depth + 2]) for one in parts if len(one) >= depth + DEEP_ENOUGH)


def _before(settings: Settings, then: Past, folders: frozenset[str], after: Collection) -> Collection:
    """The collection as it was: what did not change is taken as it is examined now."""
    kept = [one for one in after.examined if _folder(one.loaded.path) not in folders]
    with tempfile.TemporaryDirectory(prefix="lidoff-past-") as place:
        restore(then, folders, Path(place))
        protocols, faults = load_other_protocols(settings.entries_folder, settings.base)
        old = _examined_in(Path(place), settings, protocols)
    # what lies astray is found by walking the disk: the same now and then
    _, stray = find_records(settings.entries_folder, settings.base)
    return with_collection_checks(sorted((*kept, *old), key=lambda one: one.loaded.path), stray + faults)


def _examined_in(place: Path, settings: Settings, protocols: OtherProtocols) -> list[Examined]:
    there = replace(settings, config_path=place.resolve() / settings.config_path.name)
    if not there.entries_folder.is_dir():
        return []
    return [examine_file(file, there, protocols) for file in find_records(there.entries_folder, there.base)[0]]


def _entries(before: Collection, folders: frozenset[str], now: _State) -> Iterator[Entry]:
    """The entries as they were. Taking a record apart is dear: one that did not change is taken from the present."""
    for one in before.examined:
        path = one.loaded.path
        findings = before.findings_by_path.get(path, ())
        if one.is_readable:
            is_same = _folder(path) not in folders
            yield replace(now.entries[path], findings=findings) if is_same else one.entry(findings)


def _state(collection: Collection, found: Iterable[Entry]) -> _State:
    entries = {entry.path: entry for entry in found}
    published = tuple(entry for entry in entries.values() if not entry.is_draft and not has_error(entry.findings))
    return _State(frozenset(one.loaded.path for one in collection.examined), entries, published)


def _change(folder: str, once: _State, now: _State, known: Known, settings: Settings) -> RecordChange:
    path = f"{folder}/{RECORD_NAME}"
    old, new = once.entries.get(path), now.entries.get(path)
    was, exists = path in once.paths, path in now.paths
    return RecordChange(
        path=path,
        kind="changed" if was and exists else "added" if exists else "removed",
        title=(new or old).title if new or old else folder,
        readable=new is not None or not exists,
        facts=changed_facts(old.record, new.record) if old and new else (),
        figures=changed_figures(old.figures, new.figures) if old and new else (),
        standings=standings(new, now.published, settings.tiers_w) if new else (),
        names=new_names(new, known) if new else (),
        siblings=siblings(new, now.published) if new else (),
    )


def _beside(path: str, files: Iterable[str]) -> tuple[str, ...]:
    """The other files of a record's folder that changed."""
    return tuple(file for file in files if file.startswith(f"{_folder(path)}/") and file != path)


def _records(state: _State) -> Mapping[str, Record]:
    return {path: entry.record for path, entry in state.entries.items()}


def _folder(path: str) -> str:
    return path.rpartition("/")[0]
