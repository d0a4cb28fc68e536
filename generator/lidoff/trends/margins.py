"""How far measured average efficiency lies above the published minimum, where it can be judged at all."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lidoff.trends.frames import Frames
from lidoff.trends.spread import CORNER

if TYPE_CHECKING:
    import pandas as pd

HOW_IT_IS_JUDGED = (
    "One value a product: measured average efficiency less the published minimum at the same port, mains and voltage, "
    "the smallest where several were judged. Not judged, and not counted, is what was not measured as the test "
    "procedure asks. One unit each, each reviewer's own instruments: no compliance test."
)


def margins(frames: Frames) -> pd.DataFrame:
    """Average efficiency less its published minimum [percentage points], one line a product that was judged."""
    figures = frames.figures.dropna(subset=["value"])
    average, limit = (
        figures[figures["figure"] == name][["slug", *CORNER, "value"]]
        for name in ("average_efficiency_pct", "efficiency_limit_pct")
    )
    judged = average.merge(limit, on=["slug", *CORNER], suffixes=("_measured", "_limit"))
    judged["value"] = judged["value_measured"] - judged["value_limit"]
    return judged.groupby("slug", sort=True, as_index=False)["value"].min()
