"""A newcomer's first record with ten mistakes: all are told at once, and each is mended from its message alone."""

import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from lidoff.cli import main

HERE = Path(__file__).parent
PLACE = "entries/hazelmere/30"
# field -> what the newcomer types after reading the message, and the piece of the message that says so
MENDS = {
    "product.model": ("model: 30", 'model: "30"', 'model: "30"'),
    "product.kind": ("kind: wall charger", "kind: wall-charger", "kind: wall-charger"),
    "product.rated_power_w": ("rated_power_w: 30 W", "rated_power_w: 30", "rated_power_w: 30"),
    "teardown.date": ("9.3.2026", "2026-03-09", "such as 2026-03-09"),
    "ports[0].label[1].curent_a": ("curent_a", "current_a", "rename it to current_a"),
    "measured.body_mm.size": ("[45.0, 38.0]", "[45.0, 38.0, 28.0]", "a list of 3 items"),
    "measured.mass_g": ("mass_g: 62,5", "mass_g: 62.5", "mass_g: 62.5"),
    "components[0].roles": ("roles: primary-switch", "roles: [primary-switch]", "roles: [primary-switch]"),
    "components[0].technology": ("technology: gan,", "technology: gan-undetermined,", "gan-undetermined"),
    "components[1].ratings.capacitance_uf": (", capacitance_uf: ~", "", "leave the key out"),
}
HEADING = re.compile(r"^\S+:(\d+):\d+: error\[[a-z-]+\] (\S+)$", re.MULTILINE)


@pytest.fixture
def record(tmp_path: Path) -> Path:
    """The poor record in a base of its own, as a newcomer's clone has it."""
    (tmp_path / "mkdocs.yml").write_text(
        "site_name: x\nsite_url: https://example.org/\nplugins: [lidoff]\n", encoding="utf-8"
    )
    folder = tmp_path / PLACE
    folder.mkdir(parents=True)
    (folder / "record.yaml").write_bytes((HERE / "poor.yaml").read_bytes())
    return folder / "record.yaml"


def check(record: Path) -> Result:
    # named by its path: a draft fails only the check that names it
    return CliRunner().invoke(main, ["check", "--config", str(record.parents[3] / "mkdocs.yml"), str(record)])


def test_all_ten_are_told_at_once_word_for_word(record: Path, request: pytest.FixtureRequest) -> None:
    result = check(record)
    pinned = HERE / "poor.txt"
    if request.config.getoption("--refresh-expected"):
        pinned.write_text(result.stdout, encoding="utf-8")
    assert result.exit_code == 1
    assert result.stdout == pinned.read_text(encoding="utf-8")
    assert {field for _, field in HEADING.findall(result.stdout)} == set(MENDS) and len(MENDS) == 10


def test_each_is_mended_from_its_message_alone(record: Path) -> None:
    left = 10
    while left:
        told = check(record).stdout
        found = HEADING.search(told)
        line, field = int(found[1]), found[2]
        old, new, said = MENDS[field]
        message = told[found.start() :].split("\n\n")[0]
        assert said in message, f"the message on {field} does not say what to type"
        lines = record.read_text(encoding="utf-8").split("\n")
        assert old in lines[line - 1], f"{field} is told at line {line}, where it does not stand"
        lines[line - 1] = lines[line - 1].replace(old, new)
        record.write_text("\n".join(lines), encoding="utf-8")
        left -= 1
        assert len(HEADING.findall(check(record).stdout)) == left
    assert check(record).exit_code == 0


def test_fix_mends_those_that_are_certain(record: Path) -> None:
    CliRunner().invoke(main, ["fix", "--config", str(record.parents[3] / "mkdocs.yml")])
    left = {field for _, field in HEADING.findall(check(record).stdout)}
    assert left == set(MENDS) - {"product.kind", "product.rated_power_w", "measured.mass_g"}
