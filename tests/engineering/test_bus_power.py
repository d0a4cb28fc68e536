"""Power that a converter takes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.engineering.bus_power import input_power
from lidoff.engineering.supply_efficiency import operating_point


@given(st.floats(0.1, 1000), st.floats(0.01, 1))
def test_it_is_the_inverse_of_efficiency(output_power, efficiency):
    point = operating_point(1.0, output_power, input_power(output_power, efficiency))
    assert point.efficiency == pytest.approx(efficiency) and point.loss >= -1e-9


def test_nothing_given_nothing_taken():
    assert input_power(0, 0.9) == 0


@pytest.mark.parametrize("efficiency", [0, 1.01, -0.5])
def test_no_such_efficiency(efficiency):
    with pytest.raises(ValueError, match="efficiency: found"):
        input_power(65, efficiency)
