"""What products add to a table one by one gives the very lines that are made of all of them at once."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from itertools import product as pairs
from pathlib import Path
from random import Random

import pytest

from lidoff.entry import Entry
from lidoff.figures.figure import Figures
from lidoff.impact.tables import exchanges
from lidoff.pipeline import examine_all
from lidoff.rows.tiers import tier_labels
from lidoff.settings import read_settings
from lidoff.trends.formats import lines_with_totals
from lidoff.trends.frames import make_frames
from lidoff.trends.own_tables import definitions
from lidoff.trends.tally import product_of

CONFIG = Path(__file__).resolve().parents[2] / "mkdocs.yml"
TIERS_W = (20.0, 33.0, 45.0, 67.0, 100.0)
OWN = {
    "plugs-by-brand": {"rows": "plug_system", "columns": "brand"},
    "protocols-of-some": {"rows": "protocol", "columns": "connector", "where": {"tier": ["46-67 W", "34-45 W"]}},
    "energy": {"rows": "thermal_path", "figure": "stored_energy_j", "where": {"port_count": [1, 2]}},
    "efficiency": {"rows": "year", "figure": "average_efficiency_pct"},
}


@pytest.fixture(scope="module")
def published() -> tuple[Entry, ...]:
    return tuple(entry for entry in examine_all(read_settings(CONFIG)).entries if not entry.is_draft)


def _poorer(entry: Entry, random: Random) -> Entry:
    """An entry of which some statements and figures are missing."""
    record = entry.record
    left_out: dict[str, object] = {
        name: None for name in ("conversion", "coverage", "label", "teardown") if random.random() < 0.3
    }
    if random.random() < 0.5:
        spoken = random.choice([None, ()])
        left_out["ports"] = tuple(replace(port, protocols=spoken, other_protocols=()) for port in record.ports)
    items = tuple(figure for figure in entry.figures if random.random() < 0.8)
    product = record.product if random.random() < 0.6 else replace(record.product, rated_power_w=None, launched=None)
    return replace(entry, record=replace(record, product=product, **left_out), figures=Figures(items))


def _cases(published: Sequence[Entry]) -> list[list[Entry]]:
    random = Random(41)
    return [
        list(published), [], list(published[:1]),
        *(random.sample(published, size) for size in (2, 5, 11)),
        *([_poorer(entry, random) for entry in published] for _ in range(3)),
    ]  # fmt: skip


@pytest.mark.parametrize("case", range(9))
def test_lines_of_a_tally_are_those_of_the_table(case: int, published: tuple[Entry, ...]) -> None:
    entries = _cases(published)[case]
    frames, tiers = make_frames(entries, TIERS_W), tier_labels(TIERS_W)
    products = [product_of(entry, TIERS_W) for entry in entries]
    by_slug = {one.entry.slug: one for one in products}
    for name, definition in definitions(OWN).items():
        counts = Counter(item for product in products for item in definition.tally.items(product))
        if name == "substitutions":
            counts.update(exchanges(by_slug, by_slug))
        assert definition.tally.lines(counts, tiers) == lines_with_totals(definition.build(frames)), name


def test_the_cases_hold_what_can_be_mistaken(published: tuple[Entry, ...]) -> None:
    everything = [product_of(entry, TIERS_W) for case in _cases(published) for entry in case]
    assert {None} < {product.row["year"] for product in everything}
    assert {None, ()} & {product.row["protocol"] for product in everything} == {None, ()}
    assert {product.row["topology"] for product in everything} > {None}
    revised = [one for one in published if one.record.product.revision_of]
    assert any(old.slug == new.record.product.revision_of for old, new in pairs(published, revised))
