"""The closed solution of the bus valley against numerical integration that knows only the circuit's equations."""

import random
from math import cos, pi, sin

import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from lidoff.engineering.bulk_capacitor import bus_valley


def drawn_cases(seed: int, count: int, least: float, most: float) -> list[tuple[float, float, float, float]]:
    """Power, capacitance, mains voltage, frequency; ``least`` to ``most`` microfarad a watt at 90 V, less above."""
    draw = random.Random(seed)
    cases = []
    for _ in range(count):
        power, voltage = draw.uniform(3, 240), draw.uniform(85, 265)
        capacitance = draw.uniform(least, most) * 1e-6 * power * (90 / voltage) ** 2
        cases.append((power, capacitance, voltage, draw.uniform(47, 63)))
    return cases


def integrated(
    power: float, capacitance: float, voltage: float, frequency: float, drop: float = 0.0
) -> tuple[float, float] | None:
    """Valley and conduction time; None where the bus runs empty. The drop comes off at every angle here."""
    omega, peak = 2 * pi * frequency, 2**0.5 * voltage

    def line(t: float) -> float:
        return peak * abs(sin(omega * t)) - drop

    def bridge_current(t: float) -> float:
        return capacitance * omega * peak * cos(omega * t) + power / line(t)

    def above_line(t: float, v: list[float]) -> float:
        return v[0] - line(t) if t > 0.5 / frequency else 1.0

    def above_empty(t: float, v: list[float]) -> float:
        return v[0] - 1e-3 * peak

    above_line.terminal = above_empty.terminal = True
    crest, steepest = 0.25 / frequency, 0.375 / frequency
    if bridge_current(steepest) >= 0:
        return None
    turn_off = brentq(bridge_current, crest, steepest, xtol=1e-15)
    run = solve_ivp(
        lambda t, v: [-power / (capacitance * v[0])],
        (turn_off, 0.75 / frequency),
        [line(turn_off)],
        method="DOP853",
        rtol=1e-11,
        atol=1e-10,
        events=(above_line, above_empty),
        max_step=0.01 / frequency,
    )
    assert run.status == 1, "one of the two events ends every half cycle"
    if run.t_events[1].size:
        return None
    return run.y_events[0][0][0], turn_off + 0.5 / frequency - run.t_events[0][0]


@pytest.mark.parametrize("case", drawn_cases(20260309, 50, least=1.2, most=4.0))
def test_valley_equals_integration(case):
    found, (valley, conduction_time) = bus_valley(*case), integrated(*case)
    assert found.valley_voltage == pytest.approx(valley, rel=1e-6)
    assert found.conduction_time == pytest.approx(conduction_time, rel=1e-6)


def test_no_valley_exactly_where_integration_runs_empty():
    cases = drawn_cases(4711, 40, least=0.2, most=0.85)
    empty = [integrated(*case) is None for case in cases]
    assert [bus_valley(*case) is None for case in cases] == empty
    assert 10 <= sum(empty) <= 30


def test_both_find_the_same_smallest_capacitor():
    def smallest(solve) -> float:
        low, high = 10e-6, 100e-6
        while high - low > 1e-8:
            middle = (low + high) / 2
            low, high = (low, middle) if solve(65, middle, 90, 47) is not None else (middle, high)
        return high

    # The integration calls a bus empty at a thousandth of the crest.
    assert smallest(bus_valley) == pytest.approx(smallest(integrated), rel=2e-3)


@pytest.mark.parametrize("case", [(65, 82e-6, 90, 47), (65, 120e-6, 90, 47), (30, 47e-6, 115, 60)])
def test_taking_the_drop_off_the_crest_only_costs_little(case):
    at_every_angle, _ = integrated(*case, drop=1.7)
    off_the_crest = bus_valley(*case, bridge_drop=1.7).valley_voltage
    assert 0.0 < off_the_crest - at_every_angle < 0.25
