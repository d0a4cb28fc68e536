"""Source power data objects: layouts against the kernel's header, encode against decode, refusals."""

import csv
import dataclasses
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.engineering.bit_fields import BitField, covered_bits, read_fields, write_fields
from lidoff.engineering.usb_pd_headers import EXTENDED_HEADER_FIELDS, HEADER_FIELDS
from lidoff.engineering.usb_pd_objects import (
    LAYOUTS,
    SUPPLY_TYPES,
    TYPE_BITS,
    TYPE_MASKS,
    decode_source_object,
    encode_supply,
    object_kind,
)
from lidoff.engineering.usb_pd_requests import REQUEST_LAYOUTS
from lidoff.engineering.usb_pd_supplies import (
    BatterySupply,
    EprAdjustableSupply,
    FixedSupply,
    ProgrammableSupply,
    ReservedSupply,
    SprAdjustableSupply,
    VariableSupply,
)

WORDS = st.integers(0, 2**32 - 1)
# copied from the Linux kernel's include/linux/usb/pd.h, version 6.1.187 (Debian linux-headers-6.1.0-53-common), and
# compared with it by program when it was copied
HEADER_TABLE = Path(__file__).with_name("layouts") / "linux_pd_header.csv"


def header_rows() -> list:
    with HEADER_TABLE.open(encoding="utf-8", newline="") as file:
        return [pytest.param(row, id=f"{row['object']}-{row['field']}") for row in csv.DictReader(file)]


def layout_named(name: str) -> tuple[BitField, ...]:
    if name == "header":
        return HEADER_FIELDS
    if name == "extended header":
        return EXTENDED_HEADER_FIELDS
    if name.endswith(" request"):
        return REQUEST_LAYOUTS[name.removesuffix(" request")][1]
    return LAYOUTS[name]


@pytest.mark.parametrize("row", header_rows())
def test_field_lies_where_the_kernel_has_it(row):
    (field,) = (field for field in layout_named(row["object"]) if field.name == row["field"])
    assert field.lowest_bit == int(row["shift"])
    assert (1 << field.width) - 1 == int(row["mask"], 16)
    assert field.steps == (1000 / int(row["step_in_milli_units"]) if row["step_in_milli_units"] else 0)


@pytest.mark.parametrize(
    ("kind", "name", "lowest_bit", "width", "steps"),
    [
        # bit 23 and the codes of bits 21 and 20: USB PD R3.2 table 6.9, as usbpdparser 1.1.6 has it
        ("fixed", "epr_capable", 23, 1, 0),
        ("fixed", "peak_current", 20, 2, 0),
        # bit 27: libsigrokdecode 0.5.3 and usbpdparser 1.1.6
        ("pps", "power_limited", 27, 1, 0),
        # Linux kernel patch of October 2025 (EPR/SPR AVS APDO) and usbpdparser 1.1.6
        ("epr-avs", "peak_current", 26, 2, 0),
        ("epr-avs", "voltage_max", 17, 9, 10),
        ("epr-avs", "voltage_min", 8, 8, 10),
        ("epr-avs", "power", 0, 8, 1),
        ("spr-avs", "peak_current", 26, 2, 0),
        ("spr-avs", "current_to_15v", 10, 10, 100),
        ("spr-avs", "current_to_20v", 0, 10, 100),
    ],
)
def test_field_that_the_kernel_header_lacks(kind, name, lowest_bit, width, steps):
    assert BitField(name, lowest_bit, width, steps) in LAYOUTS[kind]


@pytest.mark.parametrize(
    ("word", "kind"),
    [
        (0x00000000, "fixed"), (0x3FFFFFFF, "fixed"), (0x40000000, "battery"), (0x7FFFFFFF, "battery"),
        (0x80000000, "variable"), (0xBFFFFFFF, "variable"), (0xC0000000, "pps"), (0xCFFFFFFF, "pps"),
        (0xD0000000, "epr-avs"), (0xDFFFFFFF, "epr-avs"), (0xE0000000, "spr-avs"), (0xEFFFFFFF, "spr-avs"),
        (0xF0000000, "reserved"), (0xFFFFFFFF, "reserved"),
    ],
)  # fmt: skip
def test_kind_at_both_ends_of_its_range(word, kind):
    assert object_kind(word) == kind


@pytest.mark.parametrize("kind", LAYOUTS)
def test_fields_do_not_overlap_each_other_or_the_type(kind):
    layout = LAYOUTS[kind]
    assert sum(field.width for field in layout) == covered_bits(layout).bit_count()
    assert not covered_bits(layout) & TYPE_MASKS[kind]
    assert not TYPE_BITS[kind] & ~TYPE_MASKS[kind]
    assert {field.name for field in layout} == {field.name for field in dataclasses.fields(SUPPLY_TYPES[kind])}


@pytest.mark.parametrize(
    ("kind", "unused"),
    [
        ("fixed", 1 << 22),
        ("battery", 0),
        ("variable", 0),
        ("pps", 0x06010080),
        ("epr-avs", 1 << 16),
        ("spr-avs", 0x03F00000),
        ("reserved", 0),
    ],
)
def test_reserved_bits_of_each_kind(kind, unused):
    assert decode_source_object(TYPE_BITS[kind] | unused).reserved_bits == unused
    assert decode_source_object(TYPE_BITS[kind] | (~unused & ~TYPE_MASKS[kind] & 0xFFFFFFFF)).reserved_bits == 0


@given(WORDS)
def test_every_word_comes_back_from_its_content(word):
    decoded = decode_source_object(word)
    assert decoded.word == word
    assert encode_supply(decoded.supply, decoded.reserved_bits) == word


def grid(largest: int, steps: int):
    return st.integers(0, largest).map(lambda raw: raw / steps)


VOLTS, AMPERES, CODES = grid(1023, 20), grid(1023, 100), st.integers(0, 3)
FLAGS = {field.name: st.booleans() for field in LAYOUTS["fixed"] if field.width == 1}
SUPPLIES = st.one_of(
    st.builds(FixedSupply, voltage=VOLTS, current=AMPERES, peak_current=CODES, **FLAGS),
    st.builds(BatterySupply, voltage_max=VOLTS, voltage_min=VOLTS, power=grid(1023, 4)),
    st.builds(VariableSupply, voltage_max=VOLTS, voltage_min=VOLTS, current=AMPERES),
    st.builds(
        ProgrammableSupply,
        voltage_max=grid(255, 10),
        voltage_min=grid(255, 10),
        current=grid(127, 20),
        power_limited=st.booleans(),
    ),
    st.builds(
        EprAdjustableSupply,
        voltage_max=grid(511, 10),
        voltage_min=grid(255, 10),
        power=grid(255, 1),
        peak_current=CODES,
    ),
    st.builds(SprAdjustableSupply, current_to_15v=AMPERES, current_to_20v=AMPERES, peak_current=CODES),
    st.builds(ReservedSupply, content=st.integers(0, 2**28 - 1)),
)


@given(SUPPLIES)
def test_every_content_comes_back_from_its_word(supply):
    decoded = decode_source_object(encode_supply(supply))
    assert decoded.supply == supply
    assert SUPPLY_TYPES[decoded.kind] is type(supply)
    assert decoded.reserved_bits == 0


@given(st.integers(0, 1023))
def test_values_are_the_nearest_doubles_of_the_printed_decimals(raw):
    supply = decode_source_object(raw << 10 | raw).supply
    assert supply.current == float(f"{raw // 100}.{raw % 100:02}")
    assert supply.voltage == float(f"{raw * 5 // 100}.{raw * 5 % 100:02}")


@pytest.mark.parametrize("word", [-1, 2**32])
def test_a_number_that_does_not_fit_is_refused(word):
    with pytest.raises(ValueError, match="expected a number of 32 bits"):
        decode_source_object(word)


@pytest.mark.parametrize(
    ("supply", "reserved_bits", "message"),
    [
        (FixedSupply(voltage=9.03, current=3.0), 0, r"voltage is 9.03: expected a multiple of 0.05"),
        (FixedSupply(voltage=9.0, current=2.222), 0, r"current is 2.222: expected a multiple of 0.01"),
        (FixedSupply(voltage=51.2, current=3.0), 0, r"voltage is 51.2: expected 0 to 51.15"),
        (FixedSupply(voltage=-5.0, current=3.0), 0, r"voltage is -5: expected 0 to 51.15"),
        (FixedSupply(voltage=5.0, current=3.0, peak_current=4), 0, r"peak_current is 4: expected 0 to 3"),
        (EprAdjustableSupply(voltage_max=28.0, voltage_min=15.0, power=256.0), 0, r"power is 256: expected 0 to 255"),
        (FixedSupply(voltage=5.0, current=3.0), 1 << 30, r"0x40000000: some of them have a meaning in a fixed object"),
        (FixedSupply(voltage=5.0, current=3.0), 1, r"0x00000001: some of them have a meaning in a fixed object"),
        (FixedSupply(voltage=5.0, current=3.0), 1 << 32, r"0x100000000: some of them have a meaning"),
        (FixedSupply(voltage=5.0, current=3.0), 1 << 33, r"0x200000000: some of them have a meaning"),
    ],
)
def test_content_that_does_not_fit_is_refused(supply, reserved_bits, message):
    with pytest.raises(ValueError, match=message):
        encode_supply(supply, reserved_bits)


def test_the_highest_value_of_a_field_fits():
    assert encode_supply(FixedSupply(voltage=51.15, current=10.23)) == 0x000FFFFF


def test_flags_codes_and_numbers_are_told_apart():
    fields = (BitField("flag", 4, 1), BitField("code", 2, 2), BitField("number", 0, 2, steps=4))
    assert read_fields(0b11110, fields) == {"flag": True, "code": 3, "number": 0.5}
    assert [type(value) for value in read_fields(0b11110, fields).values()] == [bool, int, float]
    assert write_fields({"flag": True, "code": 3, "number": 0.5}, fields) == 0b11110
    assert covered_bits(fields) == 0b11111
    assert covered_bits(()) == 0
