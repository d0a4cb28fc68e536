"""What an entry holds packed: made when it is read, the same as if it had been held, also after a part was replaced."""

from dataclasses import replace
from pathlib import Path

from lidoff.entry import Entry, Packed
from lidoff.pipeline import prepare
from lidoff.settings import read_settings


def entry_of(knowledge_base: Path) -> Entry:
    (entry,) = prepare(read_settings(knowledge_base / "mkdocs.yml")).shown
    return entry


def test_record_and_figures_are_held_packed_and_read_whole(knowledge_base: Path) -> None:
    entry = entry_of(knowledge_base)
    assert all(isinstance(vars(entry)[name], Packed) for name in ("_record", "_figures"))
    held = Entry(
        entry.path, entry.slug, entry.record, entry.figures, entry.findings, entry.logs, entry.pictures, entry.inputs
    )
    assert held == entry and held.sketch is held.record and held.brief is held.figures
    assert (held.title, held.year, held.is_draft) == (entry.title, entry.year, entry.is_draft)
    for figure_id in ("power_density_w_per_cm3", "bulk_uf_per_w"):
        assert held.brief.value(figure_id) == entry.brief.value(figure_id)


def test_the_sketch_is_of_the_record_that_is_there(knowledge_base: Path) -> None:
    entry = entry_of(knowledge_base)
    other = replace(entry.record, product=replace(entry.record.product, brand="Wexmoor"))
    assert replace(entry, record=other).title.startswith("Wexmoor ") and not entry.title.startswith("Wexmoor ")
    assert replace(entry, findings=()).record == entry.record
