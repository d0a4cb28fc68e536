"""Sizes, units and densities: exact arithmetic and pint as second routes."""

from decimal import Decimal
from fractions import Fraction
from math import pi

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.engineering.density import heat_flux, mean_density, power_density, specific_power
from lidoff.engineering.geometry import UNITS, box_surface, box_volume, cylinder_surface, cylinder_volume, in_unit
from lidoff.engineering.rounding import round_significant

LENGTHS = st.floats(1e-3, 0.3)
PINT_NAMES = {
    "mm": ("meter", "millimeter"), "cm²": ("meter**2", "centimeter**2"), "cm³": ("meter**3", "centimeter**3"),
    "g": ("kilogram", "gram"), "W/cm³": ("watt/meter**3", "watt/centimeter**3"), "W/g": ("watt/kilogram", "watt/gram"),
    "g/cm³": ("kilogram/meter**3", "gram/centimeter**3"), "mW/cm²": ("watt/meter**2", "milliwatt/centimeter**2"),
    "in": ("meter", "inch"), "in³": ("meter**3", "inch**3"), "oz": ("kilogram", "ounce"),
    "W/in³": ("watt/meter**3", "watt/inch**3"), "W/oz": ("watt/kilogram", "watt/ounce"),
}  # fmt: skip


@pytest.mark.parametrize("unit", UNITS)
def test_units_agree_with_pint(unit):
    base, other = PINT_NAMES[unit]
    expected = pint.UnitRegistry().Quantity(1.2345, base).to(other).magnitude
    assert in_unit(1.2345, unit) == pytest.approx(expected, rel=1e-12)


@given(st.integers(1, 10**6))
def test_a_recorded_decimal_comes_back_unchanged(tenths):
    """58.3 mm in metres is a double; back in millimetres it is 58.3 and nothing near it."""
    metres = float(Decimal(tenths).scaleb(-4))
    assert in_unit(metres, "mm") == tenths / 10


def test_an_unknown_unit_is_refused():
    with pytest.raises(ValueError, match="unit: found ft, expected one of mm, cm²"):
        in_unit(1.0, "ft")


@given(LENGTHS, LENGTHS, LENGTHS)
def test_a_box_has_the_same_size_whichever_side_is_first(length, width, height):
    assert box_volume(height, length, width) == pytest.approx(box_volume(length, width, height))
    assert box_surface(height, length, width) == pytest.approx(box_surface(length, width, height))


@given(LENGTHS)
def test_a_cube(side):
    assert box_volume(side, side, side) == pytest.approx(side**3)
    assert box_surface(side, side, side) == pytest.approx(6 * side**2)


@given(LENGTHS, LENGTHS)
def test_a_cylinder_fills_the_same_share_of_its_box(diameter, height):
    assert cylinder_volume(diameter, height) / box_volume(diameter, diameter, height) == pytest.approx(pi / 4)
    mantle, ends = pi * diameter * height, 2 * pi * (diameter / 2) ** 2
    assert cylinder_surface(diameter, height) == pytest.approx(mantle + ends)


def test_different_sides_count_each():
    assert box_volume(2.0, 3.0, 5.0) == 30.0
    assert box_surface(2.0, 3.0, 5.0) == 62.0


def test_densities():
    assert power_density(60.0, 0.5) == 120.0
    assert specific_power(60.0, 0.25) == 240.0
    assert mean_density(0.1, 0.0001) == pytest.approx(1000.0)
    assert heat_flux(6.0, 0.012) == 500.0
    assert heat_flux(0.0, 0.012) == 0.0


def test_density_of_a_public_design_report():
    """Power Integrations, DER-937 revision 1.0 (18 October 2021), summary page: 3.30 × 2.17 × 0.93 in, 15.0 W/in³."""
    sides = (inches * 0.0254 for inches in (3.30, 2.17, 0.93))
    density = in_unit(power_density(100.0, box_volume(*sides)), "W/in³")
    assert round_significant(density, 3) == Decimal("15.0")


def test_rounded_values_are_never_converted():
    """65 W in 52 × 52 × 28 mm: 0.858516 W/cm³ is 14.1 W/in³; by way of 0.86 it would be 14.09, by way of 0.9 14.7."""
    density = power_density(65.0, box_volume(0.052, 0.052, 0.028))
    assert round_significant(in_unit(density, "W/cm³"), 6) == Decimal("0.858516")
    assert round_significant(in_unit(density, "W/in³"), 8) == Decimal("14.068565")


@given(st.integers(50, 2400), st.tuples(*[st.integers(100, 2000)] * 3))
def test_the_shown_density_is_that_of_exact_arithmetic(tenth_watts, tenth_millimetres):
    sides = [float(Decimal(value).scaleb(-4)) for value in tenth_millimetres]
    shown = round_significant(in_unit(power_density(tenth_watts / 10, box_volume(*sides)), "W/in³"), 3)
    volume = Fraction(1)
    for value in tenth_millimetres:
        volume *= Fraction(value, 254)
    exact = Fraction(tenth_watts, 10) / volume
    half_step = Fraction(1, 2) * Fraction(10) ** shown.as_tuple().exponent
    assert abs(Fraction(shown) - exact) <= half_step


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (lambda: box_volume(0.0, 1.0, 1.0), "length: found 0.0"),
        (lambda: box_volume(1.0, 0.0, 1.0), "width: found 0.0"),
        (lambda: box_volume(1.0, 1.0, -1.0), "height: found -1.0"),
        (lambda: box_surface(0.0, 1.0, 1.0), "length: found 0.0"),
        (lambda: box_surface(1.0, 0.0, 1.0), "width: found 0.0"),
        (lambda: box_surface(1.0, 1.0, 0.0), "height: found 0.0"),
        (lambda: cylinder_volume(0.0, 1.0), "diameter: found 0.0"),
        (lambda: cylinder_volume(1.0, 0.0), "height: found 0.0"),
        (lambda: cylinder_surface(0.0, 1.0), "diameter: found 0.0"),
        (lambda: cylinder_surface(1.0, 0.0), "height: found 0.0"),
        (lambda: power_density(0.0, 1.0), "power: found 0.0"),
        (lambda: power_density(1.0, 0.0), "volume: found 0.0"),
        (lambda: specific_power(0.0, 1.0), "power: found 0.0"),
        (lambda: specific_power(1.0, 0.0), "mass: found 0.0"),
        (lambda: mean_density(0.0, 1.0), "mass: found 0.0"),
        (lambda: mean_density(1.0, 0.0), "volume: found 0.0"),
        (lambda: heat_flux(-1.0, 1.0), "loss: found -1.0"),
        (lambda: heat_flux(1.0, 0.0), "surface: found 0.0"),
    ],
)
def test_impossible_sizes_are_refused(call, text):
    with pytest.raises(ValueError, match=text):
        call()
