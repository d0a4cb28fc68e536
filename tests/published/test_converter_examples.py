"""Worked examples of data sheets whose printed figures are not a function's own result, but follow from it."""

import pytest

from lidoff.engineering.flyback_current import continuous_current
from lidoff.engineering.turns_ratio import turns_ratio_by_duty_cycle


def test_lm3101_rounds_the_inverse_turns_ratio_to_two_digits():
    """National Semiconductor, LM3101 data sheet TL/H/11436, design procedure: prints Ns/Np 0.12."""
    assert round(1 / turns_ratio_by_duty_cycle(126.1, 0.28, 5, 0.7), 2) == 0.12


def test_ncp1028_prints_the_rise_and_the_middle_of_the_primary_current():
    """onsemi, NCP1028 data sheet, page 25: with 3.8 mH a rise of 258 mA, rounded, around 318 mA, cut."""
    ramp = continuous_current(18.75, 120, 0.49, 3.8e-3, 60e3)
    assert ramp.end - ramp.start == pytest.approx(0.258, abs=0.0005)
    assert 0.318 <= (ramp.end + ramp.start) / 2 < 0.319
