"""What is taken straight from the parser's events is what the tree of the file gives, and nothing that it refuses."""

import json
import random
from pathlib import Path

import pytest
import yaml
from hypothesis import example, given, settings
from hypothesis import strategies as st

from lidoff.record.load import load_text
from lidoff.record.reader import read
from lidoff.record.schema import Shape, record_shape
from lidoff.record.sound import sound
from lidoff.record.spots import spot_of
from lidoff.record.text import decoded
from lidoff.record.values import values_of

ROOT = Path(__file__).parents[2]
RECORDS = sorted(path for folder in ("entries", "tests/published") for path in ROOT.glob(f"{folder}/**/record.yaml"))
FAULTY = sorted((ROOT / "tests" / "record" / "bad").glob("*.yaml"))
PAYLOADS = yaml.safe_load((ROOT / "tests" / "hostile" / "payloads.yaml").read_text(encoding="utf-8"))

# rules that are judged where values are made of text, and nowhere else
TOLD_BY_VALUES = {
    "record-anchor", "record-date", "record-documents", "record-duplicate-key", "record-number", "record-space",
    "record-syntax", "record-tag", "record-text", "record-true-false",
}  # fmt: skip

TEXT, NUMBER, WHOLE, FLAG = (Shape(kind, {}) for kind in ("text", "number", "whole", "flag"))
DATE = Shape("text", {}, is_date=True)
KINDS = {"t": TEXT, "n": NUMBER, "w": WHOLE, "f": FLAG, "d": DATE}
SHAPE = Shape(
    "mapping",
    {},
    keys=KINDS | {
        "l": Shape("list", {}, items=TEXT), "m": Shape("mapping", {}, others=NUMBER),
        "r": Shape("list", {}, items=Shape("mapping", {}, keys=KINDS)),
    },
)  # fmt: skip
SCALARS = (
    "", "~", "null", "yes", "on", "true", "false", "True", "0", "-0", "007", "1e3", "1_000", "+5", ".5", "5.", "12:30",
    "65", "-4.70", "1" * 25, ".inf", "2026-03-09", "2026-02-30", "2026-3-9", "2026-03", "2026", "2026-03-09 12:00",
    "<<", "=", "x", "FH-65", "a b", " a", "a ", "é", "e\u0301", "a\u202eb", "a\\u202eb", "a\\tb", "a\\nb", "\\x85",
    "a # b", "a #b", "a: b", "[", "{", "&a", "&a x", "*a", "!t", "!t x", "! x", "!!str 5", "- x", "? x", "%x", "@x",
    "|", ">",
)  # fmt: skip
PIECES = st.sampled_from(
    ["t: a\n", "n: 1\n", "w: 2\n", "f: true\n", "d: 2026-03-09\n", "l:\n", "- x\n", "  - y\n", "m: {a: 1, b: 2.5}\n",
     "r:\n", "- t: b\n", "  n: 3\n", "- {t: c, d: 2026-03}\n", "t: &a x\n", "t: *a\n", "!t ", "? ", "t: |\n  a\n",
     "---\n", "...\n", "%YAML 1.2\n", "# x\n", " ", "  ", "{", "}", "[", "]", ", ", '"', "'", "<<: ", "z: 1\n", "\n"]
)  # fmt: skip


def is_taken(content: str | bytes, shape: Shape = SHAPE) -> bool:
    """Whether a text is taken from the events; it must then be what the tree gives without a finding."""
    text, _ = decoded(content, "")
    found = None if text is None else sound(text, shape)
    if found is None:
        return False
    reading = read(text, "")
    assert reading.findings == () and not reading.unread, text
    values = values_of(reading.root, shape, "")
    assert not values.findings and not values.faulty and not values.holes, text
    assert json.dumps(found.data) == json.dumps(values.data), text
    assert found.spot == spot_of(reading.root), text
    return True


@pytest.mark.parametrize("path", RECORDS, ids=lambda path: "/".join(path.parts[-3:-1]))
def test_every_good_record_is_taken(path: Path) -> None:
    assert is_taken(path.read_text(encoding="utf-8"), record_shape())


def test_the_sample_is_taken(sample_text: str) -> None:
    assert is_taken(sample_text, record_shape())


@pytest.mark.parametrize("path", FAULTY, ids=lambda path: path.stem)
def test_a_faulty_record_is_taken_only_where_others_tell_of_it(path: Path) -> None:
    content = path.read_bytes()
    findings = load_text(content, "r").findings
    assert findings
    if {finding.rule for finding in findings} & TOLD_BY_VALUES:
        assert not is_taken(content, record_shape())
    else:
        is_taken(content, record_shape())


@pytest.mark.parametrize("key", KINDS)
def test_a_scalar_is_taken_as_the_tree_takes_it(key: str) -> None:
    payloads = [text for texts in PAYLOADS.values() for text in texts]
    taken = 0
    for scalar in (*SCALARS, *payloads):
        quoted, single = json.dumps(scalar), "'" + scalar.replace("'", "''") + "'"
        for source in (scalar, f'"{scalar}"', quoted, single, f"|\n  {scalar}", f">-\n  {scalar}\n\n", f"&a {quoted}"):
            for text in (f"{key}: {source}\n", f"{{{key}: {source}}}\n", f"r: [{{{key}: {source}}}]\n"):
                taken += is_taken(text)
    assert taken > 5


@pytest.mark.parametrize(
    "text",
    [
        "t: a\nt: b\n", "z: 1\n", "t:\n", "t: ''\n", "&a t: a\n", "!t t: a\n", "t: [a]\n", "l: a\n", "l: {t: a}\n",
        "m: [1]\n", "m: {<<: 1}\n", "m: {'': 1}\n", "m: {a: 1, a: 1}\n", "? [t]\n: a\n", "? {t: a}\n: a\n",
        "t: a\n---\nt: a\n", "%YAML 1.2\n---\nt: a\n", "%TAG ! x:\n---\nt: a\n", "", "# nothing\n", "a\n", "[]\n",
        "--- !!map\nt: a\n", "--- &a\nt: a\n", "l: &a [x]\n", "l: !t [x]\n", "m: &a {b: 1}\n", "l: [&a x, *a]\n",
        "l: [!t x]\n", "t: *a\n", "*a : b\n", "t: [\n", "t: \"\\q\"\n", "w: 1.0\n", "d: 2026-02-30\n",
        "d: '2026-02-30'\n", "d: ' 2026'\n", "d: \"2026\\u202e\"\n", "n: '1'\n", "f: 'true'\n",
    ],
)  # fmt: skip
def test_what_needs_a_word_is_left_to_the_tree(text: str) -> None:
    assert not is_taken(text)


@settings(max_examples=400)
@given(st.lists(PIECES, max_size=12).map("".join))
@example("t: a\nr:\n- t: b\n  n: 3\n- {t: c, d: 2026-03}\nl:\n  - y\nm: {a: 1, b: 2.5}\n")
@example('"t": "a"\n"r":\n- "t": "b"\n  "n": 3\n-\n  "w": 1\n')
def test_any_pieces_are_taken_as_the_tree_takes_them(text: str) -> None:
    is_taken(text)


@settings(max_examples=200)
@given(
    st.sampled_from(sorted(KINDS)), st.text(max_size=12), st.sampled_from(["{}", '"{}"', "'{}'", "|\n {}", ">\n {}"])
)
def test_any_text_is_taken_as_the_tree_takes_it(key: str, text: str, style: str) -> None:
    is_taken(f"{key}: {style.format(text)}\n")


def test_a_record_with_a_slip_is_taken_as_the_tree_takes_it(sample_text: str) -> None:
    chance, taken = random.Random(3), 0
    for _ in range(150):
        text = sample_text
        for _ in range(chance.randrange(1, 3)):
            at = chance.randrange(len(text))
            text = text[:at] + chance.choice("{}[]:-,\n #&*!?|>~\"'é019.") + text[at + chance.randrange(2) :]
        taken += is_taken(text, record_shape())
    assert 20 < taken < 150
