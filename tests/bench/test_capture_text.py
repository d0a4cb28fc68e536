"""Logs with USB PD in them: which objects and messages are found, and which numbers are left alone."""

from zlib import crc32

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.bench.capture_text import read_capture_text
from lidoff.bench.pd_texts import read_pd_texts

CAPTURE = "a161 2c910108 2cd10200 2cc10300 2cb10400 45410600 3c21dcc0"  # README of usbpdpy 0.4.0, Quick start
WORDS = ("0x0801912C", "0x0002D12C", "0x0003C12C", "0x0004B12C", "0x00064145", "0xC0DC213C")
BYTES = bytes.fromhex(CAPTURE.replace(" ", ""))
CHECKED = BYTES + crc32(BYTES).to_bytes(4, "little")
# made up: 5 to 20 V in the standard range, two empty positions, then 28 V, 36 V and an adjustable supply; in two pieces
EXTENDED = (
    "b1f1 2880 2c918108 2cd10200 2cc10300 2cb10400 f4410600 00000000 0000",
    "b1c1 2888 0000 f4c10800 f4410b00 b496d0d2",
)
EXTENDED_WORDS = (
    "0x0881912C", "0x0002D12C", "0x0003C12C", "0x0004B12C", "0x000641F4", "0x00000000", "0x00000000", "0x0008C1F4",
    "0x000B41F4", "0xD2D096B4",
)  # fmt: skip


def captures(*lines: str) -> list[tuple[str, tuple[str, ...]]]:
    found = read_capture_text("\n".join(lines)).capabilities
    assert [one.fault for one in found] == [""] * len(found)
    return [(one.message, one.words) for one in found]


def dump(content: bytes, form: str) -> list[str]:
    """Lines of eight bytes."""
    rows = [content[at : at + 8] for at in range(0, len(content), 8)]
    return [form.format(at=8 * number, bytes=row.hex(" ")) for number, row in enumerate(rows)]


@pytest.mark.parametrize(
    "lines",
    [
        [CAPTURE],
        [f"[12:00:01.234] RX SOP Source_Capabilities  {BYTES.hex(' ').upper()}"],
        [f"2026-03-09T12:00:01Z rx: {BYTES.hex(':')}"],
        [f"  12.345678 ms, 12, {CHECKED.hex(' ')}"],
        [f"SOP 00 12 35 {CHECKED.hex(' ')} 7e"],
        [f"data=({', '.join(f'0x{byte:02x}' for byte in BYTES)})"],
        dump(BYTES, "{bytes}"),
        ["capture:", *dump(BYTES, "{at:04x}: {bytes}"), "end"],
        dump(CHECKED, "{at:08x}  {bytes}  |........|"),
        ["RX " + BYTES[:9].hex(" "), BYTES[9:].hex(" ")],
        list(WORDS),
        [" ".join(WORDS)],
        [f"PDO{number}: {word[2:]}" for number, word in enumerate(WORDS, 1)],
        [f"[{number}] = {word}  fixed 5V 3A" for number, word in enumerate(WORDS, 1)],
        [f"00:00:0{number}.125 #{number} {word} ({number}00 mV)" for number, word in enumerate(WORDS, 1)],
        ["Src Cap:", *(f"  {number}: {word.lower()}" for number, word in enumerate(WORDS, 1))],
        ["Get_Source_Cap", "Source_Capabilities", *WORDS, "Request 0x230370DC", "Sink_Capabilities", "0x0A01912C"],
    ],
    ids=lambda lines: lines[0][:40],
)
def test_one_message_in_many_logs(lines: list[str]) -> None:
    assert captures(*lines) == [("spr", WORDS)]


def test_bytes_are_kept_and_a_message_that_is_sent_again_counts_once() -> None:
    reading = read_capture_text(f"{CHECKED.hex()}\n0x0801912C {' '.join(WORDS[1:])}\n{CHECKED.hex()}\n")
    (one,) = reading.capabilities
    assert (one.bytes, one.line, one.fault) == (CHECKED.hex(" ").upper(), 1, "")


def test_facts_have_their_lines_and_positions() -> None:
    reading = read_capture_text(f"start\n\n{CAPTURE}\nPDO8: 0x0008C1F4\n8210 dc700323\n")
    assert [(fact["line"], fact["kind"], fact.get("position")) for fact in reading.facts] == [
        (3, "message", None), *((3, "fixed", position) for position in range(1, 6)), (3, "pps", 6), (4, "fixed", 8),
        (5, "message", None), (5, "request", 2),
    ]  # fmt: skip
    alone = read_pd_texts([CAPTURE]).facts
    assert [{key: value for key, value in fact.items() if key != "line"} for fact in reading.facts[:7]] == list(alone)


def test_a_long_message_in_two_pieces() -> None:
    lines = ["EPR_Source_Capabilities", EXTENDED[0], "GoodCRC 41 00 bb 6c bb a8", EXTENDED[1]]
    assert captures(*lines) == [("epr", EXTENDED_WORDS)]
    checked = [content + crc32(content).to_bytes(4, "little") for content in map(bytes.fromhex, EXTENDED)]
    (one,) = read_capture_text("\n".join(content.hex(" ") for content in checked)).capabilities
    assert bytes.fromhex(one.bytes) == b"".join(checked)


def test_objects_of_the_extended_range_stand_at_their_positions() -> None:
    lines = [f"PDO {position}: {word}" for position, word in enumerate(EXTENDED_WORDS, 1) if word != "0x00000000"]
    assert captures(*lines) == captures("EPR_Source_Capabilities", *EXTENDED_WORDS) == [("epr", EXTENDED_WORDS)]


def test_two_states_are_two_messages() -> None:
    other = ("0x0801912C", "0x0002D0DE")
    placed = [f"PDO{number}: {word}" for words in (WORDS, other) for number, word in enumerate(words, 1)]
    headed = ["Source_Capabilities", *WORDS, "Source_Capabilities", *other]
    for lines in ([*WORDS, *other], headed, placed):
        assert captures(*lines) == [("spr", WORDS), ("spr", other)]


@pytest.mark.parametrize(
    ("lines", "fault"),
    [
        (["0x0002D12C", "0x0003C12C"], "0x0002D12C as the first object, where a fixed one of 5 V is expected"),
        (
            ["EPR_Source_Capabilities", "0x0881912C", "0x0008C1F4"],
            "an object of the extended range before position 8: give the positions",
        ),
        (["0x0801912C", *WORDS[1:], *WORDS[1:], "0xC0DC213C"], "12 objects, where 1 to 11 are expected"),
        (["PDO2: 0x0002D12C"], "0x00000000 as the first object, where a fixed one of 5 V is expected"),
        ([BYTES.hex() + "00000000"], "a checksum that is wrong"),
    ],
)
def test_what_must_not_be_kept(lines: list[str], fault: str) -> None:
    (one,) = read_capture_text("\n".join(lines)).capabilities
    assert one.fault == fault


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        ("de ad be ef 01 02 03 04", "8 bytes that are no whole message"),
        ("Sink_Capabilities 0x0A01912C", "numbers of another message than the source's capabilities"),
        ("RDO 0x230370DC", "numbers of another message than the source's capabilities"),
        (dump(BYTES, "{at:04x}: {bytes}")[1], "8 bytes that are no whole message"),
    ],
)
def test_what_is_passed_over_is_told(line: str, reason: str) -> None:
    reading = read_capture_text(f"log\n{line}\nend")
    assert reading.facts == reading.capabilities == ()
    assert [(passed.line, passed.reason) for passed in reading.passed] == [(2, reason)]


@pytest.mark.parametrize(
    "line",
    [
        "",
        "12:00:01 20:15:30 attached",
        "2026-03-09",
        "serial 20260309",
        "CRC 0x19B1FB90",
        "addr 0x20000400",
        "VBUS 20000000 uV",
        "add face bead",
        "id DEADBEEF",
        "5V 3A",
    ],
)
def test_other_numbers_are_left_alone(line: str) -> None:
    reading = read_capture_text(line)
    assert reading.facts == reading.capabilities == reading.passed == ()


OBJECTS = st.integers(1, 2**32 - 1).filter(lambda word: not (word >> 30 == 0 and word >> 10 & 0x3FF == 100))
NOISE = st.sampled_from(["", "attached", "VBUS 5.02 V", "12:00:01.5 TX GoodCRC", "--", "31 C", "SNK_READY at 10:11:12"])


@given(st.lists(OBJECTS, max_size=6), st.data())
def test_words_come_back_from_every_way_of_writing(others: list[int], data: st.DataObject) -> None:
    words = [0x0801912C, *others]
    message = (len(words) << 12 | 0x01A1).to_bytes(2, "little") + b"".join(word.to_bytes(4, "little") for word in words)
    ways = {
        "one by one": [f"0x{word:08X}" for word in words],
        "with positions": [f"PDO{number}: {word:08x}" for number, word in enumerate(words, 1)],
        "in one line": ["caps " + " ".join(f"0x{word:08x}" for word in words)],
        "as a message": [message.hex(" ")],
    }
    way = data.draw(st.sampled_from(list(ways)))
    lines = [piece for line in ways[way] for piece in (data.draw(NOISE), line)]
    found = read_capture_text("\n".join(["Source_Capabilities", *lines, data.draw(NOISE)])).capabilities
    assert [one.words for one in found] == [tuple(f"0x{word:08X}" for word in words)]


SCRAPS = st.sampled_from(["0x0801912C", "PDO8:", "a1 61", "2c 91 01 08", "\n", ":", "0000:", "12:00:01", "|"])


@given(st.text(max_size=300) | st.lists(SCRAPS, max_size=30).map(" ".join))
def test_every_text_is_read(text: str) -> None:
    reading = read_capture_text(text)
    lines = text.splitlines()
    assert all(1 <= fact["line"] <= len(lines) for fact in reading.facts)
    assert all(one.words for one in reading.capabilities if not one.fault)
