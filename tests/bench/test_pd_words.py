"""Texts of USB PD objects and messages: what is read, in which order, and which texts are refused."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.bench.pd_texts import read_pd_texts
from lidoff.bench.pd_words import hexadecimal, object_facts, plain_number
from lidoff.engineering.usb_pd_objects import decode_source_object

# README of usbpdpy 0.4.0, Quick start
CAPTURE = "a161 2c910108 2cd10200 2cc10300 2cb10400 45410600 3c21dcc0"
REQUEST = "8210 dc700323"
# made up: 5 to 20 V in the standard range, two empty positions, then 28 V, 36 V and an adjustable supply; in two pieces
EXTENDED = (
    "b1f1 2880 2c918108 2cd10200 2cc10300 2cb10400 f4410600 00000000 0000",
    "b1c1 2888 0000 f4c10800 f4410b00 b496d0d2",
)


def facts(*texts: str) -> list[dict]:
    reading = read_pd_texts(texts)
    assert reading.faults == ()
    return list(reading.facts)


FLAGS_OFF = {
    "dual_role_power": False, "usb_suspend_supported": False, "unconstrained_power": False, "usb_communications": False,
    "dual_role_data": False, "unchunked_extended_messages": False, "epr_capable": False, "peak_current": 0,
}  # fmt: skip


@pytest.mark.parametrize(
    ("word", "expected"),
    [
        (0x0002D0DE, {"kind": "fixed", "voltage_v": 9, "current_a": 2.22, "power_w": 19.98, **FLAGS_OFF}),
        (0x4F01903C, {"kind": "battery", "voltage_min_v": 5, "voltage_max_v": 12, "power_w": 15}),
        (0x8F01912C, {"kind": "variable", "voltage_min_v": 5, "voltage_max_v": 12, "current_a": 3}),
        (0xC9A42164, {"kind": "pps", "voltage_min_v": 3.3, "voltage_max_v": 21, "current_a": 5, "power_limited": True}),
        (0xE804B1F4, {"kind": "spr-avs", "current_to_15v_a": 3, "current_to_20v_a": 5, "peak_current": 2}),
        (0xD2D096B4, {"kind": "epr-avs", "voltage_min_v": 15, "voltage_max_v": 36, "power_w": 180, "peak_current": 0}),
        (0xF1234567, {"kind": "reserved"}),
        (
            0xC1A421BC,
            {"kind": "pps", "voltage_min_v": 3.3, "voltage_max_v": 21, "current_a": 3, "power_limited": False,
             "reserved_bits": "0x00000080"},
        ),
    ],
)  # fmt: skip
def test_keys_of_each_kind_in_order(word, expected):
    found = object_facts(decode_source_object(word))
    assert list(found.items()) == [("word", hexadecimal(word)), *expected.items()]


def test_every_flag_of_a_fixed_object():
    found = object_facts(decode_source_object(0x3F81912C))
    assert [key for key, value in found.items() if value is True] == [key for key in FLAGS_OFF if key != "peak_current"]
    assert object_facts(decode_source_object(0x0031912C))["peak_current"] == 3


@given(st.integers(0, 2**32 - 1))
def test_no_number_has_noise(word):
    numbers = [value for value in object_facts(decode_source_object(word)).values() if isinstance(value, float)]
    assert all(len(repr(number).partition(".")[2]) <= 4 for number in numbers)


@pytest.mark.parametrize(
    ("value", "shown"), [(5.0, "5"), (2.22, "2.22"), (0.1 + 0.2, "0.3"), (523.2645, "523.2645"), (0.0, "0")]
)
def test_plain_numbers(value, shown):
    assert repr(plain_number(value)) == shown


@pytest.mark.parametrize("text", ["0x0801912C", "0X0801912c", "0801912C", "0801912c", " 0x0801912C ", "0x801912C"])
def test_spellings_of_an_object(text):
    assert [item["word"] for item in facts(text)] == ["0x0801912C"]


def test_several_objects_in_one_text_or_in_several():
    assert facts("0x0801912C, 0x0002D12C") == facts("0x0801912C", "0x0002D12C") == facts("0801912C 0002D12C")


@pytest.mark.parametrize(
    "texts",
    [
        (CAPTURE,),
        (CAPTURE.replace(" ", ""),),
        tuple(CAPTURE.split()),
        (" ".join(CAPTURE.replace(" ", "")[i : i + 2] for i in range(0, 52, 2)),),
        tuple(CAPTURE.replace(" ", "")[i : i + 2] for i in range(0, 52, 2)),
        tuple("0x" + CAPTURE.replace(" ", "")[i : i + 2] for i in range(0, 52, 2)),
        (":".join(CAPTURE.replace(" ", "")[i : i + 2].upper() for i in range(0, 52, 2)),),
    ],
)
def test_spellings_of_a_message(texts):
    header, *objects = facts(*texts)
    assert header == {
        "word": "0x61A1",
        "kind": "message",
        "message": "Source_Capabilities",
        "type_code": 1,
        "extended": False,
        "objects": 6,
        "message_id": 0,
        "power_role": "source",
        "data_role": "dfp",
        "revision": "3.x",
        "checksum_received": None,
        "checksum_expected": "0x19B1FB90",
        "checksum_ok": None,
    }
    assert [(item["position"], item["kind"]) for item in objects] == [*((i, "fixed") for i in range(1, 6)), (6, "pps")]
    assert objects[4]["power_w"] == 65
    assert list(objects[0])[:3] == ["word", "kind", "position"]


@pytest.mark.parametrize(
    ("end", "received", "right"), [("90fbb119", "0x19B1FB90", True), ("91fbb119", "0x19B1FB91", False)]
)
def test_checksum(end, received, right):
    header = facts(CAPTURE + end)[0]
    assert (header["checksum_received"], header["checksum_ok"]) == (received, right)


def test_a_header_alone():
    (header,) = facts("0x1082")
    assert (header["message"], header["power_role"], header["data_role"], header["objects"]) == (
        "Request",
        "sink",
        "ufp",
        1,
    )
    assert "checksum_ok" not in header
    assert [facts(text)[0]["revision"] for text in ("0x0001", "0x0041", "0x0081", "0x00C1")] == [
        "1.0",
        "2.0",
        "3.x",
        "reserved",
    ]


def test_a_request_is_read_with_the_capabilities_before_it():
    *_, request = facts(CAPTURE, REQUEST)
    assert request == {
        "word": "0x230370DC", "kind": "request", "position": 2, "of": "fixed", "current_a": 2.2, "current_max_a": 2.2,
        "giveback": False, "capability_mismatch": False, "usb_communications": True, "no_usb_suspend": True,
        "unchunked_extended_messages": False, "epr_capable": False,
    }  # fmt: skip


def test_a_request_for_pps():
    *_, request = facts(CAPTURE, "8210 3c6c0362")
    assert (request["of"], request["voltage_v"], request["current_a"]) == ("pps", 8.76, 3)


def test_a_request_without_capabilities_is_not_guessed():
    assert facts(REQUEST)[1] == {"word": "0x230370DC", "kind": "request", "position": 2, "of": None}
    assert facts(CAPTURE, "8210 dc700373")[-1]["of"] is None  # position 7 is not offered
    assert facts("a111 674523f1", "8210 dc700313")[-1]["of"] is None  # position 1 is of the reserved kind


def test_a_request_of_the_extended_range_brings_its_object_with_it():
    _, request, copy = facts("8920 f4d10780 f4c10800")
    assert (request["position"], request["of"], request["current_a"], request["current_max_a"]) == (8, "fixed", 5, 5)
    assert (copy["position"], copy["voltage_v"]) == (8, 28)


def test_extended_capabilities_in_two_pieces():
    first, last, *objects = facts(*EXTENDED)
    assert (first["message"], first["chunk_number"], first["complete"], first["data_size"]) == (
        "EPR_Source_Capabilities",
        0,
        False,
        40,
    )
    assert (last["chunk_number"], last["complete"]) == (1, True)
    assert [item["position"] for item in objects] == [1, 2, 3, 4, 5, 8, 9, 10]
    assert [item.get("voltage_v") for item in objects] == [5, 9, 12, 15, 20, 28, 36, None]
    assert objects[0]["epr_capable"] is True


def test_the_last_piece_alone_is_not_complete():
    (only,) = facts(EXTENDED[1])
    assert only["complete"] is False


def test_a_second_run_of_pieces_starts_afresh():
    assert facts(EXTENDED[0], *EXTENDED)[1:] == facts(*EXTENDED)


def test_a_request_for_a_piece_has_no_data():
    (item,) = facts("9190 008c 0000")
    assert (item["request_chunk"], item["chunk_number"]) == (True, 1)
    assert "data" not in item


def test_other_messages_keep_their_data_raw():
    status = facts("8290 0280 0102")
    assert status[0]["extended"] is True
    assert status[0]["data"] == "0102"
    assert [item["kind"] for item in facts("4f10018000ff")] == ["message", "data-object"]
    assert facts("4f100180 00ff")[1]["word"] == "0xFF008001"


@pytest.mark.parametrize(
    ("text", "found", "fix"),
    [
        ("", "an empty text", "leave it out"),
        (" , ", "an empty text", "leave it out"),
        ("0x0801912G", "characters that are no hexadecimal digits: G", "use 0 to 9 and A to F only"),
        ("5V 3A", "characters that are no hexadecimal digits: V", "use 0 to 9 and A to F only"),
        ("0x080191", "", ""),
        ("0801912", "7 hexadecimal digits", "an object has eight of them: 0x0801912C"),
        ("080191200", "9 hexadecimal digits", "an object has eight of them: 0x0801912C"),
        ("0x0801912C0", "9 hexadecimal digits", "an object has eight of them: 0x0801912C"),
        ("0x12", "2 hexadecimal digits", "an object has eight of them: 0x0801912C"),
        ("a", "1 hexadecimal digit", "an object has eight of them: 0x0801912C"),
        ("a161", "2 bytes", "copy the whole message"),
        (CAPTURE[:-2], "25 bytes", "copy the whole message"),
    ],
)
def test_faults(text, found, fix):
    reading = read_pd_texts([text])
    if not found:
        assert reading.faults == ()
        return
    (fault,) = reading.faults
    assert (fault.text, fault.found) == (text, found)
    assert fix in fault.fix
    assert fault.expected


def test_the_length_that_would_be_right_is_told():
    (fault,) = read_pd_texts(["a161"]).faults
    assert fault.expected == "26 bytes, or 30 with the checksum, since the header announces 6 objects"


def test_all_wrong_texts_are_told_at_once():
    reading = read_pd_texts(["0x0801912C", "zz", "0x12", CAPTURE, "a161"])
    assert [fault.text for fault in reading.faults] == ["zz", "0x12", "a161"]


def test_a_lost_piece_leaves_the_message_not_complete():
    assert [item["complete"] for item in facts(EXTENDED[0], EXTENDED[1].replace("2888", "2898"))] == [False, False]


def test_pieces_that_cannot_be_joined_are_a_fault():
    second_of_two = "b1f13488" + "00" * 26
    reading = read_pd_texts([second_of_two, second_of_two])
    assert reading.faults[0].found == "the pieces [1, 1]"
    assert reading.faults[0].expected == "all of them in order, from 0"


@given(st.lists(st.text(max_size=40) | st.binary(max_size=34).map(bytes.hex), max_size=4))
def test_every_text_is_read_or_refused_with_full_words(texts):
    reading = read_pd_texts(texts)
    assert all(fault.found and fault.expected and fault.fix for fault in reading.faults)
    json.dumps(reading.facts)
    if texts:
        assert reading.facts or reading.faults
