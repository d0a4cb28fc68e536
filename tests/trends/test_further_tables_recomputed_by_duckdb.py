"""The tables that need whole records, recomputed by DuckDB from the demo's exported JSON, by SQL of its own."""

from collections.abc import Iterator
from pathlib import Path

import duckdb
import pytest
from tests.trends.test_tables_recomputed_by_duckdb import ALL_LINES, COLUMNS, SPREAD, TIER, VALUES, cells

from lidoff.entry import Entry
from lidoff.pipeline import prepare
from lidoff.settings import read_settings
from lidoff.trends.exports import product_json
from lidoff.trends.frames import Frames, make_frames
from lidoff.trends.tables import TABLES, build_table

ROOT = Path(__file__).resolve().parents[2]
POINT = """STRUCT(mains_v DOUBLE, port VARCHAR, output_v DOUBLE, set_v DOUBLE, output_a DOUBLE, load_pct DOUBLE,
                  load_base_a DOUBLE, input_w DOUBLE, measured_at VARCHAR, sample VARCHAR)[]"""
RECORD = f"""STRUCT(
    status VARCHAR, product STRUCT(brand VARCHAR, rated_power_w DOUBLE, launched INTEGER, revision_of VARCHAR),
    teardown STRUCT(date VARCHAR), coverage STRUCT(parts VARCHAR, boards VARCHAR, hidden_by VARCHAR[]),
    conversion STRUCT("primary" VARCHAR, pfc VARCHAR, secondary VARCHAR),
    construction STRUCT(potting STRUCT(extent VARCHAR), thermal_path STRUCT(material VARCHAR)[]),
    magnetics STRUCT(ref VARCHAR, core STRUCT(family VARCHAR))[],
    ports STRUCT(protocols VARCHAR[], other_protocols VARCHAR[])[], samples STRUCT(id VARCHAR)[],
    measured STRUCT(efficiency {POINT}),
    components STRUCT(ref VARCHAR, roles VARCHAR[], technology VARCHAR, identified_by VARCHAR, strength VARCHAR,
                      maker VARCHAR, part_number VARCHAR, control VARCHAR[])[])"""
FIGURES = """STRUCT(id VARCHAR, value DOUBLE, unit VARCHAR, "of" STRUCT(port VARCHAR, mains_v DOUBLE, mains_hz DOUBLE,
                                                                      output_v DOUBLE))[]"""
NAMED = """CASE WHEN part.part_number IS NULL OR part.strength IS NOT DISTINCT FROM 'guess'
                     OR part.identified_by IN ('unidentified', 'brand-claim') THEN 'not identified'
                WHEN part.maker IS NULL THEN part.part_number || ' (maker unknown)'
                ELSE part.maker || ' ' || part.part_number END"""
VIEWS = f"""
CREATE VIEW products AS SELECT slug, record.product.rated_power_w AS power, {TIER} AS tier, record, figures, swept_points,
    coalesce(record.product.launched, CAST(record.teardown.date[:4] AS INTEGER))::VARCHAR AS year
    FROM exported WHERE record.status = 'published';
CREATE VIEW parts AS SELECT slug, unnest(record.components, recursive := false) AS part FROM products;
CREATE VIEW seen AS SELECT slug, coalesce(record.coverage.parts IN ('every', 'main'), false) AS listed,
    coalesce(record.coverage.parts = 'every' AND record.coverage.boards = 'all'
             AND len(coalesce(record.coverage.hidden_by, [])) = 0, false) AS whole,
    coalesce(record.conversion.pfc IN ('none', 'passive'), false) AS no_pfc,
    coalesce(record.conversion.secondary = 'diode', false) AS no_rectifier
    FROM products;
CREATE VIEW stated AS SELECT slug, unnest(figures, recursive := true) FROM products;
CREATE VIEW numbers AS SELECT slug, id, CASE
        WHEN count(*) FILTER (port IS NULL AND mains_v IS NULL AND mains_hz IS NULL AND output_v IS NULL) > 0
        THEN median(value) FILTER (port IS NULL AND mains_v IS NULL AND mains_hz IS NULL AND output_v IS NULL)
        ELSE median(value) END AS value
    FROM stated WHERE value IS NOT NULL GROUP BY slug, id;
CREATE VIEW examined AS
    SELECT slug, list_distinct(flatten(list_transform(record.ports, lambda port:
        list_concat(coalesce(port.protocols, []), coalesce(port.other_protocols, []))))) AS words,
        list_bool_and(list_transform(record.ports, lambda port: port.protocols IS NOT NULL)) AS fully FROM products;
CREATE VIEW read AS
    WITH own AS (SELECT slug, 0 AS series, record.samples[1].id AS first, unnest(coalesce(record.measured.efficiency, []), recursive := true) FROM products),
         swept AS (SELECT slug, 1 AS series, record.samples[1].id AS first, unnest(swept_points, recursive := true) FROM products)
    SELECT slug, series, port, 10 * round(mains_v / 10) AS mains_v, round(coalesce(set_v, output_v)) AS step, measured_at,
           100 * output_v * output_a / input_w AS efficiency, coalesce(load_pct, 100 * output_a / load_base_a) AS load
    FROM (SELECT * FROM own UNION ALL BY NAME SELECT * FROM swept)
    WHERE coalesce(sample, first) IS NOT DISTINCT FROM first;
-- in each corner the first series that has all four loads counts, else the longest
CREATE VIEW points AS
    WITH lengths AS (
        SELECT slug, port, mains_v, step, series, count(*) AS length, bool_or(abs(load - 25) <= 2.5)
            AND bool_or(abs(load - 50) <= 2.5) AND bool_or(abs(load - 75) <= 2.5) AND bool_or(abs(load - 100) <= 2.5) AS whole
        FROM read GROUP BY ALL),
    chosen AS (SELECT * FROM lengths QUALIFY row_number() OVER (PARTITION BY slug, port, mains_v, step
               ORDER BY coalesce(whole, false) DESC, CASE WHEN whole THEN 0 ELSE length END DESC, series) = 1)
    SELECT read.* FROM read JOIN chosen USING (slug, port, mains_v, step, series)
    WHERE mains_v IN (220, 230, 240) AND measured_at IS DISTINCT FROM 'cable-end';
"""


def absent(open_word: str, stage: str = "false", is_primary: bool = False) -> str:
    """What the lack of a part means, as the page on counting says it."""
    whole = "false" if is_primary else "whole"
    return f"CASE WHEN {stage} OR {whole} THEN 'none' WHEN listed THEN '{open_word}' ELSE 'not recorded' END"


def technology(roles: str, stage: str = "false") -> str:
    return f"""
        WITH summed AS (
            SELECT slug, count(DISTINCT family) AS families, min(family) AS one, bool_and(family IS NOT NULL) AS settled
            FROM (SELECT slug, CASE WHEN part.technology <> 'undetermined' AND part.identified_by IS DISTINCT FROM 'brand-claim'
                                    THEN split_part(part.technology, '-', 1) END AS family
                  FROM parts WHERE list_has_any(part.roles, {roles})) GROUP BY slug)
        SELECT products.slug, tier AS c, CASE
            WHEN families > 1 THEN 'mixed' WHEN families = 1 AND settled
            THEN CASE one WHEN 'gan' THEN 'GaN' WHEN 'sic' THEN 'SiC' ELSE one END
            WHEN settled IS NOT NULL THEN 'undetermined' ELSE {absent("undetermined", stage)} END AS r
        FROM products JOIN seen USING (slug) LEFT JOIN summed USING (slug)"""


def fillers(roles: str, name: str, stage: str = "false") -> str:
    """The parts, or their makers, that fill one of the roles; else why there is none."""
    return f"""
        WITH found AS (SELECT DISTINCT slug, {name} AS r FROM parts WHERE list_has_any(part.roles, {roles}))
        SELECT products.slug, tier AS c, r FROM products JOIN found USING (slug)
        UNION ALL SELECT products.slug, tier, {absent("none listed", stage)} FROM products JOIN seen USING (slug)
        WHERE products.slug NOT IN (SELECT slug FROM found)"""


LINES = {
    "pfc-switch-technology-by-tier": technology("['pfc-switch']", "no_pfc"),
    "rectifier-technology-by-tier": technology("['sync-rectifier']", "no_rectifier"),
    "output-switch-technology-by-tier": technology("['vbus-switch', 'dc-dc-switch']"),
    "rectifier-controllers-by-tier": fillers("['sync-rectifier-controller']", NAMED, "no_rectifier"),
    "protocol-controllers-by-tier": fillers("['protocol-controller']", NAMED),
    "bulk-makers-by-tier": fillers("['bulk-capacitor']", "coalesce(part.maker, 'not identified')"),
    "switch-place-by-tier": f"""
        WITH placed AS (
            SELECT slug, bool_or(list_contains(part.roles, 'primary-controller') AND (list_contains(part.roles, 'primary-switch')
                                 OR list_contains(coalesce(part.control, []), 'switch-inside'))) AS inside,
                   bool_or(list_contains(part.roles, 'primary-switch')) AS apart FROM parts GROUP BY slug)
        SELECT products.slug, tier AS c, CASE WHEN inside THEN 'inside the controller' WHEN apart THEN 'separate'
                                              ELSE {absent("undetermined", is_primary=True)} END AS r
        FROM products JOIN seen USING (slug) LEFT JOIN placed USING (slug)""",
    "controller-pairs": f"""
        WITH named AS (SELECT slug, part.roles AS roles, {NAMED} AS name FROM parts)
        SELECT DISTINCT slug, one.name || ' with ' || other.name AS r, 'products' AS c
        FROM named AS one JOIN named AS other USING (slug)
        WHERE list_contains(one.roles, 'primary-controller') AND list_contains(other.roles, 'sync-rectifier-controller')
              AND 'not identified' NOT IN (one.name, other.name)""",
    "core-by-tier": """
        WITH wound AS (SELECT slug, unnest(record.magnetics, recursive := false) AS item FROM products),
             cores AS (SELECT DISTINCT slug, item.core.family AS r FROM wound JOIN parts USING (slug)
                       WHERE item.core.family IS NOT NULL AND part.ref = item.ref AND list_contains(part.roles, 'transformer'))
        SELECT products.slug, tier AS c, coalesce(r, 'not recorded') AS r FROM products LEFT JOIN cores USING (slug)""",
    "potting-by-year": """SELECT slug, coalesce(year, 'unknown') AS c,
                          coalesce(record.construction.potting.extent, 'not recorded') AS r FROM products""",
    "heat-path-by-year": """
        SELECT slug, coalesce(year, 'unknown') AS c, unnest(CASE
            WHEN record.construction.thermal_path IS NULL THEN ['not recorded']
            WHEN len(record.construction.thermal_path) = 0 THEN ['none']
            ELSE list_distinct(list_transform(record.construction.thermal_path, lambda step: step.material)) END) AS r
        FROM products""",
    "adjustable-by-tier": """
        SELECT slug, tier AS c, unnest(CASE WHEN list_has_any(words, ['pps', 'spr-avs', 'epr', 'epr-avs', 'ufcs'])
            THEN list_intersect(words, ['pps', 'spr-avs', 'epr', 'epr-avs', 'ufcs']) ELSE ['none of these'] END) AS r
        FROM products JOIN examined USING (slug) WHERE len(words) > 0 OR fully""",
}  # fmt: skip
GROUPED = "SELECT products.slug, tier AS word, numbers.value FROM products LEFT JOIN numbers ON numbers.slug = products.slug AND id = "
TOPOLOGY = (
    """SELECT products.slug, coalesce(record.conversion."primary", 'not recorded') AS word, value FROM products"""
)
FURTHER_VALUES = {
    "heat-flux-by-tier": f"{GROUPED} 'heat_flux_mw_per_cm2'",
    "surface-rise-by-tier": f"{GROUPED} 'surface_rise_k'",
    "sustained-by-tier": """
        SELECT products.slug, tier AS word, 100 * most / power AS value FROM products
        LEFT JOIN (SELECT slug, max(value) AS most FROM stated WHERE id = 'sustained_power_w' GROUP BY slug) USING (slug)""",
    **{f"{name}-load-efficiency-by-topology": f"""
        WITH near AS (SELECT *, max(step) OVER (PARTITION BY slug) AS highest FROM points WHERE abs(load - {load}) <= 2.5)
        {TOPOLOGY} LEFT JOIN (SELECT slug, median(efficiency) AS value FROM near WHERE step = highest GROUP BY slug)
        USING (slug)""" for name, load in (("full", 100), ("tenth", 10))},
}  # fmt: skip
OWN_TESTS = {"price-by-currency", "substitutions", "controller-years"}
COMPARED = {
    "pfc controller": "['pfc-controller']", "primary controller": "['primary-controller']",
    "sync rectifier controller": "['sync-rectifier-controller']",
    "per port controller": "['dc-dc-controller', 'dc-dc-converter']", "protocol controller": "['protocol-controller']",
    "sharing controller": "['power-sharing-controller']", "primary switch part": "['primary-switch']",
}  # fmt: skip


@pytest.fixture(scope="module")
def demo() -> tuple[Entry, ...]:
    return tuple(prepare(read_settings(ROOT / "mkdocs.yml")).shown)


@pytest.fixture(scope="module")
def frames(demo: tuple[Entry, ...]) -> Frames:
    return make_frames(demo, read_settings(ROOT / "mkdocs.yml").tiers_w)


@pytest.fixture(scope="module")
def database(demo: tuple[Entry, ...], tmp_path_factory: pytest.TempPathFactory) -> Iterator[duckdb.DuckDBPyConnection]:
    folder: Path = tmp_path_factory.mktemp("exported-demo")
    for entry in demo:
        (folder / f"{entry.slug.replace('/', '-')}.json").write_text(product_json(entry), encoding="utf-8")
    columns = COLUMNS | {"record": RECORD, "figures": FIGURES, "swept_points": POINT}
    listed = ", ".join(f"{name}: '{form}'" for name, form in columns.items())
    with duckdb.connect() as connection:
        connection.execute(
            f"CREATE TABLE exported AS SELECT * FROM read_json('{folder}/*.json', columns = {{{listed}}})"
        )
        connection.execute(VIEWS)
        yield connection


def test_every_table_is_recomputed() -> None:
    assert TABLES.keys() == ALL_LINES.keys() | VALUES.keys() | LINES.keys() | FURTHER_VALUES.keys() | OWN_TESTS


@pytest.mark.parametrize("name", LINES)
def test_a_table_of_counts(database: duckdb.DuckDBPyConnection, frames: Frames, name: str) -> None:
    table = build_table(frames, name)
    counted = f"SELECT r, c, count(DISTINCT slug) FROM ({LINES[name]}) GROUP BY r, c"
    found = {(row, column): count for row, column, count in database.execute(counted).fetchall()}
    assert cells(table) == found != {}
    assert table.n == database.execute(f"SELECT count(DISTINCT slug) FROM ({LINES[name]})").fetchone()[0]


@pytest.mark.parametrize("name", FURTHER_VALUES)
def test_a_table_of_values(database: duckdb.DuckDBPyConnection, frames: Frames, name: str) -> None:
    table, values = build_table(frames, name), FURTHER_VALUES[name]
    by_word = {
        word: rest
        for word, *rest in database.execute(f"SELECT word, {SPREAD} FROM ({values}) GROUP BY word").fetchall()
    }
    assert by_word.keys() <= {row.label for row in table.rows}
    for row in table.rows:
        found = [cell.value for cell in row.cells]
        assert found == pytest.approx(by_word.get(row.label, [0, 0, *[None] * 5])), row.label
    assert table.column_totals == pytest.approx(database.execute(f"SELECT {SPREAD} FROM ({values})").fetchone())
    assert table.column_totals[1] > 3


def test_the_price_for_each_watt(database: duckdb.DuckDBPyConnection, frames: Frames) -> None:
    spread = SPREAD.removeprefix("count(DISTINCT slug), ")
    prices = database.execute(
        f"SELECT unit, {spread} FROM stated WHERE id = 'price_per_watt' AND value IS NOT NULL GROUP BY unit"
    )
    expected = {unit: rest for unit, *rest in prices.fetchall()}
    table = build_table(frames, "price-by-currency")
    assert {row.label for row in table.rows} == expected.keys() and len(expected) > 2
    for row in table.rows:
        assert [cell.value for cell in row.cells] == pytest.approx(expected[row.label]), row.label


def test_the_parts_exchanged_between_revisions(database: duckdb.DuckDBPyConnection, frames: Frames) -> None:
    def exchanged(function: str, roles: str, name: str) -> str:
        return f"""
            WITH held AS (SELECT slug, list_sort(list(DISTINCT {name})) AS names FROM parts
                          WHERE list_has_any(part.roles, {roles}) AND {name} <> 'not identified' GROUP BY slug)
            SELECT products.slug, old.slug, '{function}', array_to_string(old.names, ', '), array_to_string(new.names, ', ')
            FROM products JOIN held AS new USING (slug) JOIN held AS old ON old.slug = record.product.revision_of
            WHERE old.names <> new.names"""

    asked = [exchanged(function, roles, NAMED) for function, roles in COMPARED.items()]
    asked.append(exchanged("bulk capacitor maker", "['bulk-capacitor']", "part.maker"))
    expected = {row for one in asked for row in database.execute(one).fetchall()}
    found = {(row.label, *(cell.value for cell in row.cells)) for row in build_table(frames, "substitutions").rows}
    assert found == expected != set()
