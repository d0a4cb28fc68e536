"""What was made of an entry is given again for that very entry, and never for another one under its slug."""

from dataclasses import replace

from lidoff.entry import Entry
from lidoff.pages.context import make_context
from lidoff.pages.of_entries import OfEntries
from lidoff.settings import Settings


def test_a_thing_is_made_once_for_each_name_and_entry(full_entry: Entry, second_entry: Entry) -> None:
    known, made = OfEntries(), []

    def make(entry: Entry) -> list[str]:
        made.append(entry.slug)
        return [entry.title]

    first = known.of(full_entry, "title", make)
    assert first == ["Fernhollow FH-65"] and known.of(full_entry, "title", make) is first
    assert known.of(second_entry, "title", make) == ["Wexmoor WX-60"]
    assert known.of(full_entry, "another", make) is not first
    assert made == ["fernhollow/fh-65", "wexmoor/wx-60", "fernhollow/fh-65"]


def test_an_entry_that_was_replaced_is_another_one_even_where_it_is_equal(full_entry: Entry) -> None:
    known = OfEntries()
    changed = replace(full_entry, record=replace(full_entry.record, demo=False))
    for entry in (full_entry, changed, replace(full_entry), full_entry):
        assert known.of(entry, "itself", lambda one: one) is entry
        assert known.of(entry, "itself", lambda one: None) is entry


def test_what_is_made_as_nothing_is_not_made_again(full_entry: Entry) -> None:
    known = OfEntries()
    assert known.of(full_entry, "none", lambda one: None) is None
    assert known.of(full_entry, "none", lambda one: one) is None


def test_what_was_made_of_an_entry_is_held_no_more_once_the_entry_is_gone(
    full_entry: Entry, second_entry: Entry, settings: Settings
) -> None:
    made: list[str] = []
    context = None
    for entries in ([full_entry, second_entry], [second_entry], [full_entry, second_entry]):
        context = make_context(entries, settings, context)
        for entry in entries:
            context.known.of(entry, "slug", lambda one: made.append(one.slug))
    assert made == ["fernhollow/fh-65", "wexmoor/wx-60", "fernhollow/fh-65"]
