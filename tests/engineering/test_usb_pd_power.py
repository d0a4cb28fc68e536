"""The strongest fixed object of a message."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.engineering.usb_pd_objects import encode_supply
from lidoff.engineering.usb_pd_power import largest_fixed_power
from lidoff.engineering.usb_pd_supplies import FixedSupply, ProgrammableSupply

FIXED = st.tuples(st.integers(1, 1023), st.integers(0, 1023))


@given(st.lists(FIXED, max_size=11))
def test_it_is_the_largest_product(steps):
    offers = [(voltage / 20, current / 100) for voltage, current in steps]
    found = largest_fixed_power([encode_supply(FixedSupply(voltage, current)) for voltage, current in offers])
    products = [voltage * current for voltage, current in offers]
    if not any(products):
        assert found is None
    else:
        assert found.power == max(products) and products[found.index] == found.power
        assert (found.voltage, found.current) == offers[found.index]


def test_other_kinds_and_empty_positions_do_not_count():
    programmable = encode_supply(ProgrammableSupply(21.0, 3.3, 5.0, True))
    assert largest_fixed_power([programmable, 0]) is None
    assert largest_fixed_power([0x0801912C, programmable]).power == 15
    assert largest_fixed_power([]) is None


def test_more_than_32_bits_are_refused():
    with pytest.raises(ValueError, match="expected a number of 32 bits"):
        largest_fixed_power([1 << 32])
