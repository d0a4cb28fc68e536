"""Type-C promises of current: every row is internally consistent, and a sink reads each one back."""

import pytest

from lidoff.engineering.type_c_current import (
    advert_of_voltage,
    current_adverts,
    dedicated_charging_port,
    pull_down_voltage,
)


@pytest.mark.parametrize("advert", current_adverts(), ids=lambda advert: advert.name)
def test_a_sink_reads_back_what_the_source_promises(advert):
    assert advert_of_voltage(pull_down_voltage(advert.pull_up_to_5v)) == advert
    assert advert_of_voltage(pull_down_voltage(advert.pull_up_to_3v3, supply_voltage=3.3)) == advert
    assert advert_of_voltage(advert.source_current * 5100) == advert


@pytest.mark.parametrize("advert", current_adverts(), ids=lambda advert: advert.name)
def test_power_is_current_at_5_v(advert):
    assert advert.power == 5 * advert.current


@pytest.mark.parametrize(
    ("voltage", "name"),
    [
        (0.0, None),
        (0.199, None),
        (0.2, "default"),
        (0.659, "default"),
        (0.66, "1.5a"),
        (1.229, "1.5a"),
        (1.23, "3a"),
        (2.0, "3a"),
    ],
)
def test_thresholds(voltage, name):
    advert = advert_of_voltage(voltage)
    assert (advert.name if advert else None) == name


def test_voltage_divider():
    assert pull_down_voltage(5100.0) == 2.5
    assert pull_down_voltage(1000.0, pull_down=3000.0, supply_voltage=4.0) == 3.0


@pytest.mark.parametrize(
    ("arguments", "text"),
    [
        ((0.0,), "pull_up: found 0.0"),
        ((1e3, -1.0), "pull_down: found -1.0"),
        ((1e3, 1e3, 0.0), "supply_voltage: found 0.0"),
    ],
)
def test_impossible_resistances_are_refused(arguments, text):
    with pytest.raises(ValueError, match=text):
        pull_down_voltage(*arguments)


def test_a_negative_voltage_is_refused():
    with pytest.raises(ValueError, match="voltage: found -0.1"):
        advert_of_voltage(-0.1)


def test_a_dedicated_charging_port_gives_7_5_w():
    port = dedicated_charging_port()
    assert port.voltage * port.current_max == 7.5
    assert port.voltage_min < port.voltage < port.voltage_max
