"""What a preview takes over from an earlier state, and what it has ready for the first edit."""

import random
import re
import shutil
from collections.abc import Callable, Iterable
from dataclasses import replace
from pathlib import Path

import pytest

from lidoff.entry import Entry
from lidoff.examination import company
from lidoff.live import LiveCollection, stamps_of, told
from lidoff.pipeline import Collection, Prepared, examine_all, prepare, with_collection_checks
from lidoff.settings import Settings, read_settings

ENTRIES = Path(__file__).parents[1] / "entries"
RECORDS = 6


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    for path in sorted(ENTRIES.glob("*/*/record.yaml"))[:RECORDS]:
        folder = tmp_path / "entries" / path.parent.relative_to(ENTRIES)
        shutil.copytree(path.parent, folder, ignore=shutil.ignore_patterns("photos"))
    config = "site_name: T\nsite_url: https://example.org/\nplugins: [lidoff]\n"
    (tmp_path / "mkdocs.yml").write_text(config, encoding="utf-8")
    return read_settings(tmp_path / "mkdocs.yml")


def records(settings: Settings) -> list[Path]:
    return sorted(settings.entries_folder.glob("*/*/record.yaml"))


def edit(path: Path, pattern: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert re.search(pattern, text)
    path.write_text(re.sub(pattern, new, text, count=1), encoding="utf-8")


def rate(path: Path, watts: int) -> None:
    """Give a product another rated power."""
    edit(path, r"rated_power_w: [0-9.]+", f"rated_power_w: {watts}")


def by_path(entries: Iterable[Entry]) -> dict[str, Entry]:
    return {entry.path: entry for entry in entries}


def same(earlier: Iterable[Entry], later: Iterable[Entry]) -> set[str]:
    """The paths of the entries that are the same objects."""
    before = by_path(earlier)
    return {entry.path for entry in later if before.get(entry.path) is entry}


def test_an_entry_is_the_same_object_only_where_record_and_findings_are_the_same(settings: Settings) -> None:
    earlier = examine_all(settings)
    first, second, third, *rest = earlier.examined
    assert len(earlier.entries) == RECORDS
    again = replace(first, key="")  # read again, and says the same
    remarked = replace(earlier.findings[0], path=second.loaded.path, line=7)
    later = Collection((again, second, *rest), (*earlier.findings, remarked)).after(earlier)
    assert same(earlier.entries, later.entries) == {one.loaded.path for one in rest}
    assert later.entries == Collection(later.examined, later.findings).entries
    assert remarked in by_path(later.entries)[second.loaded.path].findings
    assert third.loaded.path not in by_path(later.entries)
    whole = Collection(earlier.examined, earlier.findings).after(later)
    assert same(later.entries, whole.entries) == {one.loaded.path for one in rest}
    assert whole.entries == earlier.entries


def test_what_was_not_made_of_an_earlier_state_is_not_made_for_a_later_one(settings: Settings) -> None:
    made = examine_all(settings)
    earlier = Collection(made.examined, made.findings)
    later = Collection(made.examined[1:], made.findings).after(earlier)
    assert "entries" not in vars(earlier) and "entries" not in vars(later)
    assert [entry.path for entry in later.entries] == [one.loaded.path for one in made.examined[1:]]


@pytest.mark.parametrize("seed", range(4))
def test_after_any_exchange_of_records_and_findings_entries_are_those_made_anew(settings: Settings, seed: int) -> None:
    chance, whole = random.Random(seed), examine_all(settings)
    assert len({finding.path for finding in whole.findings}) > 2 and len(whole.entries) == RECORDS
    state = whole
    for _ in range(12):
        some = [one if chance.random() < 0.7 else replace(one, key=chance.choice("ab")) for one in whole.examined]
        examined = tuple(one for one in some if chance.random() < 0.9)
        paths = {one.loaded.path for one in examined}
        findings = tuple(one for one in whole.findings if one.path in paths and chance.random() < 0.95)
        later, anew = Collection(examined, findings).after(state), Collection(examined, findings)
        assert later.entries == anew.entries
        before, known = {one.loaded.path: one for one in state.examined}, by_path(state.entries)
        expected = {
            one.loaded.path
            for one in examined
            if before.get(one.loaded.path) is one
            and known[one.loaded.path].findings == anew.findings_by_path.get(one.loaded.path, ())
        }
        assert same(state.entries, later.entries) == expected
        state = later


@pytest.mark.parametrize("with_drafts", [False, True])
def test_what_follows_a_build_shows_what_a_new_one_shows(settings: Settings, with_drafts: bool) -> None:
    earlier = prepare(settings, with_drafts)
    assert all(earlier.page(address) is not None for address in ("/products/", "/trends/density-by-tier/"))
    paths = records(settings)
    edit(paths[0], "status: published", "status: draft")
    rate(paths[1], 31)
    shutil.rmtree(paths[2].parent)
    now = {one.loaded.path: one for one in examine_all(settings).examined}
    before = {one.loaded.path: one for one in earlier.collection.examined}
    kept = {path: before[path] if before[path].kept == one.kept else one for path, one in now.items()}
    later = earlier.followed_by(with_collection_checks(tuple(kept.values()), ()))
    anew = prepare(settings, with_drafts)
    assert (len(later.shown), later.with_drafts) == (len(anew.shown), with_drafts)
    was = by_path(earlier.collection.entries)
    untouched = {path for path, one in kept.items() if one is before[path]}
    alike = {entry.path for entry in anew.collection.entries if was[entry.path].findings == entry.findings}
    assert same(was.values(), later.collection.entries) == untouched & alike != set()
    for address in ("/", "/products/", "/trends/density-by-tier/", "/parts/", "/methods/power_density_w_per_cm3/"):
        assert later.page(address) == anew.page(address) is not None, address
    assert earlier.page("/products/") == Prepared(settings, earlier.collection, with_drafts).page("/products/")


def test_what_nobody_has_seen_is_not_made_for_a_later_state(settings: Settings) -> None:
    earlier = prepare(settings)
    later = earlier.followed_by(Collection(earlier.collection.examined, earlier.collection.findings))
    assert "seen" not in vars(earlier) and "seen" not in vars(later)
    assert earlier.seen[0].known is not later.seen[0].known
    assert earlier.followed_by(later.collection).seen[0].known is earlier.seen[0].known


@pytest.fixture
def subjects(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """How many records each run of the checks of the collection has seen, from now on."""
    counts: list[int] = []

    def counted(run: Callable) -> Callable:
        def counting(checks: object, subjects: Iterable) -> Iterable:
            counts.append(len(tuple(subjects)))
            return run(checks, subjects)

        return counting

    for module in (told, company):
        monkeypatch.setattr(module, "run_collection_checks", counted(module.run_collection_checks))
    return counts


def test_once_made_ready_the_first_edit_runs_no_check_on_all_records(settings: Settings, subjects: list[int]) -> None:
    live = LiveCollection(prepare(settings, with_drafts=True))
    assert len(list(live.texts())) == len(live.prepared.shown) and subjects == []
    live.make_ready()
    live.make_ready()
    assert subjects == [RECORDS]
    subjects.clear()
    for path, watts in zip(records(settings), (31, 32), strict=False):
        rate(path, watts)
        assert live.refresh() != frozenset()
        assert all(count < RECORDS for count in subjects), subjects
        assert live.collection.findings == prepare(settings, with_drafts=True).collection.findings
    assert len(list(live.texts())) > 0 and all(count < RECORDS for count in subjects)


def test_otherwise_the_first_edit_runs_them_once(settings: Settings, subjects: list[int]) -> None:
    live = LiveCollection(prepare(settings, with_drafts=True))
    for watts in (31, 32):
        rate(records(settings)[0], watts)
        live.refresh()
        assert subjects.count(RECORDS) == 1
    live.make_ready()
    assert subjects.count(RECORDS) == 1


def test_a_look_that_fails_at_the_end_leaves_the_next_one_whole(
    settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    live = LiveCollection(prepare(settings, with_drafts=True))
    rate(records(settings)[0], 31)
    live.refresh()
    gone(records(settings)[1])
    with monkeypatch.context() as once:
        once.setattr(Prepared, "followed_by", broken)
        with pytest.raises(RuntimeError, match="broken"):
            live.refresh()
    assert live.refresh() != frozenset()
    assert live.collection.findings == prepare(settings, with_drafts=True).collection.findings


def broken(prepared: Prepared, collection: Collection) -> Prepared:
    raise RuntimeError("broken")


def test_an_edit_while_texts_are_made_is_told_as_by_a_whole_build(settings: Settings, subjects: list[int]) -> None:
    live = LiveCollection(prepare(settings, with_drafts=True))
    texts = live.texts()
    next(texts)
    path = records(settings)[1]
    rate(path, 31)
    assert live.look(f"/products/{'/'.join(path.parts[-3:-1])}/")
    rate(records(settings)[2], 32)
    list(texts)
    live.make_ready()
    live.refresh()
    assert live.collection.findings == prepare(settings, with_drafts=True).collection.findings
    assert subjects.count(RECORDS) == 1


def gone(path: Path) -> None:
    shutil.rmtree(path.parent)


def come(path: Path) -> None:
    shutil.copytree(path.parent, path.parents[1] / "twin-1")


@pytest.mark.parametrize("change", [gone, come])
@pytest.mark.parametrize("with_texts", [True, False])
def test_a_record_that_comes_or_goes_while_the_records_are_first_read(
    settings: Settings, change: Callable[[Path], None], with_texts: bool
) -> None:
    """The stamps are older than the records: what differs is neither a fault nor lost."""
    stamps = stamps_of(settings)
    change(records(settings)[1])
    live = LiveCollection(prepare(settings, with_drafts=True), stamps)
    if with_texts:
        assert len(list(live.texts())) == len(live.prepared.shown)
        live.make_ready()
    live.refresh()
    rate(records(settings)[0], 31)
    live.refresh()
    anew = prepare(settings, with_drafts=True)
    assert live.collection.findings == anew.collection.findings
    assert live.page("/products/") == anew.page("/products/")


def test_a_record_that_came_and_went_while_the_records_were_first_read_is_gone(settings: Settings) -> None:
    stamps = stamps_of(settings)
    come(records(settings)[1])
    live = LiveCollection(prepare(settings, with_drafts=True), stamps)
    twin = next(path for path in records(settings) if path.parent.name == "twin-1")
    shutil.rmtree(twin.parent)
    assert f"/products/{twin.parents[1].name}/twin-1/" in live.refresh()
    assert live.collection.findings == prepare(settings, with_drafts=True).collection.findings
