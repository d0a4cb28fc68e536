"""Random words against the decoder usb_power_delivery of libsigrokdecode 0.5.3 (Debian package libsigrokdecode4).

Its bit-level part is left out: its functions for objects, requests, headers and the checksum are called by themselves.
"""

import importlib.util
import os
import random
import re
import struct
import sys
import types
from pathlib import Path

import pytest

from lidoff.engineering.usb_pd_headers import decode_message_header
from lidoff.engineering.usb_pd_messages import message_checksum
from lidoff.engineering.usb_pd_objects import decode_source_object
from lidoff.engineering.usb_pd_requests import decode_request

DECODER = Path("/usr/share/libsigrokdecode/decoders/usb_power_delivery/pd.py")
FLAGS = {
    "dual_role_power": "dual_role_power",
    "suspend": "usb_suspend_supported",
    "unconstrained": "unconstrained_power",
    "comm_cap": "usb_communications",
    "dual_role_data": "dual_role_data",
    "unchunked": "unchunked_extended_messages",
}
REQUEST_FLAGS = {
    "unchunked": "unchunked_extended_messages",
    "no_suspend": "no_usb_suspend",
    "comm_cap": "usb_communications",
    "cap_mismatch": "capability_mismatch",
    "give_back": "giveback",
}


@pytest.fixture
def decoder(monkeypatch):
    if not DECODER.exists():
        if os.environ.get("CI") == "true":
            pytest.fail(f"{DECODER} is missing: install the Debian package libsigrokdecode4")
        pytest.skip("needs the Debian package libsigrokdecode4")
    host = types.ModuleType("sigrokdecode")
    host.Decoder, host.SRD_CONF_SAMPLERATE = object, 0
    monkeypatch.setitem(sys.modules, "sigrokdecode", host)
    spec = importlib.util.spec_from_file_location("sigrok_usb_power_delivery", DECODER)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module.Decoder()


def parts(text: str) -> tuple[str, list[float], set[str]]:
    """Name, numbers and flags of a line such as ``[Fixed] 9V 2.22A (19.98W) [suspend]``."""
    name, rest = re.fullmatch(r"\[([^\]]+)\] (.*)", text).groups()
    return (
        name,
        [float(number) for number in re.findall(r"\d+(?:\.\d+)?", re.sub(r"\[.*?\]", "", rest))],
        set(re.findall(r"\[(.*?)\]", rest)),
    )


def close(ours: list[float], theirs: list[float]) -> bool:
    """Equal to the six digits that the decoder prints."""
    return len(ours) == len(theirs) and all(
        a == pytest.approx(b, rel=5.1e-6, abs=1e-9) for a, b in zip(ours, theirs, strict=True)
    )


def test_objects(decoder):
    chosen = random.Random(20260312)
    for _ in range(10_000):
        word = chosen.getrandbits(32)
        name, numbers, flags = parts(decoder.get_source_sink_cap(word, 1, True))
        ours = decode_source_object(word)
        supply = ours.supply
        if ours.kind == "fixed":
            assert close([supply.voltage, supply.current, supply.voltage * supply.current], numbers)
            assert {FLAGS[flag] for flag in flags} == {
                ours_name for ours_name in FLAGS.values() if getattr(supply, ours_name)
            }
        elif ours.kind == "battery":
            assert close([supply.voltage_min, supply.voltage_max, supply.power], numbers)
        elif ours.kind == "variable":
            assert close([supply.voltage_min, supply.voltage_max, supply.current], numbers)
        elif ours.kind == "pps":
            # fault: the mask of the current has 8 bits, so that reserved bit 7 adds 6.4 A
            leak = 6.4 if word & 0x80 else 0.0
            assert close([supply.voltage_min, supply.voltage_max, supply.current + leak], numbers)
            # fault: a second flag on bit 29, which is never set in a PPS object
            assert flags == ({"limited"} if supply.power_limited else set())
        else:  # fault: both adjustable supplies are called reserved
            assert name.startswith("Reserved APDO")


def test_requests_for_fixed_supplies(decoder):
    # faults, hence not compared: a variable supply is read as a battery, an adjustable one as PPS, and the current of a
    # PPS request has only 6 bits
    chosen = random.Random(20260313)
    decoder.cap_mark, decoder.stored_pdos = [0] * 8, {}
    for _ in range(2000):
        word = chosen.getrandbits(31)
        text = decoder.get_request(word)
        ours = decode_request(word, "fixed")
        position, current, current_max = re.match(
            r"\(PDO #(\d)\) ([\d.e-]+)A \(operating\) / ([\d.e-]+)A", text
        ).groups()
        assert int(position) == ours.position
        assert close([ours.current, ours.current_max], [float(current), float(current_max)])
        flags = {REQUEST_FLAGS[flag] for flag in re.findall(r"\[(\w+)\]", text)}
        assert flags == {name for name in REQUEST_FLAGS.values() if getattr(ours, name)}


def test_headers(decoder):
    for word in range(0, 1 << 16, 11):
        decoder.head = word
        ours = decode_message_header(word)
        assert decoder.head_count() == ours.object_count
        assert decoder.head_id() == ours.message_id
        assert decoder.head_power_role() == ours.from_source
        assert decoder.head_data_role() == ours.downstream_facing
        assert decoder.head_rev() == ours.revision_code + 1
        assert decoder.head_type() == ours.type_code % 16  # fault: the type is cut to four bits


def test_checksum(decoder):
    chosen = random.Random(20260314)
    for objects in range(8):
        decoder.head = chosen.getrandbits(16)
        decoder.data = [chosen.getrandbits(32) for _ in range(objects)]
        content = struct.pack(f"<H{objects}I", decoder.head, *decoder.data)
        assert decoder.compute_crc32() == message_checksum(content)
