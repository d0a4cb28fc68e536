"""``lidoff decode`` from outside: text, JSON, YAML, exit codes and messages."""

import json

import pytest
import yaml
from click.testing import CliRunner

from lidoff.cli import main

CAPTURE = "a161 2c910108 2cd10200 2cc10300 2cb10400 45410600 3c21dcc0"  # README of usbpdpy 0.4.0, Quick start


def decode(*arguments: str):
    return CliRunner().invoke(main, ["decode", *arguments])


def test_text():
    result = decode(
        "0x0801912C", "0xC9A42164", "0xE804B1F4", "0xE004B000", "0xD2D096B4", "0x4F01903C", "0xF1234567", "0xC1A421BC"
    )
    assert result.exit_code == 0
    assert result.stdout.splitlines() == [
        "0x0801912C  fixed        5 V, 3 A, 15 W; unconstrained power",
        "0xC9A42164  pps          3.3 to 21 V, 5 A; power limited",
        "0xE804B1F4  spr-avs      9 to 15 V 3 A, 15 to 20 V 5 A; peak current code 2",
        "0xE004B000  spr-avs      9 to 15 V 3 A",
        "0xD2D096B4  epr-avs      15 to 36 V, 180 W",
        "0x4F01903C  battery      5 to 12 V, 15 W",
        "0xF1234567  reserved     no edition defines this kind yet",
        "0xC1A421BC  pps          3.3 to 21 V, 3 A; reserved bits set: 0x00000080",
    ]
    assert result.stderr == ""


def test_text_of_messages():
    result = decode(CAPTURE + " 90fbb119", "8210dc700323", "4100bb6cbba9", "0x009F")
    assert result.stdout.splitlines() == [
        "message 0x61A1  Source_Capabilities, id 0, from the source (DFP), revision 3.x, 6 objects, checksum right",
        " 1  0x0801912C  fixed        5 V, 3 A, 15 W; unconstrained power",
        " 2  0x0002D12C  fixed        9 V, 3 A, 27 W",
        " 3  0x0003C12C  fixed        12 V, 3 A, 36 W",
        " 4  0x0004B12C  fixed        15 V, 3 A, 45 W",
        " 5  0x00064145  fixed        20 V, 3.25 A, 65 W",
        " 6  0xC0DC213C  pps          3.3 to 11 V, 3 A",
        "message 0x1082  Request, id 0, from the sink (UFP), revision 3.x, 1 object, checksum not given",
        " 2  0x230370DC  request      fixed, 2.2 A, at most 2.2 A; USB communications; no USB suspend",
        "message 0x0041  GoodCRC, id 0, from the sink (UFP), revision 2.0, 0 objects, "
        "checksum wrong, expected 0xA8BB6CBB",
        "message 0x009F  type code 31, no known name, id 0, from the sink (UFP), revision 3.x, 0 objects",
    ]


def test_text_of_long_messages_and_others():
    pieces = (
        "b1f1 2880 2c918108 2cd10200 2cc10300 2cb10400 f4410600 00000000 0000",
        "b1c1 2888 0000 f4c10800 f4410b00 b496d0d2",
    )
    first, last, *objects = decode(*pieces).stdout.splitlines()
    assert "EPR_Source_Capabilities" in first
    assert "chunk 0, not complete, 40 bytes in all, checksum not given, data 2c91" in first
    assert last.endswith("chunk 1, checksum not given")
    assert objects[0] == " 1  0x0881912C  fixed        5 V, 3 A, 15 W; unconstrained power; EPR capable"
    assert objects[-1] == "10  0xD2D096B4  epr-avs      15 to 36 V, 180 W"
    assert "chunk 1 asked for" in decode("9190 008c0000").stdout
    assert decode("4f10018000ff").stdout.splitlines()[1] == "0xFF008001  data-object"
    assert (
        decode("8210dc700323")
        .stdout.splitlines()[1]
        .endswith("to read its numbers, give the capabilities message before it")
    )
    battery = decode("a111 3c90014f", "8210 3cf00010").stdout.splitlines()[-1]
    assert battery == " 1  0x1000F03C  request      battery, 15 W, at most 15 W"


def test_json_is_a_list_of_objects_with_units_in_the_keys():
    result = decode("0x0002D0DE", "--format", "json")
    assert result.exit_code == 0
    (item,) = json.loads(result.stdout)
    assert (item["word"], item["kind"], item["voltage_v"], item["current_a"], item["power_w"]) == (
        "0x0002D0DE",
        "fixed",
        9,
        2.22,
        19.98,
    )
    assert '"current_a": 2.22,' in result.stdout
    assert item["epr_capable"] is False


def test_yaml_says_the_same_as_json():
    arguments = (CAPTURE, "0xC9A42164", "--format")
    assert yaml.safe_load(decode(*arguments, "yaml").stdout) == json.loads(decode(*arguments, "json").stdout)
    assert decode("0xC9A42164", "--format", "yaml").stdout.splitlines()[:3] == [
        "- word: '0xC9A42164'",
        "  kind: pps",
        "  voltage_min_v: 3.3",
    ]


@pytest.mark.parametrize("form", ["text", "json", "yaml"])
def test_wrong_words_are_told_all_at_once_and_nothing_else_is_printed(form):
    result = decode("0x0801912C", "0x0801912G", "a161", "--format", form)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert result.stderr == (
        'error: "0x0801912G" is no USB PD object or message\n'
        "  found     characters that are no hexadecimal digits: G\n"
        "  expected  an object of eight hexadecimal digits, or the bytes of a whole message\n"
        "  fix       use 0 to 9 and A to F only\n"
        'error: "a161" is no USB PD object or message\n'
        "  found     2 bytes\n"
        "  expected  26 bytes, or 30 with the checksum, since the header announces 6 objects\n"
        "  fix       copy the whole message from its header on, or give each object by itself as 0x and eight digits\n"
    )


@pytest.mark.parametrize(
    ("arguments", "text"),
    [((), "Missing argument 'WORD...'"), (("0x0801912C", "--format", "csv"), "'csv' is not one of")],
)
def test_wrong_usage(arguments, text):
    result = decode(*arguments)
    assert result.exit_code == 2
    assert text in result.stderr


def test_help_shows_both_ways_to_give_a_word():
    help_text = decode("--help").stdout
    assert "decode 0x0801912C" in help_text
    assert "a161 2c910108" in help_text
