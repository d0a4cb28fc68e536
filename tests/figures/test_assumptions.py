"""Assumptions: their defaults, what a knowledge base replaces, and what is refused."""

import pytest

from lidoff.figures.assumptions import NEVER_ASSUMED, all_assumptions, read_assumptions
from lidoff.settings import SettingsError


def test_every_assumption_says_where_it_is_from():
    rows = all_assumptions()
    assert len({row.id for row in rows}) == len(rows) >= 12
    for row in rows:
        assert row.least <= row.default <= row.most, row.id
        assert row.unit and len(row.source) > 15 and row.explanation.endswith("."), row.id


@pytest.mark.parametrize("id", NEVER_ASSUMED)
def test_some_things_have_no_default(id):
    assert id not in {row.id for row in all_assumptions()}
    with pytest.raises(SettingsError, match=f"(?s)found     assumptions: {id}.*it is never assumed.*record"):
        read_assumptions({id: 5.0})


def test_defaults_carry_their_source():
    high_line = read_assumptions().values["high_line_v"]
    assert (high_line.value, high_line.unit) == (264, "V") and "AN-6094" in high_line.source


def test_a_knowledge_base_replaces_a_default():
    replaced = read_assumptions({"bridge_drop_v": 0.9})
    assert replaced.values["bridge_drop_v"].value == 0.9
    assert replaced.values["bridge_drop_v"].source == "mkdocs.yml of this knowledge base"
    assert replaced.values["high_line_v"] == read_assumptions().values["high_line_v"]


def test_percentages_become_ratios():
    assert read_assumptions().known("mains_tolerance_pct").value == pytest.approx(0.1)
    assert read_assumptions().known("high_line_v").value == 264


@pytest.mark.parametrize(
    ("id", "hint"),
    [
        ("bridge_drop", "rename it to bridge_drop_v"),
        ("boost_buss_v", "rename it to boost_bus_v"),
        ("zzz", "use one of mains_tolerance_pct, "),
    ],
)
def test_an_unknown_one_is_refused_with_the_nearest(id, hint):
    with pytest.raises(
        SettingsError, match=f"(?s)found     assumptions: {id}\nexpected  a known assumption\nfix       {hint}"
    ):
        read_assumptions({id: 1.0})


@pytest.mark.parametrize("value", [-0.1, 11, float("nan"), float("inf")])
def test_a_value_out_of_range_is_refused(value):
    with pytest.raises(
        SettingsError,
        match="(?s)found     assumptions: bridge_drop_v: .*\nexpected  0 to 10 V\nfix       correct plugins",
    ):
        read_assumptions({"bridge_drop_v": value})


def test_the_order_is_measured_recorded_replaced_default(charger, assumed_of):
    def current(changes):
        return charger.one("mains_current_a", changes, converter_efficiency=0.8)

    measured, replaced = current({}), current({"measured.efficiency": []})
    assert "converter_efficiency" not in assumed_of(measured)
    (assumed,) = [one for one in replaced.assumed if one.id == "converter_efficiency"]
    assert assumed.value == 0.8 and assumed.source == "mkdocs.yml of this knowledge base"
    default = charger.one("mains_current_a", {"measured.efficiency": []})
    assert next(one.value for one in default.assumed if one.id == "converter_efficiency") == 0.9
    recorded = charger.one("bulk_peak_v", {"conversion.pfc": "boost", "conversion.bus_v": 395}, boost_bus_v=380)
    assert recorded.value == 395 and recorded.assumed == ()
