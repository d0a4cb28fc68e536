"""Every fixed table and its totals recomputed by DuckDB from the exported JSON of the products, by SQL of its own."""

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import duckdb
import pytest

from lidoff.entry import Entry
from lidoff.trends.exports import product_json
from lidoff.trends.frames import Frames
from lidoff.trends.table import Table
from lidoff.trends.tables import FIXED, build_table

TIER = """
    CASE WHEN power IS NULL THEN 'unknown' WHEN power <= 20 THEN 'up to 20 W' WHEN power <= 33 THEN '21-33 W'
         WHEN power <= 45 THEN '34-45 W' WHEN power <= 67 THEN '46-67 W' WHEN power <= 100 THEN '68-100 W'
         WHEN power <= 140 THEN '101-140 W' WHEN power <= 240 THEN '141-240 W' ELSE 'over 240 W' END
"""
COLUMNS = {
    "slug": "VARCHAR", "year": "INTEGER", "figures": "STRUCT(id VARCHAR, value DOUBLE)[]",
    "record": """STRUCT(
        status VARCHAR, product STRUCT(brand VARCHAR, rated_power_w DOUBLE, launched INTEGER, revision_of VARCHAR),
        teardown STRUCT(date VARCHAR),
        coverage STRUCT(parts VARCHAR, boards VARCHAR, hidden_by VARCHAR[]),
        conversion STRUCT("primary" VARCHAR, pfc VARCHAR, secondary VARCHAR, per_port VARCHAR),
        label STRUCT(manufacturer VARCHAR), boards STRUCT(silkscreen VARCHAR)[],
        ports STRUCT(protocols VARCHAR[], other_protocols VARCHAR[], label STRUCT(kind VARCHAR, voltage_v DOUBLE)[])[],
        components STRUCT(roles VARCHAR[], technology VARCHAR, identified_by VARCHAR, strength VARCHAR, maker VARCHAR,
                          part_number VARCHAR)[])""",
}  # fmt: skip
VIEWS = f"""
CREATE TABLE joined AS
    WITH published AS (SELECT slug, record FROM exported WHERE record.status = 'published'),
         pairs AS (
             SELECT slug AS a, 'design ' || record.label.manufacturer || ' / ' || record.boards[1].silkscreen AS b
             FROM published WHERE record.label.manufacturer IS NOT NULL
             UNION SELECT slug, record.product.revision_of FROM published WHERE record.product.revision_of IS NOT NULL)
    SELECT a, b FROM pairs UNION SELECT b, a FROM pairs;
CREATE TABLE families AS
    WITH RECURSIVE reached AS (
        SELECT slug, slug AS node FROM exported
        UNION SELECT reached.slug, joined.b FROM reached JOIN joined ON joined.a = reached.node)
    SELECT slug, min(node) AS platform FROM reached GROUP BY slug;
CREATE VIEW products AS SELECT slug, record.product.rated_power_w AS power, {TIER} AS tier, record, figures,
    coalesce(record.product.launched, CAST(record.teardown.date[:4] AS INTEGER))::VARCHAR AS year,
    record.product.brand AS brand,
    platform
    FROM exported JOIN families USING (slug) WHERE record.status = 'published';
CREATE VIEW parts AS SELECT slug, unnest(record.components, recursive := false) AS part FROM products;
CREATE VIEW switches AS SELECT slug,
    CASE WHEN part.technology IS NULL OR part.technology = 'undetermined'
              OR part.identified_by IS NOT DISTINCT FROM 'brand-claim'
         THEN NULL ELSE split_part(part.technology, '-', 1) END AS family
    FROM parts WHERE list_contains(part.roles, 'primary-switch');
CREATE VIEW technology AS
    WITH summed AS (SELECT slug, count(DISTINCT family) AS families, min(family) AS one,
                           count(*) AS all_parts, count(family) AS known
                    FROM switches GROUP BY slug)
    SELECT products.slug, CASE
        WHEN summed.families > 1 THEN 'mixed'
        WHEN summed.families = 1 AND known = all_parts
            THEN CASE one WHEN 'gan' THEN 'GaN' WHEN 'sic' THEN 'SiC' ELSE one END
        WHEN all_parts IS NOT NULL THEN 'undetermined'
        WHEN record.coverage.parts IN ('main', 'every') THEN 'undetermined'
        ELSE 'not recorded' END AS word
    FROM products LEFT JOIN summed USING (slug);
CREATE VIEW controller AS SELECT slug, CASE
        WHEN part.part_number IS NULL OR part.strength IS NOT DISTINCT FROM 'guess'
             OR part.identified_by IS NOT DISTINCT FROM 'unidentified'
             OR part.identified_by IS NOT DISTINCT FROM 'brand-claim'
            THEN 'not identified'
        WHEN part.maker IS NULL THEN part.part_number || ' (maker unknown)'
        ELSE part.maker || ' ' || part.part_number END AS word,
    unnest(list_transform(list_filter(
        [('pfc-controller', 'PFC'), ('primary-controller', 'primary'), ('sync-rectifier-controller', 'rectifier'),
         ('dc-dc-controller', 'per port'), ('dc-dc-converter', 'per port'), ('protocol-controller', 'protocol'),
         ('power-sharing-controller', 'sharing')],
        lambda pair: list_contains(part.roles, pair[1])), lambda pair: pair[2])) AS work
    FROM parts;
CREATE VIEW spoken AS
    WITH heard AS (
        SELECT slug, unnest(list_concat(coalesce(port.protocols, []), coalesce(port.other_protocols, []))) AS word
        FROM (SELECT slug, unnest(record.ports) AS port FROM products))
    SELECT slug, word FROM heard
    UNION SELECT slug, CASE WHEN list_bool_and(list_transform(record.ports, lambda port: port.protocols IS NOT NULL))
                            THEN 'none' ELSE 'not recorded' END
    FROM products WHERE slug NOT IN (SELECT slug FROM heard);
CREATE VIEW named_makers AS SELECT slug, CASE
        WHEN part.maker IS NULL OR part.strength IS NOT DISTINCT FROM 'guess'
             OR part.identified_by IS NOT DISTINCT FROM 'unidentified'
             OR part.identified_by IS NOT DISTINCT FROM 'brand-claim' THEN 'not identified' ELSE part.maker END AS word,
    unnest(list_transform(list_filter(
        [('pfc-controller', 'PFC control'), ('primary-controller', 'primary control'),
         ('primary-switch', 'primary switch'), ('sync-rectifier-controller', 'rectifier control'),
         ('sync-rectifier', 'rectifier switch'), ('dc-dc-controller', 'per-port control'),
         ('dc-dc-converter', 'per-port control'), ('protocol-controller', 'protocol control'),
         ('bulk-capacitor', 'bulk capacitor')],
        lambda pair: list_contains(part.roles, pair[1])), lambda pair: pair[2])) AS work
    FROM parts;
CREATE VIEW printed AS
    WITH offers AS (SELECT slug, unnest(port.label) AS offer
                    FROM (SELECT slug, unnest(record.ports) AS port FROM products))
    SELECT DISTINCT slug, CASE offer.kind WHEN 'fixed' THEN printf('%g V', offer.voltage_v) ELSE upper(offer.kind) END AS word
    FROM offers
    UNION SELECT slug, 'not recorded' FROM products WHERE slug NOT IN (SELECT slug FROM offers);
CREATE VIEW adopted AS
    SELECT slug, 'protocols examined' AS word FROM spoken WHERE word <> 'not recorded'
    UNION SELECT slug, unnest(CASE word WHEN 'pps' THEN ['PPS'] WHEN 'spr-avs' THEN ['AVS'] WHEN 'epr' THEN ['EPR']
                              WHEN 'epr-avs' THEN ['AVS', 'EPR'] ELSE [] END) FROM spoken
    UNION SELECT slug, 'primary switch determined' FROM technology WHERE word IN ('GaN', 'silicon', 'SiC', 'mixed')
    UNION SELECT slug, 'GaN primary switch' FROM technology WHERE word = 'GaN';
CREATE VIEW margin AS
    WITH listed AS (SELECT slug, unnest(figures, recursive := true) FROM products)
    SELECT measured.slug, measured.value - minimum.value AS value
    FROM listed AS measured JOIN listed AS minimum USING (slug)
    WHERE measured.id = 'average_efficiency_pct' AND minimum.id = 'efficiency_limit_pct';
"""
# each gives the lines slug, row, column
LINES = {
    "technology-by-tier": "SELECT slug, word AS r, tier AS c FROM products JOIN technology USING (slug)",
    "technology-by-year": """SELECT slug, word AS r, coalesce(products.year, 'unknown') AS c
                             FROM products JOIN technology USING (slug)""",
    "topology-by-tier": """SELECT slug, coalesce(record.conversion."primary", 'not recorded') AS r, tier AS c
                           FROM products""",
    "pfc-by-tier": "SELECT slug, coalesce(record.conversion.pfc, 'not recorded') AS r, tier AS c FROM products",
    "protocols-by-tier": "SELECT slug, word AS r, tier AS c FROM products JOIN spoken USING (slug)",
    "controllers": "SELECT slug, word AS r, work AS c FROM controller",
}
FURTHER_LINES = {
    "topology-by-year": """SELECT slug, coalesce(record.conversion."primary", 'not recorded') AS r,
                           coalesce(year, 'unknown') AS c FROM products""",
    "secondary-by-tier": """SELECT slug, coalesce(record.conversion.secondary, 'not recorded') AS r, tier AS c
                            FROM products""",
    "per-port-by-tier": "SELECT slug, coalesce(record.conversion.per_port, 'not recorded') AS r, tier AS c FROM products",
    "voltage-steps-by-tier": "SELECT slug, word AS r, tier AS c FROM products JOIN printed USING (slug)",
    "makers-by-function": "SELECT slug, word AS r, work AS c FROM named_makers",
    "adoption-by-year": """SELECT slug, word AS r, coalesce(products.year, 'unknown') AS c
                           FROM products JOIN adopted USING (slug)""",
}
ALL_LINES = {**LINES, **FURTHER_LINES}
FIGURES = {"density-by-tier": "power_density_w_per_cm3", "bulk-by-tier": "bulk_uf_per_w"}
# table -> lines of slug, group and value
VALUES = {
    **{name: f"""
        SELECT products.slug, tier AS word, figure.value FROM products
        LEFT JOIN (SELECT slug, unnest(figures) AS figure FROM products) AS listed
        ON listed.slug = products.slug AND figure.id = '{figure}'""" for name, figure in FIGURES.items()},
    "density-by-year": """
        SELECT products.slug, coalesce(year, 'unknown') AS word, figure.value FROM products
        LEFT JOIN (SELECT slug, unnest(figures) AS figure FROM products) AS listed
        ON listed.slug = products.slug AND figure.id = 'power_density_w_per_cm3'""",
    "bulk-by-pfc": """
        SELECT products.slug, coalesce(record.conversion.pfc, 'not recorded') AS word, figure.value FROM products
        LEFT JOIN (SELECT slug, unnest(figures) AS figure FROM products) AS listed
        ON listed.slug = products.slug AND figure.id = 'bulk_uf_per_w'""",
    "pfc-onset": "SELECT slug, coalesce(record.conversion.pfc, 'not recorded') AS word, power AS value FROM products",
    "efficiency-margin-by-tier": "SELECT products.slug, tier AS word, value FROM products LEFT JOIN margin USING (slug)",
}  # fmt: skip
SPREAD = """count(DISTINCT slug), count(value), min(value),
    CASE WHEN count(value) >= 5 THEN quantile_cont(value, 0.25) END, quantile_cont(value, 0.5),
    CASE WHEN count(value) >= 5 THEN quantile_cont(value, 0.75) END, max(value)"""


@pytest.fixture(scope="module")
def entries(make_collection: Callable[[int, int], tuple[Entry, ...]]) -> tuple[Entry, ...]:
    return make_collection(240, 20261)


@pytest.fixture(scope="module")
def frames(entries: tuple[Entry, ...], frames_of: Callable[[Sequence[Entry]], Frames]) -> Frames:
    return frames_of(entries)


@pytest.fixture(scope="module")
def database(
    entries: tuple[Entry, ...], tmp_path_factory: pytest.TempPathFactory
) -> Iterator[duckdb.DuckDBPyConnection]:
    folder: Path = tmp_path_factory.mktemp("exported")
    for entry in entries:
        (folder / f"{entry.slug.replace('/', '-')}.json").write_text(product_json(entry), encoding="utf-8")
    columns = ", ".join(f"{name}: '{form}'" for name, form in COLUMNS.items())
    with duckdb.connect() as connection:
        connection.execute(
            f"CREATE TABLE exported AS SELECT * FROM read_json('{folder}/*.json', columns = {{{columns}}})"
        )
        connection.execute(VIEWS)
        yield connection


def test_the_fixed_tables_are_all_recomputed() -> None:
    assert {definition.name for definition in FIXED} == LINES.keys() | FIGURES.keys()


@pytest.mark.parametrize("name", ALL_LINES)
def test_a_table_of_counts(database: duckdb.DuckDBPyConnection, frames: Frames, name: str) -> None:
    table = build_table(frames, name)
    assert cells(table) == {
        (row, column): count
        for row, column, count in query(database, name, "r, c, count(DISTINCT slug)", "GROUP BY r, c")
    }
    assert totals(table.rows, table.row_totals) == dict(query(database, name, "r, count(DISTINCT slug)", "GROUP BY r"))
    columns = {column: total for column, total in zip(table.columns, table.column_totals, strict=True) if total}
    assert columns == dict(query(database, name, "c, count(DISTINCT slug)", "GROUP BY c"))
    counted = "count(DISTINCT slug), count(DISTINCT brand), count(DISTINCT platform)"
    assert query(database, name, counted, "") == [(table.n, table.brands, table.platforms)]


@pytest.mark.parametrize("name", ["technology-by-tier", "topology-by-tier", "protocols-by-tier"])
def test_the_platforms_behind_a_share(database: duckdb.DuckDBPyConnection, frames: Frames, name: str) -> None:
    table = build_table(frames, name)
    found = {
        (row.label, column): cell.share
        for row in table.rows
        for column, cell in zip(table.columns, row.cells, strict=True)
    }
    in_column = dict(query(database, name, "c, count(DISTINCT platform)", "GROUP BY c"))
    in_cell = {
        (row, column): count
        for row, column, count in query(database, name, "r, c, count(DISTINCT platform)", "GROUP BY r, c")
    }
    assert any(share is not None for share in found.values())
    for (row, column), share in found.items():
        enough = in_column.get(column, 0) >= 10
        expected = (in_cell.get((row, column), 0), in_column[column]) if enough else None
        assert (share and (share.platforms, share.of_platforms)) == expected, (row, column)


@pytest.mark.parametrize("name", VALUES)
def test_a_table_of_values(database: duckdb.DuckDBPyConnection, frames: Frames, name: str) -> None:
    table, values = build_table(frames, name), VALUES[name]
    by_word = {
        row[0]: row[1:] for row in database.execute(f"SELECT word, {SPREAD} FROM ({values}) GROUP BY word").fetchall()
    }
    assert by_word.keys() <= {row.label for row in table.rows}
    for row, total in zip(table.rows, table.row_totals, strict=True):
        found = tuple(cell.value for cell in row.cells)
        assert found == pytest.approx(by_word.get(row.label, (0, 0, None, None, None, None, None)), nan_ok=False), (
            row.label
        )
        assert total == found[1]
    assert table.column_totals == pytest.approx(database.execute(f"SELECT {SPREAD} FROM ({values})").fetchone())
    assert table.n == table.column_totals[1]


def test_the_years_in_which_controllers_were_seen(database: duckdb.DuckDBPyConnection, frames: Frames) -> None:
    dated = """SELECT word, min(year)::INTEGER, max(year)::INTEGER, count(DISTINCT slug)
               FROM controller JOIN products USING (slug)
               WHERE word <> 'not identified' AND year IS NOT NULL GROUP BY word"""
    found = {
        row.label: tuple(cell.value for cell in row.cells[1:]) for row in build_table(frames, "controller-years").rows
    }
    assert found == {word: tuple(rest) for word, *rest in database.execute(dated).fetchall()}
    assert found


def test_the_platforms_behind_adoption(database: duckdb.DuckDBPyConnection, frames: Frames) -> None:
    table = build_table(frames, "adoption-by-year")
    counted = {
        (row, column): count
        for row, column, count in query(database, table.name, "r, c, count(DISTINCT platform)", "GROUP BY r, c")
    }
    bases = {"PPS": "protocols examined", "AVS": "protocols examined", "EPR": "protocols examined",
             "GaN primary switch": "primary switch determined"}  # fmt: skip
    shares = [
        (offer, base, year, table.cell(offer, year).share) for offer, base in bases.items() for year in table.columns
    ]
    assert any(share for *_, share in shares)
    for offer, base, year, share in shares:
        of = counted.get((base, year), 0)
        expected = (counted.get((offer, year), 0), of) if of >= 10 else None
        assert (share and (share.platforms, share.of_platforms)) == expected, (offer, year)


def query(database: duckdb.DuckDBPyConnection, name: str, what: str, grouped: str) -> list[tuple]:
    lines = f"SELECT lines.*, brand, platform FROM ({ALL_LINES[name]}) AS lines JOIN products USING (slug)"
    return database.execute(f"SELECT {what} FROM ({lines}) {grouped}").fetchall()


def cells(table: Table) -> dict[tuple[str, str], int]:
    return {
        (row.label, column): cell.value
        for row in table.rows
        for column, cell in zip(table.columns, row.cells, strict=True)
        if cell.value
    }


def totals(rows: Sequence, counts: Sequence[int]) -> dict[str, int]:
    return {row.label: count for row, count in zip(rows, counts, strict=True) if count}
