"""What is said and drawn of a product whose size is not known, and of one among more than there is room for."""

from collections.abc import Callable
from dataclasses import replace

from lidoff.figures.assumptions import read_assumptions
from lidoff.figures.derive import derive
from lidoff.narration.cards.density import MOST, _rows
from lidoff.narration.line import Subject
from lidoff.narration.placing import Placing
from lidoff.narration.plans.compares import lines


def test_a_product_whose_size_is_not_known_says_so_and_why_it_has_no_density(
    subject: Callable[[str], Subject],
) -> None:
    known = subject("fernhollow/fh-65")
    record = replace(known.entry.record, measured=None)
    entry = replace(known.entry, record=record, figures=derive(record, read_assumptions({})))
    said = {line.key: line for line in lines(replace(known, entry=entry))}
    assert "compares/no-size" in said and "compares/size" not in said
    assert said["compares/no-density"].values["reason"]
    assert not {key for key in said if key.startswith(("compares/density", "compares/mass"))}


def test_a_product_among_few_of_its_tier_has_its_density_and_no_place(subject: Callable[[str], Subject]) -> None:
    known = subject("fernhollow/fh-65")
    keys = {line.key for line in lines(replace(known, fellows=(known.entry,)))}
    assert "compares/density" in keys and "compares/size" in keys


def test_the_densest_the_least_dense_and_the_neighbours_are_drawn_where_all_would_be_too_many() -> None:
    values = tuple((f"P{place}", 2.0 - place / 100) for place in range(40))
    for place in range(40):
        rows = _rows(Placing("45-67 W", values, place), f"P{place}")
        assert len(rows) == MOST and rows == sorted(rows, key=lambda one: -one[1])
        assert rows[0] == values[0] and rows[-1] == values[-1]
        assert {values[at] for at in (place - 1, place, place + 1) if 0 <= at < 40} <= set(rows)
    assert _rows(Placing("45-67 W", values[:MOST], 0), "P0") == list(values[:MOST])
