"""Outputs that a device can adjust or that go beyond 20 V, among products whose ports were examined."""

from __future__ import annotations

from lidoff.rows.positions import NOT_RECORDED
from lidoff.trends.counting import Axis, Heading, axis, count
from lidoff.trends.dimensions import DIMENSIONS, facts
from lidoff.trends.frames import Frames
from lidoff.trends.table import Table, counted

WORDS = ("pps", "spr-avs", "epr", "epr-avs", "ufcs")
NO_SUCH = "none of these"


def adjustable_outputs(frames: Frames) -> Table:
    """Products by adjustable or extended output and power tier; without those whose protocols are not recorded."""
    import pandas as pd

    spoken = facts(frames, DIMENSIONS["protocol"])
    examined = spoken[spoken["word"] != NOT_RECORDED]
    having = examined[examined["word"].isin(WORDS)]
    without = examined.drop_duplicates("slug")[["slug"]]
    without = without[~without["slug"].isin(having["slug"])].assign(word=NO_SUCH)
    tiers = facts(frames, DIMENSIONS["tier"]).rename(columns={"word": "column"})
    lines = pd.concat([having, without], ignore_index=True).rename(columns={"word": "row"}).merge(tiers, on="slug")
    left_out = frames.products["slug"].nunique() - lines["slug"].nunique()
    description = (
        "Products by adjustable or extended output (rows) and power tier (columns), among those whose ports were "
        "examined for the protocols that they speak. Labels that promise one are not counted."
    )
    notes = (
        "A product counts once in each row and column, and once in every total.",
        *((f"The protocols of {counted(left_out, 'further product')} are not recorded.",) if left_out else ()),
    )
    heading = Heading("adjustable-by-tier", "Adjustable and extended outputs by power tier", description, notes)
    return count(
        frames, lines, Axis("output", (*WORDS, NO_SUCH)), axis(frames, DIMENSIONS["tier"], lines["column"]), heading
    )


def adjustable_words(protocols: tuple[str, ...]) -> tuple[str, ...]:
    """The rows of one product by the words of what it speaks; none where its ports were not examined."""
    if NOT_RECORDED in protocols:
        return ()
    return tuple(word for word in WORDS if word in protocols) or (NO_SUCH,)
