"""The rows kept with an examined record are those of its record and figures, and of no other record and figures."""

import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner

from lidoff.commands import check as check_command
from lidoff.commands import table
from lidoff.entry import Entry
from lidoff.figures.figure import Figures
from lidoff.narration.proof.facts import facts_of
from lidoff.pages.website import files_near
from lidoff.pipeline import check, examine_all, prepare
from lidoff.rows.product_facts import PRODUCT_COLUMNS, product_row
from lidoff.rows.record_rows import RecordRows, rows_of
from lidoff.settings import read_settings
from lidoff.trends.formats import as_csv
from lidoff.trends.frames import make_frames
from lidoff.trends.tables import TABLES

ROOT = Path(__file__).resolve().parents[2]
SETTINGS = read_settings(ROOT / "mkdocs.yml")
CONFIG = "site_name: Test base\nsite_url: https://example.org/\nplugins: [lidoff]\n"
FULL_LOAD = PRODUCT_COLUMNS.index("efficiency_full_load_pct")
SUMMED_UP = ("power_density_w_per_cm3", "bulk_uf_per_w")
TABLES_SHOWN = ("technology-by-tier", "density-by-tier", "sustained-by-tier")


@pytest.fixture(scope="module")
def entries() -> tuple[Entry, ...]:
    """Every record of the demo, drafts too."""
    return examine_all(SETTINGS).entries


def held(entry: Entry) -> Entry:
    """The same, of a record and figures that are at hand: nothing was made of them yet."""
    return Entry(entry.path, entry.slug, entry.record, entry.figures, logs=entry.logs)


def typed(value: object) -> object:
    """A value with its type, since 1, 1.0 and True are equal."""
    return (type(value), tuple(map(typed, value))) if isinstance(value, tuple) else (type(value), value)


def said(rows: RecordRows) -> object:
    return typed((rows.product, rows.design, rows.figures))


def test_rows_of_every_demo_record_are_those_of_its_record_and_figures_now(entries: tuple[Entry, ...]) -> None:
    assert len(entries) > 30
    for entry in entries:
        now = held(entry)
        assert entry.rows and not now.rows
        rows, row = rows_of(entry, SETTINGS.tiers_w), product_row(now, SETTINGS.tiers_w)
        assert typed(rows.product) == typed(tuple(row[name] for name in PRODUCT_COLUMNS)), entry.slug
        figures = [(one.id, *one.of, one.value, one.unit, one.expanded_uncertainty, one.absent) for one in now.figures]
        assert typed(rows.figures) == typed(tuple(figures)), entry.slug
        assert said(rows) == said(rows_of(now, SETTINGS.tiers_w)), entry.slug


def test_the_demo_has_values_of_every_type_in_its_rows(entries: tuple[Entry, ...]) -> None:
    """Else the test above would see no value that changed its type on the way."""
    rows = [rows_of(entry, SETTINGS.tiers_w) for entry in entries]
    products = {type(value) for one in rows for value in one.product}
    assert products == {str, float, int, bool, tuple, type(None)}
    assert any(value == () for one in rows for value in one.product)
    assert {type(value) for one in rows for row in one.figures for value in row} == {str, float, type(None)}
    assert {type(one.design) for one in rows} == {str, type(None)} and any(entry.logs for entry in entries)
    whole = [value for one in rows for value in one.product if isinstance(value, float) and value.is_integer()]
    assert whole, "a float such as 65.0 is what could come back as an int"


def with_other_record(entry: Entry) -> Entry:
    product = replace(entry.record.product, brand="Wexmoor", rated_power_w=7.0, launched=2001)
    return replace(entry, record=replace(entry.record, product=product))


def with_other_figures(entry: Entry) -> Entry:
    doubled = (one._replace(value=None if one.value is None else 2 * one.value) for one in entry.figures)
    return replace(entry, figures=Figures(tuple(doubled)))


def with_other_slug(entry: Entry) -> Entry:
    return replace(entry, slug="wexmoor/moved")


@pytest.mark.parametrize("change", [with_other_record, with_other_figures, with_other_slug])
def test_rows_that_came_with_an_entry_are_not_those_of_what_is_put_in_its_place(
    entries: tuple[Entry, ...], change: Callable[[Entry], Entry]
) -> None:
    for entry in entries:
        changed = change(entry)
        assert changed.rows == b""
        rows = rows_of(changed, SETTINGS.tiers_w)
        assert said(rows) == said(rows_of(held(changed), SETTINGS.tiers_w)) != said(rows_of(entry, SETTINGS.tiers_w))


def test_what_is_put_in_its_place_stands_in_its_rows(entries: tuple[Entry, ...]) -> None:
    entry = next(one for one in entries if one.brief.value(SUMMED_UP[0]) and one.record.product.rated_power_w)

    def row(one: Entry) -> dict[str, object]:
        return dict(zip(PRODUCT_COLUMNS, rows_of(one, SETTINGS.tiers_w).product, strict=True))

    renamed = row(with_other_record(entry))
    assert (renamed["brand"], renamed["rated_power_w"], renamed["year"]) == ("Wexmoor", 7.0, 2001)
    assert renamed["tier"] != row(entry)["tier"]
    assert row(with_other_slug(entry)) == row(entry) | {"slug": "wexmoor/moved"}
    for name in SUMMED_UP:
        assert row(with_other_figures(entry))[name] == 2 * entry.brief.value(name)


SWEEP = {
    "port": "C1", "log": "logs/sweep.csv", "mains_v": 230, "mains_hz": 50, "load_base_a": 3.25, "measured_at": "connector",
    "columns": {"load_pct": "load", "output_v": "U", "output_a": "I", "input_w": "P"},
}  # fmt: skip
FULL_LOAD_PCT = 100 * 20 * 3.25 / 70.1


def write_swept(base: Path, sample_text: str) -> Path:
    """The sample record with an efficiency that a log alone says."""
    folder = base / "entries" / "fernhollow" / "swept"
    (folder / "logs").mkdir(parents=True)
    (folder / "logs" / "sweep.csv").write_text("load;U;I;P\n10;20;0.325;7.4\n100;20;3.25;70.1\n", encoding="utf-8")
    record = yaml.safe_load(sample_text)
    record["measured"] |= {"efficiency": [], "efficiency_sweeps": [SWEEP], "charging": []}
    (folder / "record.yaml").write_text(yaml.safe_dump(record, sort_keys=False, allow_unicode=True), encoding="utf-8")
    return folder / "record.yaml"


def test_what_logs_say_is_in_the_rows_and_goes_with_the_logs(tmp_path: Path, sample_text: str) -> None:
    (tmp_path / "mkdocs.yml").write_text(CONFIG, encoding="utf-8")
    write_swept(tmp_path, sample_text)
    for _ in range(2):  # made now, then kept
        (entry,) = examine_all(read_settings(tmp_path / "mkdocs.yml")).entries
        rows = rows_of(entry, SETTINGS.tiers_w)
        assert entry.rows and rows.product[FULL_LOAD] == pytest.approx(FULL_LOAD_PCT)
        assert said(rows) == said(rows_of(held(entry), SETTINGS.tiers_w))
        assert rows_of(replace(entry, logs={}), SETTINGS.tiers_w).product[FULL_LOAD] is None


def test_a_point_without_input_power_is_told_and_gives_no_efficiency(tmp_path: Path, sample_text: str) -> None:
    folder = tmp_path / "entries" / "fernhollow" / "fh-65"
    folder.mkdir(parents=True)
    (tmp_path / "mkdocs.yml").write_text(CONFIG, encoding="utf-8")
    record = yaml.safe_load(sample_text)
    record["status"] = "draft"  # an error holds up any other record
    for row in record["measured"]["efficiency"]:
        row["input_w"] = 0
    (folder / "record.yaml").write_text(yaml.safe_dump(record, sort_keys=False, allow_unicode=True), encoding="utf-8")
    prepared = prepare(read_settings(tmp_path / "mkdocs.yml"), with_drafts=True)
    assert "impossible-efficiency" in {finding.rule for finding in prepared.findings}
    (entry,) = prepared.shown
    assert rows_of(entry, SETTINGS.tiers_w).product[FULL_LOAD] is None
    assert prepared.page("/products/fernhollow/fh-65/") is not None
    assert not any("output over input" in fact.field for fact in facts_of(entry))


@pytest.fixture(scope="module")
def pattern(tmp_path_factory: pytest.TempPathFactory, sample_text: str) -> Path:
    """Some of the demo's records, with logs and without, and one whose log moves a table; nothing is kept."""
    base = tmp_path_factory.mktemp("pattern")
    (base / "mkdocs.yml").write_text(CONFIG, encoding="utf-8")
    write_swept(base, sample_text)
    with_logs = sorted(path.parents[1] for path in ROOT.glob("entries/*/*/logs/*.csv"))
    without = [path for path in sorted(ROOT.glob("entries/*/*/")) if not (path / "logs").is_dir()]
    for folder in (*with_logs[:1], *without[:2]):
        shutil.copytree(folder, base / folder.relative_to(ROOT), ignore=shutil.ignore_patterns("photos"))
    return base


def tables(base: Path) -> dict[str, str]:
    settings = read_settings(base / "mkdocs.yml")
    entries = examine_all(settings).entries
    assert all(entry.rows for entry in entries)
    frames = make_frames(entries, settings.tiers_w)
    return {name: as_csv(definition.build(frames)) for name, definition in TABLES.items()}


@pytest.fixture(scope="module")
def clean(pattern: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """All tables where nothing was kept."""
    copy = tmp_path_factory.mktemp("clean") / "base"
    shutil.copytree(pattern, copy)
    return tables(copy)


@pytest.fixture
def base(pattern: Path, tmp_path: Path) -> Path:
    shutil.copytree(pattern, tmp_path / "base")
    return tmp_path / "base"


def with_logs(base: Path) -> Path:
    return sorted(base.glob("entries/*/*/logs"))[0].parent / "record.yaml"


def without_logs(base: Path) -> Path:
    return next(path for path in sorted(base.glob("entries/*/*/record.yaml")) if not (path.parent / "logs").is_dir())


def entries_of(base: Path) -> Path:
    return base / "entries"


@pytest.mark.parametrize("named", [with_logs, without_logs, entries_of])
def test_tables_after_a_check_of_some_records_are_those_of_a_clean_base(
    base: Path, clean: dict[str, str], named: Callable[[Path], Path]
) -> None:
    """What was read for others' sake, without its logs, gives no row to any table; nor does a check of everything."""
    check(read_settings(base / "mkdocs.yml"), (named(base),))
    assert tables(base) == clean


def test_pages_after_a_check_of_one_record_are_those_of_a_clean_base(base: Path, pattern: Path, tmp_path: Path) -> None:
    shutil.copytree(pattern, tmp_path / "other")
    check(read_settings(base / "mkdocs.yml"), (without_logs(base),))
    checked, other = (prepare(read_settings(one / "mkdocs.yml"), True) for one in (base, tmp_path / "other"))
    for address in ("/products/", *(f"/trends/{name}/" for name in TABLES_SHOWN)):
        assert checked.page(address) == other.page(address) is not None
    for path in (f"data/trends/{TABLES_SHOWN[0]}.csv", "data/products.csv", "data/figures.csv"):
        (mine,), (theirs,) = (
            [file.content for file in files_near(path, lambda one=one: one.seen) if file.path == path]
            for one in (checked, other)
        )
        assert mine == theirs


def test_the_commands_say_the_same(base: Path, clean: dict[str, str]) -> None:
    config = ["--config", str(base / "mkdocs.yml")]
    CliRunner().invoke(check_command.command, [*config, str(without_logs(base))])
    for name in TABLES_SHOWN:
        result = CliRunner().invoke(table.command, [name, "--format", "csv", *config])
        assert result.stdout == clean[name] and clean[name].count("\n") > 1
