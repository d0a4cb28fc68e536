"""Whatever stands in a file, reading it ends with a record or with findings at places in it, never otherwise."""

import pickle
import random
import unicodedata

import pytest
import yaml
from hypothesis import example, given, settings
from hypothesis import strategies as st

from lidoff.record import reader
from lidoff.record.load import Loaded, load_text
from lidoff.record.text import SEVERAL_SIGNS, decoded

YAML_PIECES = st.sampled_from(
    ["schema: 1\n", "status: draft\n", "product:\n", "  brand: A\n", "  model: B\n", "ports:\n", "  - id: C1\n",
     "    connector: usb-c\n", "- ", "[", "]", "{", "}", ", ", ": ", "&a ", "*a ", "!t ", "!!str ", "? ", "| \n", ">\n",
     "'", '"', "# x\n", "\n", " ", "  ", "---\n", "...\n", "%YAML 1.2\n", "<<", "~", "\t", "\r", "\u2028", "\x00",
     "\ufeff", "é", "1e3", "@"]
)  # fmt: skip


def judged(content: bytes | str) -> Loaded:
    """Load a text and hold what must be true of every loading."""
    loaded = load_text(content, "record.yaml")
    assert loaded.record is not None or loaded.findings
    text = content if isinstance(content, str) else content.decode("utf-8", "replace")
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    for finding in loaded.findings:
        assert 1 <= finding.line <= len(lines) + 1, finding
        line = lines[finding.line - 1] if finding.line <= len(lines) else ""
        assert 1 <= finding.column <= len(line) + 1, finding
        assert finding.found and finding.expected and finding.fix and finding.rule.startswith("record-")
        assert (finding.found + finding.expected + finding.fix + finding.field).isprintable()
    return loaded


@settings(max_examples=200, deadline=None)
@given(st.text())
@example("")
@example("{")
@example("- - - -")
@example("a: b: c")
@example("\ud800")
def test_any_text(text: str) -> None:
    judged(text)


@settings(max_examples=100, deadline=None)
@given(st.binary())
def test_any_bytes(content: bytes) -> None:
    judged(content)


@settings(max_examples=300, deadline=None)
@given(st.lists(YAML_PIECES, max_size=40).map("".join))
def test_any_pieces_of_yaml(text: str) -> None:
    judged(text)


def test_a_sample_with_any_one_sign_changed(sample_text: str) -> None:
    chance = random.Random(65)
    for _ in range(150):
        place = chance.randrange(len(sample_text))
        sign = chance.choice("\t:-[]{}\"'&*!|>%@`#,?\n 0~=\u2028\u202e")
        judged(sample_text[:place] + sign + sample_text[place + chance.randint(0, 1) :])


def test_a_sample_cut_off_anywhere(sample_text: str) -> None:
    for place in range(0, len(sample_text), 97):
        judged(sample_text[:place])


@pytest.mark.parametrize(
    "text",
    [
        "[" * 100_000,
        "{" * 100_000,
        "- " * 50_000,
        "? " * 50_000,
        "a: {" * 20_000,
        "- - - a\n" * 20_000,
        "a: &a [*a, *a]\n" * 5_000,
        '"' * 100_001,
        "a: 1\n" * 50_000,
        "%" * 5000,
        "a\n" * 3000,
    ],
    ids=[
        "lists",
        "mappings",
        "items",
        "keys",
        "both",
        "block",
        "aliases",
        "quotes",
        "repeated",
        "directives",
        "no-colon",
    ],
)
def test_hostile_texts_are_refused(text: str) -> None:
    assert judged(text).record is None


def test_a_file_of_more_than_a_megabyte_is_not_read() -> None:
    findings = judged("# " + "x" * 1_000_000).findings
    assert [finding.rule for finding in findings] == ["record-size"]


def test_both_parsers_find_the_same(sample_text: str, monkeypatch: pytest.MonkeyPatch) -> None:
    chance = random.Random(7)
    texts = [sample_text]
    for _ in range(25):
        place = chance.randrange(len(sample_text))
        texts.append(sample_text[:place] + chance.choice("\"'[]{}:-") + sample_text[place:])
    fast = [load_text(text, "record.yaml") for text in texts]
    monkeypatch.setattr(reader, "_PARSER", yaml.Loader)
    slow = [load_text(text, "record.yaml") for text in texts]
    assert fast[0] == slow[0]
    assert [loaded.record for loaded in fast] == [loaded.record for loaded in slow]
    places = [[(one.rule, one.line) for one in loaded.findings] for loaded in fast]
    assert places == [[(one.rule, one.line) for one in loaded.findings] for loaded in slow]


def test_what_was_loaded_can_be_handed_to_another_process(sample_text: str) -> None:
    loaded = load_text(sample_text.replace("kind: wall-charger", "kind: wall"), "record.yaml")
    again = pickle.loads(pickle.dumps(loaded))
    assert again == loaded
    assert again.place("ports[1].connector") == loaded.place("ports[1].connector")


def test_a_sign_that_joins_the_one_before_it_is_told_in_every_script() -> None:
    """The text as a whole is looked at only where it has signs that can join: the short way tells the same of each."""
    for sign in map(chr, [*range(0xA1, 0xD800, 3), *range(0x300, 0x400), 0x212B, 0x1D15F]):
        text = f"summary: e{sign} a{sign}{sign}\n"
        _, findings = decoded(text, "record.yaml")
        is_told = any(finding.found == SEVERAL_SIGNS for finding in findings)
        assert is_told is not unicodedata.is_normalized("NFC", text), f"U+{ord(sign):04X}"
