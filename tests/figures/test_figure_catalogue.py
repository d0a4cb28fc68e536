"""The catalogue of figures: the ids that design fixes, each with a formula that exists and a source."""

import importlib

import pytest

from lidoff.engineering.geometry import UNITS
from lidoff.figures.catalogue import KINDS, QUESTIONS
from lidoff.figures.citation import citation, dotted

FIXED_IDS = {
    "body_volume_cm3", "power_density_w_per_cm3", "power_density_w_per_in3", "assembly_power_density_w_per_cm3", "specific_power_w_per_g",
    "mean_density_g_per_cm3", "pd_power_w", "bulk_capacitance_uf", "bulk_uf_per_w", "bulk_peak_v", "bulk_voltage_margin_pct",
    "bulk_valley_v", "stored_energy_j", "turns_ratio", "reflected_voltage_v", "switch_stress_v", "sync_rectifier_stress_v",
    "turns_ratio_window", "peak_flux_mt", "y_touch_current_ua", "mains_current_a", "inrush_peak_a", "bleed_time_to_60v_s", "loss_w",
    "heat_flux_mw_per_cm2", "surface_rise_k", "sustained_power_w", "average_efficiency_pct", "efficiency_limit_pct", "no_load_limit_w",
    "charge_peak_w", "charge_energy_wh", "longest_interruption_ms", "price_per_watt",
}  # fmt: skip


def test_the_ids_are_fixed():
    assert set(KINDS) == FIXED_IDS and all(id == kind.id for id, kind in KINDS.items())


@pytest.mark.parametrize("kind", KINDS.values(), ids=lambda kind: kind.id)
def test_every_kind_has_a_formula_a_source_and_words(kind):
    module, _, name = kind.method.rpartition(".")
    assert module.startswith("lidoff.engineering.") and getattr(importlib.import_module(module), name) is kind.function
    assert len(citation(kind.function)) > 15
    assert kind.question in QUESTIONS and kind.title[0].isupper()
    assert kind.explanation.endswith(".") and kind.explanation.count(". ") <= 1
    assert kind.imperial is None or {kind.unit, kind.imperial} <= set(UNITS)


def test_titles_tell_kinds_apart():
    titles = [kind.title for kind in KINDS.values()]
    assert len(set(titles)) == len(titles)


def test_a_citation_is_the_references_of_the_docstring():
    def formula() -> None:
        """Give nothing.

        References
        ----------
        .. [1] A document, edition 2,
           clause 3.
        .. [2] `another` one.
        """

    assert citation(formula) == "A document, edition 2, clause 3 / another one"
    assert citation(test_titles_tell_kinds_apart) == ""
    assert dotted(formula).endswith("test_a_citation_is_the_references_of_the_docstring.<locals>.formula")
