"""How findings write numbers, names and tiers."""

import doctest
import importlib

import pytest

from lidoff.checks.tiers import tier_name
from lidoff.settings import DEFAULT_TIERS_W


@pytest.mark.parametrize("name", ("lidoff.checks.amounts", "lidoff.checks.tiers", "lidoff.figures.verdict"))
def test_the_examples_of_the_docstrings_hold(name: str) -> None:
    result = doctest.testmod(importlib.import_module(name))
    assert result.attempted > 0
    assert result.failed == 0


@pytest.mark.parametrize("limit", DEFAULT_TIERS_W)
def test_a_tier_ends_with_its_own_limit(limit: float) -> None:
    assert tier_name(limit, DEFAULT_TIERS_W).endswith(f"up to {limit:g} W")
    assert f"above {limit:g} W" in tier_name(limit + 0.5, DEFAULT_TIERS_W)
