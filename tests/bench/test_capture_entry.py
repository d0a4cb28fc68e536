"""A capture put into a record: what is written, where, and what is refused without touching the file."""

from pathlib import Path

import pytest
from ruamel.yaml import YAML

from lidoff.bench.capture_entry import RefusedCapture, State, entered
from lidoff.bench.capture_text import read_capture_text
from lidoff.record.load import load_text

SAMPLE = (Path(__file__).parents[1] / "record" / "sample.yaml").read_bytes()
LOG = "Source_Capabilities 0x0801912C 0x0002D12C 0x00064145\n"
CAPABILITIES = read_capture_text(LOG).capabilities
EXTENDED = read_capture_text(LOG + "PDO1: 0x0881912C\nPDO8: 0x0008C1F4\n").capabilities
STATE = State(port="A1", alone=True, cable="emarked-5a", sample="s2", instrument="pm1")


def added_lines(before: bytes, after: bytes) -> str:
    """The text that was put in; what stands around it is the file as it was."""
    size = len(after) - len(before)
    place = next(at for at in range(len(before), -1, -1) if after.startswith(before[:at]))
    assert after[:place] + after[place + size :] == before
    return after[place : place + size].decode()


def test_a_capture_goes_behind_the_others_of_its_port() -> None:
    result = entered(SAMPLE, "record.yaml", State(port="C1", beside=("A1",), cable="direct"), CAPABILITIES)
    ports = load_text(result.content, "record.yaml").record.ports
    number = len(load_text(SAMPLE, "record.yaml").record.ports[0].advertised)
    assert result.fields == (f"ports[0].advertised[{number}]",)
    last = ports[0].advertised[-1]
    assert (last.alone, last.beside, last.cable, last.sample, last.message) == (False, ("A1",), "direct", None, "spr")
    assert last.words == ("0x0801912C", "0x0002D12C", "0x00064145")
    assert "alone: false" in added_lines(SAMPLE, result.content)


def test_an_independent_reader_sees_one_item_more() -> None:
    result = entered(SAMPLE, "record.yaml", STATE, CAPABILITIES)
    yaml = YAML(typ="safe", pure=True)
    before, after = yaml.load(SAMPLE), yaml.load(result.content)
    assert after["ports"][1].pop("advertised") == [*before["ports"][1].pop("advertised"), {
        "alone": True, "cable": "emarked-5a", "message": "spr", "sample": "s2", "instrument": "pm1",
        "words": ["0x0801912C", "0x0002D12C", "0x00064145"],
    }]  # fmt: skip
    assert after == before
    assert added_lines(SAMPLE, result.content)


def test_what_is_not_known_is_left_out() -> None:
    result = entered(SAMPLE, "record.yaml", State(port="A1"), CAPABILITIES)
    assert added_lines(SAMPLE, result.content).replace("\n", "").split() == (
        ["{message:", "spr,", "words:", '["0x0801912C",', '"0x0002D12C",', '"0x00064145"]}']
    )


def test_both_ranges_of_one_state_are_two_captures() -> None:
    result = entered(SAMPLE, "record.yaml", STATE, EXTENDED)
    assert result.fields == ("ports[1].advertised[0]", "ports[1].advertised[1]")
    spr, epr = load_text(result.content, "record.yaml").record.ports[1].advertised
    assert (spr.message, epr.message, len(epr.words)) == ("spr", "epr", 8)


def test_the_bytes_are_kept() -> None:
    # README of usbpdpy 0.4.0, Quick start
    found = read_capture_text("a161 2c910108 2cd10200 2cc10300 2cb10400 45410600 3c21dcc0").capabilities
    result = entered(SAMPLE, "record.yaml", STATE, found)
    assert load_text(result.content, "record.yaml").record.ports[1].advertised[0].bytes == (
        "A1 61 2C 91 01 08 2C D1 02 00 2C C1 03 00 2C B1 04 00 45 41 06 00 3C 21 DC C0"
    )


@pytest.mark.parametrize(
    ("state", "found", "fix"),
    [
        (State(port="C9"), "the port C9", "correct the name, or add the port to the record first"),
        (State(port="A1", beside=("B1",)), "the port B1", "correct the name, or add the port to the record first"),
        (State(port="A1", beside=("A1",)), "A1 beside itself", "take A1 out of --beside"),
        (State(port="A1", beside=("C1", "C1")), "--beside C1,C1", "name each port once"),
        (
            State(port="A1", alone=True, beside=("C1",)),
            "--alone and --beside",
            "leave --alone out if another port was in use",
        ),
        (State(port="A1", cable="emarked"), "the cable emarked", "write emarked-5a"),
        (State(port="A1", cable="long"), "the cable long", "write one of these"),
        (State(port="A1", sample="s9"), "the sample s9", "correct the name, or add the sample to the record first"),
        (
            State(port="A1", instrument="scope"),
            "the instrument scope",
            "correct the name, or add the instrument to the record first",
        ),
    ],
)
def test_names_that_the_record_does_not_have(state: State, found: str, fix: str) -> None:
    with pytest.raises(RefusedCapture, match=f"^found     {found}\n") as refusal:
        entered(SAMPLE, "record.yaml", state, CAPABILITIES)
    assert str(refusal.value).splitlines()[2] == f"fix       {fix}"
    assert refusal.value.findings == ()


def test_a_record_with_errors_is_refused_with_them() -> None:
    with pytest.raises(RefusedCapture, match="^found     errors in record.yaml\n") as refusal:
        entered(SAMPLE.replace(b"status: published", b"status: done"), "record.yaml", STATE, CAPABILITIES)
    assert [finding.rule for finding in refusal.value.findings] == ["record-word"]


@pytest.mark.parametrize(
    ("log", "found"),
    [
        ("nothing", "no capabilities of a source"),
        ("0x0801912C 0x0002D12C\n0x0801912C 0x00064145\n", "2 different messages of kind spr, in lines 1, 2"),
        ("0x0002D12C\n", "line 1: 0x0002D12C as the first object, where a fixed one of 5 V is expected"),
    ],
)
def test_messages_that_cannot_be_kept(log: str, found: str) -> None:
    with pytest.raises(RefusedCapture, match=f"^found     {found}\n"):
        entered(SAMPLE, "record.yaml", STATE, read_capture_text(log).capabilities)


def test_the_same_capture_is_not_put_there_twice() -> None:
    once = entered(SAMPLE, "record.yaml", STATE, CAPABILITIES).content
    with pytest.raises(RefusedCapture, match=r"^found     the same capture at ports\[1\]\.advertised\[0\]\n"):
        entered(once, "record.yaml", STATE, CAPABILITIES)
    other = State(port="A1", alone=True, cable="direct", sample="s2", instrument="pm1")
    assert entered(once, "record.yaml", other, CAPABILITIES).fields == ("ports[1].advertised[1]",)


def test_line_ends_and_comments_stay() -> None:
    windows = SAMPLE.replace(b"\n", b"\r\n") + b"# the end, without a line end"
    added = added_lines(windows, entered(windows, "record.yaml", State(port="C1"), CAPABILITIES).content)
    assert added.count("\n") == added.count("\r\n") > 0
