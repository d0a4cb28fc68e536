"""The frames of two states that have most of their records in common: what both share is made once."""

from collections.abc import Sequence
from dataclasses import replace

import pandas as pd

from lidoff.entry import Entry
from lidoff.trends.frames import Frames, make_frames
from lidoff.trends.platforms import platforms

KINDS = ("products", "components", "ports", "figures")


def frames_before(before: Sequence[Entry], after: Sequence[Entry], later: Frames) -> Frames:
    """The frames of the earlier state; rows of entries that are the same in both are taken from the later frames."""
    now = {entry.slug: entry for entry in after}
    same = {entry.slug for entry in before if entry.slug in now and _is_same(entry, now[entry.slug])}
    fresh = make_frames([entry for entry in before if entry.slug not in same], later.tiers_w)
    frames = {kind: _joined(getattr(later, kind), getattr(fresh, kind), same) for kind in KINDS}
    # what counts as one design rests on all products at once
    designs = platforms(sorted(before, key=lambda entry: entry.slug))
    named = [designs[slug] for slug in frames["products"]["slug"]]
    for place, column in enumerate(("platform", "platform_basis")):
        frames["products"][column] = pd.Series([design[place] for design in named], dtype="object")
    return replace(later, **frames)


def only_shared(earlier: Frames, later: Frames) -> Frames:
    """The columns that hold the same in both states; of a frame with other rows none does."""
    return replace(later, **{kind: _shared(getattr(earlier, kind), getattr(later, kind)) for kind in KINDS})


def is_whole(shared: Frames, later: Frames) -> bool:
    """Whether nothing differs."""
    return all(len(getattr(shared, kind).columns) == len(getattr(later, kind).columns) for kind in KINDS)


def _is_same(one: Entry, other: Entry) -> bool:
    """Whether two entries are made of the very same things; those that are merely equal are made anew without harm."""
    return one.record is other.record and one.figures is other.figures and one.logs is other.logs


def _joined(held: pd.DataFrame, fresh: pd.DataFrame, same: set[str]) -> pd.DataFrame:
    """The held rows of some products with the fresh ones, in the order of the slugs."""
    rows = pd.concat([held[held["slug"].isin(same)], fresh], ignore_index=True)
    return rows.sort_values("slug", kind="stable", ignore_index=True)


def _shared(earlier: pd.DataFrame, later: pd.DataFrame) -> pd.DataFrame:
    return later[[name for name in later.columns if earlier[name].equals(later[name])]]
