"""The examples in the docstrings of the label reader and of the edits to records."""

import doctest
import importlib

import pytest

NAMES = (
    "lidoff.bench.label_text.normalise",
    "lidoff.bench.label_text.ledger",
    "lidoff.bench.label_text.read",
    "lidoff.record.edit",
    "lidoff.record.yaml_lines",
    "lidoff.reports.pointed",
)


@pytest.mark.parametrize("name", NAMES)
def test_the_examples_hold(name: str) -> None:
    result = doctest.testmod(importlib.import_module(name))
    assert result.attempted > 0
    assert result.failed == 0
