"""What a change means, worked out from both states as wholes and with the tables of the site: slow, and with nothing kept."""

import shutil
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from tests.impact.conftest import git

from lidoff.engineering.statistics_robust import robust_z
from lidoff.entry import Entry
from lidoff.finding import has_error
from lidoff.impact.assess import folders_of
from lidoff.impact.change import CellChange, Impact, Name, RecordChange, Sibling, Standing
from lidoff.impact.figures import changed_figures
from lidoff.impact.findings import beyond
from lidoff.impact.history import changed_files, past
from lidoff.impact.standing import FEWEST, MEASURES
from lidoff.impact.tables import moved_cells
from lidoff.pipeline import Collection, examine_all
from lidoff.record.facts import changed_facts
from lidoff.rows.tiers import tier_label
from lidoff.settings import Settings
from lidoff.trends.formats import lines_with_totals
from lidoff.trends.frames import make_frames
from lidoff.trends.likeness import nearest_to
from lidoff.trends.own_tables import definitions
from lidoff.trends.traits import traits


def whole_impact(settings: Settings, there: Path) -> Impact:
    """The difference of the files on the disk from the last commit, which is laid out in a folder."""
    shutil.rmtree(there, ignore_errors=True)
    git(settings.base, "worktree", "prune")
    git(settings.base, "worktree", "add", "--quiet", "--detach", str(there), "HEAD")
    after, before = examine_all(settings), examine_all(replace(settings, config_path=there / "mkdocs.yml"))
    files = changed_files(past(settings.base, "HEAD"), settings.entries)
    folders = folders_of(files, settings)
    now, once = ({entry.path: entry for entry in one.entries} for one in (after, before))
    records, earlier = ({path: entry.record for path, entry in some.items()} for some in (now, once))
    return Impact(
        base="HEAD",
        records_before=len(once),
        records=len(now),
        changes=tuple(_change(folder, before, after, folders, files, settings) for folder in sorted(folders)),
        new_findings=beyond(after.findings, before.findings, records, earlier),
        resolved_findings=beyond(before.findings, after.findings, earlier, records),
        cells=tuple(_cells(_published(before), _published(after), settings)),
    )


def _published(collection: Collection) -> list[Entry]:
    return [entry for entry in collection.entries if not entry.is_draft and not has_error(entry.findings)]


def _cells(before: Sequence[Entry], after: Sequence[Entry], settings: Settings) -> Iterator[CellChange]:
    frames = [make_frames(entries, settings.tiers_w) for entries in (before, after)]
    for name, definition in definitions(settings.tables).items():
        yield from moved_cells(name, *(lines_with_totals(definition.build(one)) for one in frames))


def _change(
    folder: str,
    before: Collection,
    after: Collection,
    folders: frozenset[str],
    files: Sequence[str],
    settings: Settings,
) -> RecordChange:
    path = f"{folder}/record.yaml"
    old, new = (next((entry for entry in one.entries if entry.path == path), None) for one in (before, after))
    was, exists = (any(one.loaded.path == path for one in some.examined) for some in (before, after))
    return RecordChange(
        path=path,
        kind="changed" if was and exists else "added" if exists else "removed",
        title=(new or old).title if new or old else folder,
        readable=new is not None or not exists,
        facts=changed_facts(old.record, new.record) if old and new else (),
        figures=changed_figures(old.figures, new.figures) if old and new else (),
        standings=tuple(_standings(new, _published(after), settings)) if new else (),
        names=tuple(_names(new, [one for one in after.entries if one.path.rpartition("/")[0] not in folders])) if new else (),
        siblings=tuple(_siblings(new, _published(after))) if new else (),
        other_files=tuple(file for file in files if file.startswith(f"{folder}/") and file != path),
    )  # fmt: skip


def _standings(entry: Entry, published: Sequence[Entry], settings: Settings) -> Iterator[Standing]:
    from math import log

    tier = tier_label(entry.record.product.rated_power_w, settings.tiers_w)
    others = [
        other for other in published
        if other.path != entry.path and tier_label(other.record.product.rated_power_w, settings.tiers_w) == tier
    ]  # fmt: skip
    for measure in MEASURES:
        value = measure.value(entry)
        if value is not None:
            values = [value, *(one for one in map(measure.value, others) if one is not None)]
            distances = robust_z([log(one) for one in values]) if len(values) >= FEWEST and min(values) > 0 else None
            rank = 1 + sum(one > value for one in values)
            distance = distances[0] if distances else None
            yield Standing(measure.name, value, measure.unit, tier, rank, len(values), distance)


def _names(entry: Entry, others: Sequence[Entry]) -> Iterator[Name]:
    """As the help of the command says: names seen for the first time, and markings of which others say something else."""
    parts = [part for other in others for part in other.record.components]
    told: set[tuple[str, str]] = set()

    def first(kind: str, name: str, field: str, contradicts: str = "") -> Iterator[Name]:
        if (kind, name) not in told:
            told.add((kind, name))
            yield Name(kind, name, field, contradicts)

    def called(part: object) -> str:
        return f"{part.maker} {part.part_number}" if part.maker else part.part_number

    def legible(part: object) -> tuple[str, ...]:
        is_read = part.marking is not None and part.marking.state == "legible"
        return tuple(line for line in part.marking.lines if "?" not in line) if is_read else ()

    brand = entry.record.product.brand
    if brand not in {other.record.product.brand for other in others}:
        yield from first("brand", brand, "product.brand")
    for part in entry.record.components:
        place = f"components[{part.ref}]"
        if part.maker and part.maker not in {one.maker for one in parts}:
            yield from first("maker", part.maker, f"{place}.maker")
        numbered = {(one.maker, one.part_number) for one in parts if one.part_number}
        if part.part_number and (part.maker, part.part_number) not in numbered:
            yield from first("part", called(part), f"{place}.part_number")
        alike = [one for one in parts if legible(part) and legible(one) == legible(part)]
        taken_for = {called(one) for one in alike if one.part_number}
        if legible(part) and not alike:
            yield from first("marking", " / ".join(legible(part)), f"{place}.marking")
        elif part.part_number and taken_for and called(part) not in taken_for:
            told_apart = f"{called(part)} here, {', '.join(sorted(taken_for))} elsewhere"
            yield from first("marking", " / ".join(legible(part)), f"{place}.marking", told_apart)


def _siblings(entry: Entry, published: Sequence[Entry]) -> Iterator[Sibling]:
    by_slug = {other.slug: other for other in published}
    found = {slug: traits(other.record) for slug, other in by_slug.items()} | {entry.slug: traits(entry.record)}
    for one in nearest_to(entry.slug, found):
        yield Sibling(by_slug[one.slug].path, by_slug[one.slug].title, one.index, one.shared)
