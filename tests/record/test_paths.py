"""The written form of a field is read back to the same trail."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.record.paths import steps, written


def test_a_field_is_written_with_dots_and_brackets() -> None:
    assert written(("ports", 0, "label", 1, "voltage_max_v")) == "ports[0].label[1].voltage_max_v"
    assert written(()) == ""
    assert written(("a b", "c")) == '["a b"].c'


@given(st.lists(st.text(min_size=1) | st.integers(0, 999)))
def test_what_is_written_is_read_back(trail: list) -> None:
    assert steps(written(trail)) == tuple(trail)


@pytest.mark.parametrize("field", ["a..b", "a[", "a[x]", "ä"])
def test_what_is_no_field_is_refused(field: str) -> None:
    with pytest.raises(ValueError, match="not a field"):
        steps(field)
