"""Frames that follow an earlier state of the knowledge base are those made anew, whatever was edited and asked for."""

import random
from collections.abc import Callable, Sequence
from dataclasses import replace

import pytest
from pandas.testing import assert_frame_equal

from lidoff.entry import Entry
from lidoff.trends import frames as module
from lidoff.trends.frames import MOST_FOLLOWED, Frames
from lidoff.trends.tables import Definition

MakeCollection = Callable[[int, int], tuple[Entry, ...]]
FramesOf = Callable[[Sequence[Entry]], Frames]
NAMES = ("products", "components", "ports", "figures")


def compared(followed: Frames, anew: Frames, names: Sequence[str] = NAMES) -> None:
    for name in names:
        found, expected = getattr(followed, name), getattr(anew, name)
        assert_frame_equal(found, expected, check_exact=True, obj=name)  # dtypes and the index too
        for column in expected.columns:
            assert list(map(type, found[column])) == list(map(type, expected[column])), (name, column)


class Stock:
    """Invented entries that are edited, taken away, added and turned into drafts and back."""

    def __init__(self, make_collection: MakeCollection, count: int, seed: int) -> None:
        self.chance = random.Random(seed)
        self.entries = {entry.slug: entry for entry in make_collection(count, seed)}
        self.pool = {entry.slug: entry for entry in make_collection(3 * count, seed + 1000)}

    @property
    def now(self) -> list[Entry]:
        """In any order: frames have one of their own."""
        return self.chance.sample(list(self.entries.values()), len(self.entries))

    def edit(self, slug: str) -> None:
        """Give it what another one says; some lose their parts and ports, so that they have no row there."""
        entry, other = self.entries[slug], self.chance.choice(list(self.pool.values()))
        names = self.chance.sample(("product", "label", "boards", "components", "ports", "conversion"), 3)
        said = {name: getattr(other.record, name) for name in names}
        if self.chance.random() < 0.3:
            said |= {"components": (), "ports": ()}
        self.entries[slug] = replace(entry, record=replace(entry.record, **said), figures=other.figures)

    def flip(self, slug: str) -> None:
        entry = self.entries[slug]
        status = "published" if entry.is_draft else "draft"
        self.entries[slug] = replace(entry, record=replace(entry.record, status=status))

    def remove(self, slug: str) -> None:
        del self.entries[slug]

    def add(self, _: str = "") -> None:
        entry = self.chance.choice(list(self.pool.values()))
        self.entries[entry.slug] = entry

    def change(self, most: int) -> None:
        for _ in range(self.chance.randint(0, most)):
            act = self.chance.choice((self.edit, self.edit, self.flip, self.remove, self.add))
            if self.entries:
                act(self.chance.choice(sorted(self.entries)))


@pytest.mark.parametrize("seed", [1, 2, 3, *(pytest.param(seed, marks=pytest.mark.long) for seed in range(4, 16))])
def test_after_any_edits_frames_are_those_made_anew(
    make_collection: MakeCollection, frames_of: FramesOf, seed: int
) -> None:
    stock = Stock(make_collection, 10 + 7 * seed % 21, seed)
    followed = frames_of(stock.now)
    states = []
    for _ in range(8):
        asked = stock.chance.sample(NAMES, stock.chance.randint(0, 4))
        compared(followed, frames_of(stock.now), asked)
        states.append((followed, asked, {name: getattr(followed, name).copy() for name in asked}))
        stock.change(most=8)
        followed = followed.followed_by(stock.now)
    compared(followed, frames_of(stock.now))
    for earlier, asked, before in states:  # an earlier state is left as it was
        for name in asked:
            assert_frame_equal(getattr(earlier, name), before[name], check_exact=True)


@pytest.mark.parametrize("count", [MOST_FOLLOWED, MOST_FOLLOWED + 1, MOST_FOLLOWED + 20])
def test_many_edits_at_once(make_collection: MakeCollection, frames_of: FramesOf, count: int) -> None:
    stock = Stock(make_collection, MOST_FOLLOWED + 30, 7)
    slugs = sorted(slug for slug, entry in stock.entries.items() if not entry.is_draft)[:count]
    first = frames_of(stock.now)
    compared(first, frames_of(stock.now))
    for slug in slugs:
        stock.edit(slug)
    compared(first.followed_by(stock.now), frames_of(stock.now))


def test_from_no_entries_to_some_and_back(make_collection: MakeCollection, frames_of: FramesOf) -> None:
    some, drafts = make_collection(12, 5), make_collection(3, 6)
    drafts = tuple(replace(one, record=replace(one.record, status="draft")) for one in drafts)
    followed = frames_of(())
    for state in ((), some, drafts, some[:1], (), some[3:]):
        followed = followed.followed_by(state)
        compared(followed, frames_of(state))


def rows_made(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The slugs of the entries whose rows are asked for from now on."""
    slugs: list[str] = []
    rows_of = module.rows_of
    monkeypatch.setattr(module, "rows_of", lambda entry, tiers_w: slugs.append(entry.slug) or rows_of(entry, tiers_w))
    return slugs


def test_only_what_has_changed_is_read_also_where_a_state_between_was_not_asked(
    make_collection: MakeCollection, frames_of: FramesOf, monkeypatch: pytest.MonkeyPatch
) -> None:
    stock = Stock(make_collection, 20, 9)
    public = sorted(slug for slug, entry in stock.entries.items() if not entry.is_draft)
    followed = frames_of(stock.now)
    assert len(followed.products) == len(public)
    slugs = rows_made(monkeypatch)
    stock.edit(public[3])
    followed = followed.followed_by(stock.now)  # nobody asks for these
    stock.edit(public[5])
    stock.remove(public[8])
    followed = followed.followed_by(stock.now)
    assert slugs == []
    assert len(followed.products) == len(public) - 1 and slugs == [public[3], public[5]]
    slugs.clear()
    assert len(followed.followed_by(stock.now).products) == len(public) - 1 and slugs == []
    assert set(followed.figures["slug"]) <= set(slugs) == set(public) - {public[8]}


def test_what_is_narrowed_stays_in_the_table_that_narrowed_it(
    make_collection: MakeCollection, frames_of: FramesOf
) -> None:
    stock = Stock(make_collection, 20, 11)
    whole = frames_of(stock.now)
    compared(whole, frames_of(stock.now), ("components", "figures"))
    narrow = whole.narrowed(whole.products.iloc[:4].reset_index(drop=True))
    assert list(narrow.products["slug"]) == sorted(whole.products["slug"])[:4]
    assert narrow.components is whole.components and narrow.figures is whole.figures
    compared(narrow, frames_of(stock.now), ("ports",))  # made by it, of all entries
    compared(whole, frames_of(stock.now))
    stock.edit(sorted(whole.products["slug"])[2])
    stock.remove(sorted(whole.products["slug"])[6])
    for later in (whole.followed_by(stock.now), narrow.followed_by(stock.now)):
        compared(later, frames_of(stock.now))


def test_a_table_of_some_products_leaves_the_others_where_they_are(
    make_collection: MakeCollection, frames_of: FramesOf, own_table: Definition
) -> None:
    stock = Stock(make_collection, 20, 13)
    followed = frames_of(stock.now)
    for _ in range(3):
        anew = frames_of(stock.now)
        assert own_table.build(followed) == own_table.build(anew)
        assert 0 < own_table.build(anew).n < len(anew.products)
        compared(followed, anew)
        stock.change(most=4)
        followed = followed.followed_by(stock.now)


@pytest.fixture
def own_table() -> Definition:
    """A table of a knowledge base's own that counts some products alone."""
    from lidoff.trends.own_tables import definitions

    own = {"some": {"rows": "protocol", "columns": "connector", "where": {"tier": ["46-67 W", "68-100 W"]}}}
    return definitions(own)["some"]
