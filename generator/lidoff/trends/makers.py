"""Which makers supply which functions: the makers of parts by what the parts do."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from lidoff.rows.positions import NOT_IDENTIFIED
from lidoff.rows.product_facts import CONTROLLERS
from lidoff.trends.counting import Axis, Heading, count
from lidoff.trends.frames import Frames
from lidoff.trends.table import Table
from lidoff.trends.tally import most_used_first

if TYPE_CHECKING:
    import pandas as pd

# column of the table -> roles that a part must have one of
FUNCTIONS = {
    "PFC control": CONTROLLERS["pfc_controller"],
    "primary control": CONTROLLERS["primary_controller"],
    "primary switch": ("primary-switch",),
    "rectifier control": CONTROLLERS["sync_rectifier_controller"],
    "rectifier switch": ("sync-rectifier",),
    "per-port control": CONTROLLERS["per_port_controller"],
    "protocol control": CONTROLLERS["protocol_controller"],
    "bulk capacitor": ("bulk-capacitor",),
}
_FUNCTION_OF = {role: function for function, roles in FUNCTIONS.items() for role in roles}


def makers_by_function(frames: Frames) -> Table:
    """Makers of parts (rows) by what their parts do (columns), the most used first."""
    lines = _lines(frames.components)
    words = most_used_first(lines.groupby("row")["slug"].nunique().to_dict())
    subjects = {word: ("maker", word) for word in words if word != NOT_IDENTIFIED}
    heading = Heading(
        "makers-by-function",
        "Makers of parts by what the parts do",
        "Number of products by maker of a part (rows) and by what the part does (columns). A guess or a claim of the "
        "brand counts as not identified.",
        ("A product counts once in each row and column, and once in every total.",),
    )
    return count(frames, lines, Axis("maker", words, subjects), Axis("function", tuple(FUNCTIONS)), heading,
                 with_shares=False)  # fmt: skip


def _lines(components: pd.DataFrame) -> pd.DataFrame:
    """One line a part and function: slug, row (its maker) and column (the function)."""
    import pandas as pd

    said = [components[name] for name in ("slug", "roles", "maker", "strength", "identified_by")]
    rows = [(slug, *found) for slug, *part in zip(*said, strict=True) for found in makers_of(*part)]
    return pd.DataFrame(rows, columns=["slug", "row", "column"], dtype="object")


def makers_of(
    roles: Sequence[str], maker: str | None, strength: str | None, identified_by: str | None
) -> list[tuple[str, str]]:
    """The maker of a part with each function that it has; what is guessed or claimed by the brand has no maker."""
    functions = dict.fromkeys([_FUNCTION_OF[role] for role in roles if role in _FUNCTION_OF])
    if not functions:
        return []
    is_known = maker and strength != "guess" and identified_by not in ("unidentified", "brand-claim")
    return [(str(maker) if is_known else NOT_IDENTIFIED, function) for function in functions]
