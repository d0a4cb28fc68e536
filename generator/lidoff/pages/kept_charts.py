"""Charts of earlier builds, taken again where nothing that they draw has changed: drawing one takes longer than a page."""

from dataclasses import asdict
from pathlib import Path

import msgspec

from lidoff.cache.code_version import code_version
from lidoff.cache.store import Store
from lidoff.examination.desk import digest
from lidoff.pages.trend_tables import Trends
from lidoff.trends.canvas import Drawing
from lidoff.trends.charts import draw_chart, has_chart
from lidoff.trends.formats import as_json

FOLDER = ".lidoff/cache/charts"
_PACKAGE = Path(__file__).resolve().parents[1]
# what decides how a chart looks, given its numbers
_RESTS_ON = ("trends", "figures", "engineering", "pages/addresses.py")


def kept_chart(trends: Trends, name: str, root: str, base: Path) -> Drawing | None:
    """The chart of a table, or None where it has none. ``root`` leads from the page to the site's base."""
    if not has_chart(name):
        return None
    table = trends.table(name)
    store = Store(base / FOLDER)
    version = code_version(*(_PACKAGE / one for one in _RESTS_ON))
    key = digest(version, root, as_json(table), trends.numbers)
    kept = store.get(key)
    if kept is not None:
        found = msgspec.msgpack.decode(kept)
        return Drawing(**found) if found else None
    drawing = draw_chart(trends.frames, table, lambda target: root + target.lstrip("/"))
    store.put(key, msgspec.msgpack.encode(asdict(drawing) if drawing else {}))
    return drawing
