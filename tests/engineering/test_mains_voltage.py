"""The range of mains voltages that a label stands for, at the edges of what is nominal."""

import pytest

from lidoff.engineering.mains_voltage import highest_mains_voltage, lowest_mains_voltage


@pytest.mark.parametrize(
    ("labelled", "highest"),
    [
        (100, 110),
        (120, 132),
        (230, 253),
        (240, 264),
        (240.5, 264),
        (250, 264),
        (264, 264),
        (265, 265),
        (276, 276),
        (277, 304.7),
        (480, 528),
    ],
)
def test_highest(labelled, highest):
    assert highest_mains_voltage(labelled, 0.1) == pytest.approx(highest)


@pytest.mark.parametrize("labelled", [100, 120, 220, 230, 240, 250, 264, 277])
def test_the_range_holds_the_label(labelled):
    assert lowest_mains_voltage(labelled, 0.1) < labelled <= highest_mains_voltage(labelled, 0.1)
    assert highest_mains_voltage(labelled, 0.0) >= labelled == lowest_mains_voltage(labelled, 0.0)


def test_the_highest_voltage_rises_with_the_label_up_to_240_and_beyond():
    values = [highest_mains_voltage(labelled, 0.1) for labelled in range(90, 277)]
    assert values == sorted(values)


def test_what_is_no_voltage_is_refused():
    with pytest.raises(ValueError, match="labelled: found 0"):
        highest_mains_voltage(0, 0.1)
    with pytest.raises(ValueError, match="tolerance: found -0.1"):
        lowest_mains_voltage(100, -0.1)
