"""Compare the knowledge base as it is with how it was at a revision."""

from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path

from lidoff.cache.store import Store
from lidoff.examination.desk import Desk
from lidoff.examination.keys import stamp
from lidoff.examination.survey import CACHE
from lidoff.finding import in_order
from lidoff.impact.change import Impact, RecordChange
from lidoff.impact.company import Disagreement
from lidoff.impact.figures import changed_figures
from lidoff.impact.findings import beyond
from lidoff.impact.history import Past, differences
from lidoff.impact.kept import Progress, shelf, take_stock
from lidoff.impact.names import Known, new_names
from lidoff.impact.records import Missing, changed_records
from lidoff.impact.says import counting
from lidoff.impact.siblings import siblings
from lidoff.impact.standing import standings
from lidoff.impact.state import Change
from lidoff.record.facts import changed_facts
from lidoff.record.identity import RECORD_NAME
from lidoff.record.model import Record
from lidoff.record.other_protocols import load_other_protocols
from lidoff.settings import Settings

DEEP_ENOUGH = 3  # brand, model and a file below the entries


def impact_of(settings: Settings, then: Past, reference: str, progress: Progress | None = None) -> Impact:
    """What the difference between a revision and the files on the disk means, with today's settings for both."""
    files, ignored = differences(then, settings.entries)
    folders = folders_of(files, settings)
    protocols, _ = load_other_protocols(settings.entries_folder, settings.base)
    desk = Desk(settings, protocols, Store(settings.base / CACHE))
    assert desk.assumptions  # an assumption that can't be used is told even where no record needs it
    place = shelf(then, [f"{name} {stamp(settings.base / name)}" for name in ignored], desk)
    with changed_records(then, folders, desk) as records:
        by = counting(settings)
        kept = place.kept()
        if kept is not None:
            with suppress(Disagreement, Missing):  # the stock is of other records: it is taken anew
                return _impact(Change(kept, records, by), reference, folders, files)
        stock = take_stock(records, folders, by, progress)
        place.keep(stock)
        return _impact(Change(stock, records, by), reference, folders, files)


def folders_of(files: Iterable[str], settings: Settings) -> frozenset[str]:
    """The folders of products that hold these files, relative to mkdocs.yml."""
    depth = len(Path(settings.entries).parts)
    parts = [Path(file).parts for file in files]
    return frozenset("/".join(one[: depth + 2]) for one in parts if len(one) >= depth + DEEP_ENOUGH)


def _impact(change: Change, reference: str, folders: frozenset[str], files: Iterable[str]) -> Impact:
    before, after = ([finding for some in found.values() for finding in some] for found in change.findings)
    records, earlier = _records(change, True), _records(change, False)
    known = Known(change.stock, [earlier[path] for path in change.records.old if path in earlier])
    heads = change.stock.heads
    is_readable = [one.is_readable for one in change.records.new.values()]
    same = sum(head.is_readable for head in heads if head.path not in change.records.old)
    return Impact(
        base=reference,
        records_before=sum(head.is_readable for head in heads),
        records=same + sum(is_readable),
        changes=tuple(_record_change(folder, change, known, files) for folder in sorted(folders)),
        new_findings=beyond(in_order(after), before, records, earlier),
        resolved_findings=beyond(in_order(before), after, earlier, records),
        cells=tuple(change.cells()),
    )


def _record_change(folder: str, change: Change, known: Known, files: Iterable[str]) -> RecordChange:
    path = f"{folder}/{RECORD_NAME}"
    old, new = change.entry(path, False), change.entry(path, True)
    was, exists = path in change.records.old, path in change.records.new
    return RecordChange(
        path=path,
        kind="changed" if was and exists else "added" if exists else "removed",
        title=(new or old).title if new or old else folder,
        readable=new is not None or not exists,
        facts=changed_facts(old.record, new.record) if old and new else (),
        figures=changed_figures(old.figures, new.figures) if old and new else (),
        standings=standings(new, change.is_published(path, True), change.now, change.by.tiers_w) if new else (),
        names=new_names(new, known) if new else (),
        siblings=siblings(new, change) if new else (),
        other_files=tuple(file for file in files if file.startswith(f"{folder}/") and file != path),
    )


def _records(change: Change, is_now: bool) -> Mapping[str, Record]:
    entries = ((path, change.entry(path, is_now)) for path in change.paths)
    return {path: entry.record for path, entry in entries if entry is not None}
