"""Which controllers do which work, and which of them go together."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from lidoff.rows.positions import NOT_IDENTIFIED, SPECIAL_WORDS
from lidoff.trends.counting import Axis, Heading, count
from lidoff.trends.dimensions import DIMENSIONS, facts, subjects
from lidoff.trends.frames import Frames
from lidoff.trends.table import Table, counted
from lidoff.trends.tally import most_used_first

if TYPE_CHECKING:
    import pandas as pd

# column of the table -> dimension that holds its controllers
FUNCTIONS = {
    "PFC": "pfc_controller",
    "primary": "primary_controller",
    "rectifier": "sync_rectifier_controller",
    "per port": "per_port_controller",
    "protocol": "protocol_controller",
    "sharing": "sharing_controller",
}
WITHOUT_PART = set(SPECIAL_WORDS) - {NOT_IDENTIFIED}


def controllers(frames: Frames) -> Table:
    """Parts that control something, by what they control; the most used first."""
    import pandas as pd

    lines = pd.concat(
        [recorded(frames, field).assign(column=label) for label, field in FUNCTIONS.items()], ignore_index=True
    )
    rows = Axis(
        "controller", _most_used_first(lines), subjects(frames, DIMENSIONS["primary_controller"], set(lines["row"]))
    )
    without = frames.products["slug"].nunique() - lines["slug"].nunique()
    notes = (
        "A product counts once in each row and column, and once in every total.",
        *((f"No controller is recorded of {counted(without, 'further product')}.",) if without else ()),
    )
    description = (
        "Number of products by controller (rows, maker and part number) and by what it controls (columns). A guess or "
        "a claim of the brand counts as not identified."
    )
    heading = Heading("controllers", "Controllers by what they control", description, notes)
    return count(frames, lines, rows, Axis("function", tuple(FUNCTIONS)), heading, with_shares=False)


def controller_pairs(frames: Frames) -> Table:
    """Which synchronous rectifier controller was found beside which primary controller."""
    import pandas as pd

    primary, rectifier = (recorded(frames, FUNCTIONS[function]) for function in ("primary", "rectifier"))
    pairs = primary.merge(rectifier, on="slug", suffixes=("_primary", "_rectifier"))
    pairs = pairs[(pairs["row_primary"] != NOT_IDENTIFIED) & (pairs["row_rectifier"] != NOT_IDENTIFIED)]
    lines = pd.DataFrame(
        {
            "slug": pairs["slug"],
            "row": [
                f"{first} with {second}"
                for first, second in zip(pairs["row_primary"], pairs["row_rectifier"], strict=True)
            ],
            "column": "products",
        }
    )
    description = "Number of products by pair of primary and synchronous rectifier controller, both identified."
    heading = Heading("controller-pairs", "Rectifier controllers beside primary controllers", description)
    rows = Axis("primary controller with rectifier controller", _most_used_first(lines))
    return replace(count(frames, lines, rows, Axis("", ("products",)), heading, with_shares=False), kind="list")


def recorded(frames: Frames, dimension: str) -> pd.DataFrame:
    """One line a product and controller, without the words that say why there is none."""
    lines = facts(frames, DIMENSIONS[dimension]).rename(columns={"word": "row"})
    return lines[~lines["row"].isin(WITHOUT_PART)]


def identified(words: Iterable[str]) -> list[str]:
    """The words that name a controller which was identified."""
    return [word for word in words if word not in WITHOUT_PART and word != NOT_IDENTIFIED]


def _most_used_first(lines: pd.DataFrame) -> tuple[str, ...]:
    return most_used_first(lines.groupby("row")["slug"].nunique().to_dict())
