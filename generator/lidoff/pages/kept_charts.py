"""Drawings of earlier builds, taken again where the chart is the same: drawing one takes longer than a page."""

from pathlib import Path

from lidoff.cache.store import Store
from lidoff.examination.desk import digest
from lidoff.pages.trend_tables import Trends
from lidoff.trends.canvas import Drawing
from lidoff.trends.charts import DRAWS, draw_chart, drawn, has_chart

FOLDER = ".lidoff/cache/charts"


def kept_chart(trends: Trends, name: str, root: str, base: Path) -> Drawing | None:
    """The chart of a table, or None where it has none. ``root`` leads from the page to the site's base."""
    if not has_chart(name):
        return None
    store = Store(base / FOLDER)

    def kept(view: str) -> str:
        key = digest(DRAWS, view)
        found = store.get(key)
        if found is not None:
            return found.decode("utf-8")
        drawing = drawn(view)
        store.put(key, drawing.encode("utf-8"))
        return drawing

    return draw_chart(trends.frames, trends.table(name), lambda target: root + target.lstrip("/"), draw=kept)
