"""Which makers supply which functions: the makers of parts by what the parts do."""

import pandas as pd

from lidoff.trends.counting import Axis, Heading, count
from lidoff.trends.frames import Frames
from lidoff.trends.positions import NOT_IDENTIFIED
from lidoff.trends.product_facts import CONTROLLERS
from lidoff.trends.table import Table

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
    counts = lines.groupby("row")["slug"].nunique()
    words = sorted(counts.index, key=lambda word: (word == NOT_IDENTIFIED, -counts[word], word.casefold(), word))
    subjects = {word: ("maker", word) for word in words if word != NOT_IDENTIFIED}
    heading = Heading(
        "makers-by-function",
        "Makers of parts by what the parts do",
        "Number of products by maker of a part (rows) and by what the part does (columns). A guess or a claim of the "
        "brand counts as not identified.",
        ("A product counts once in each row and column, and once in every total.",),
    )
    return count(frames, lines, Axis("maker", tuple(words), subjects), Axis("function", tuple(FUNCTIONS)), heading,
                 with_shares=False)  # fmt: skip


def _lines(components: pd.DataFrame) -> pd.DataFrame:
    """One line a part and function: slug, row (its maker) and column (the function)."""
    rows = [
        (part.slug, _maker(part.maker, part.strength, part.identified_by), function)
        for part in components.itertuples()
        for function in {_FUNCTION_OF[role]: None for role in part.roles if role in _FUNCTION_OF}
    ]
    return pd.DataFrame(rows, columns=["slug", "row", "column"], dtype="object")


def _maker(maker: str | None, strength: str | None, identified_by: str | None) -> str:
    is_known = maker and strength != "guess" and identified_by not in ("unidentified", "brand-claim")
    return str(maker) if is_known else NOT_IDENTIFIED
