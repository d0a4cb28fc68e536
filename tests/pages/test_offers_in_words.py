"""Power data objects as a page words them."""

import pytest

from lidoff.pages.drawings.offer_chart import LEFT, RIGHT, offer_chart
from lidoff.pages.views.advertised import label_differences
from lidoff.pages.views.offers import flags, message, summary
from lidoff.record.model.label import Offer

# published: example capture in the README of the library usbpdpy (PyPI), little-endian words of one Source_Capabilities
# message: 5, 9, 12 and 15 V at 3 A, 20 V at 3.25 A, PPS 3.3 to 11 V at 3 A
README_CAPTURE = ("0x0801912C", "0x0002D12C", "0x0003C12C", "0x0004B12C", "0x00064145", "0xC0DC213C")


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


def test_a_published_capture_is_worded_as_its_document_says() -> None:
    said = plain(summary(message(README_CAPTURE)))
    assert said == "5 V 3 A, 9 V 3 A, 12 V 3 A, 15 V 3 A, 20 V 3.25 A and PPS 3.3 to 11 V 3 A."


@pytest.mark.parametrize(
    ("word", "kind", "voltage", "current", "power"),
    [
        ("0x00064145", "fixed", "20 V", "3.25 A", "65 W"),
        ("0xC9A42164", "PPS", "3.3 to 21 V", "5 A", "limited at the upper end"),
        ("0xE004B145", "SPR AVS", "9 to 20 V", "3 A to 15 V, 3.25 A above", ""),
        ("0xE004B000", "SPR AVS", "9 to 15 V", "3 A", ""),
        ("0xD230968C", "EPR AVS", "15 to 28 V", "", "140 W"),
        ("0x00000000", "empty position", "", "", ""),
        ("0xF0000000", "kind that no edition defines", "", "", ""),
    ],
)
def test_each_kind_of_object(word: str, kind: str, voltage: str, current: str, power: str) -> None:
    one = message([word])[0]
    assert [plain(text) for text in (one.kind, one.voltage, one.current, one.power)] == [kind, voltage, current, power]


def test_a_range_is_never_given_the_power_of_its_upper_corner() -> None:
    assert "68" not in message(["0xC1A42141"])[0].power, "21 V times 3.25 A is above what the source has"


def test_flags_come_from_the_first_object_alone() -> None:
    assert flags(message(README_CAPTURE)) == "By the flags of its first data object, the port has unconstrained power."
    assert flags(message(["0x0001912C"])) == ""


def test_the_label_is_held_against_all_captures_together() -> None:
    label = [Offer("fixed", voltage_v=5.0, current_a=3.0), Offer("fixed", voltage_v=12.0, current_a=1.5)]
    said = [plain(text) for text in label_differences(label, [message(["0x0001912C", "0x0002D12C"])])]
    assert said == ["On the label but in no capture: 12 V.", "Advertised but not on the label: 9 V."]


def test_the_chart_puts_each_offer_at_its_voltage_and_current() -> None:
    chart = offer_chart("C1", ["alone"], [message(README_CAPTURE)])
    assert chart is not None
    assert len(chart.series[0].marks) == 5 and len(chart.series[0].ranges) == 1
    by_text = {tick.text: tick.at for tick in chart.volt_ticks}
    assert by_text["0"] == LEFT and by_text["20"] == RIGHT
    # the circle of 20 V begins its own radius left of the tick of 20 V
    assert chart.series[0].marks[4].startswith(f"M{by_text['20'] - 4:g} ")


def test_a_limited_range_bends_where_the_power_is_reached() -> None:
    straight = offer_chart("C1", ["alone"], [message(["0x00064145", "0xC1A42141"])])
    limited = offer_chart("C1", ["alone"], [message(["0x00064145", "0xC9A42141"])])
    assert straight is not None and limited is not None
    assert straight.series[0].ranges[0].count("L") == 2
    assert limited.series[0].ranges[0].count("L") > 10


def test_no_chart_without_an_offer_and_no_more_than_four_states() -> None:
    assert offer_chart("C1", [], []) is None
    assert offer_chart("C1", ["alone"], [message(["0x00000000"])]) is None
    messages = [message([f"0x000{number}912C"]) for number in range(1, 7)]
    many = offer_chart("C1", [str(number) for number in range(6)], messages)
    assert many is not None and len(many.series) == 4 and many.left_out == "2 further states not drawn."
