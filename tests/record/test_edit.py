"""Putting a value into a record: nothing else changes, by our own reading and by an independent YAML library."""

from io import StringIO
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML

from lidoff.record.edit import EditError, inserted
from lidoff.record.load import load_text
from lidoff.record.yaml_lines import flow, keyed

ROOT = Path(__file__).parents[2]
RECORDS = {
    path: path.read_text(encoding="utf-8")
    for path in (*sorted((ROOT / "entries").glob("*/*/record.yaml"))[::4], Path(__file__).parent / "sample.yaml")
}
PORTS = {path: len(load_text(text, "record.yaml").record.ports) for path, text in RECORDS.items()}


WORDS = st.lists(st.integers(0, 2**32 - 1).map("0x{:08X}".format), min_size=1, max_size=11)
CAPTURES = st.fixed_dictionaries(
    {"message": st.sampled_from(["spr", "epr"]), "words": WORDS},
    optional={
        "alone": st.booleans(),
        "cable": st.sampled_from(["direct", "emarked-5a"]),
        "note": st.text(st.sampled_from("ab: #'\"-{}[],&*!é⎓ "), min_size=1, max_size=90).map(str.strip).filter(bool),
    },
)
PARTS = st.fixed_dictionaries(
    {"ref": st.sampled_from(["Q91", "U92"]), "roles": st.just(["fuse"])},
    optional={"ratings": st.just({"current_a": 3.15})},
)
PHOTOS = st.just({"file": "photos/x.jpg", "kind": "photo", "alt": "A board: its upper side, " + "so " * 40 + "far"})


@st.composite
def edits(draw: st.DrawFn) -> tuple[str, str, list[dict]]:
    """A record's text, a field of it that is a list or may be one, and what to put there."""
    path = draw(st.sampled_from(list(RECORDS)))
    text, port = RECORDS[path], draw(st.integers(0, PORTS[path] - 1))
    field, items = draw(
        st.tuples(st.just(f"ports[{port}].advertised"), st.lists(CAPTURES, min_size=1, max_size=2))
        | st.tuples(st.just("components"), st.lists(PARTS, min_size=1, max_size=3))
        | st.tuples(st.just("photos"), st.lists(PHOTOS, min_size=1, max_size=1))
        | st.tuples(st.just("measured.no_load"), st.just([{"mains_v": 115, "power_w": 0.03}]))
    )
    return text, field, items


def styled(text: str, style: str) -> bytes:
    """The text as other editors save it."""
    text = {"no line end": text.rstrip("\n"), "line ends of Windows": text.replace("\n", "\r\n")}.get(style, text)
    return (b"\xef\xbb\xbf" if style == "byte-order mark" else b"") + text.encode()


@settings(max_examples=50)
@given(edits(), st.sampled_from(["", "no line end", "line ends of Windows", "byte-order mark"]))
def test_the_outcome_is_the_file_and_one_piece_more(edit: tuple[str, str, list[dict]], style: str) -> None:
    text, field, items = edit
    before = styled(text, style)
    after = inserted(before, field, items)
    added = len(after) - len(before)
    place = next(at for at in range(len(before), -1, -1) if after.startswith(before[:at]))
    assert added > 0
    assert after[:place] + after[place + added :] == before
    lines_added = after[place : place + added + 1]
    assert b"\n" not in lines_added[:-1] or (b"\r\n" in lines_added) == (style == "line ends of Windows")


@settings(max_examples=15)  # the library takes a fifth of a second for two records
@given(edits())
def test_an_independent_reader_sees_the_same_data_and_comments(edit: tuple[str, str, list[dict]]) -> None:
    text, field, items = edit
    yaml = YAML(typ="safe", pure=True)
    before, after = yaml.load(StringIO(text)), yaml.load(StringIO(inserted(text.encode(), field, items).decode()))
    *way, last = field.replace("]", "").replace("[", ".").split(".")
    holders = []
    for data in (before, after):
        for step in way:
            data = data[int(step)] if isinstance(data, list) else data.setdefault(step, {})
        holders.append(data)
    assert holders[1].pop(last) == [*(holders[0].pop(last, None) or []), *items]
    assert before == after


@pytest.mark.parametrize(
    ("before", "field", "value", "after"),
    [
        ("a: 1\n# end\n", "photos", [{"file": "x"}], "a: 1\nphotos:\n  - {file: x}\n# end\n"),
        (
            "ports:\n- id: C1\n  advertised:\n  - message: spr # first\n    # of s1\n  # next\n  protocols: []\n",
            "ports[0].advertised", [{"message": "epr"}],
            "ports:\n- id: C1\n  advertised:\n  - message: spr # first\n    # of s1\n  - {message: epr}\n  # next\n"
            "  protocols: []\n",
        ),
        (
            "ports:\n  - note: >-\n      long\n      text\n\n    id: C1\n",
            "ports[0].advertised", [{"message": "spr"}],
            "ports:\n  - note: >-\n      long\n      text\n\n    id: C1\n    advertised:\n      - {message: spr}\n",
        ),
        (
            "ports:\n  - id: C1\n    note: |\n      long\n      # no comment\n\n# tail\n",
            "ports[0].advertised", [{"message": "spr"}],
            "ports:\n  - id: C1\n    advertised:\n      - {message: spr}\n    note: |\n      long\n"
            "      # no comment\n\n# tail\n",
        ),
        ("ports: [{id: C1}]\n", "ports[0].advertised", [], "ports: [{id: C1, advertised: []}]\n"),
        ("ports: [{id: C1, advertised: [ ]}]\n", "ports[0].advertised", [{"message": "spr"}],
         "ports: [{id: C1, advertised: [{message: spr} ]}]\n"),
        ("{schema: 1}\n", "label.input", {"current_a": 1.2}, "{schema: 1, label: {input: {current_a: 1.2}}}\n"),
        ("label: {printed: x}", "label.total_power_w", 65.0, "label: {printed: x, total_power_w: 65}"),
        ("label:\n  printed: x", "label.total_power_w", 65.5, "label:\n  printed: x\n  total_power_w: 65.5"),
    ],
)  # fmt: skip
def test_where_it_goes(before: str, field: str, value: object, after: str) -> None:
    assert inserted(before.encode(), field, value).decode() == after


@pytest.mark.parametrize(
    ("before", "field", "value", "message"),
    [
        ("label: {printed: x}\n", "label.printed", "y", r"^label\.printed is there already$"),
        ("label: {printed: x}\n", "label", {"place": "body"}, r"^label is there already$"),
        ("ports: [{id: C1}]\n", "ports[1].advertised", [], r"^ports\[1\] is not there$"),
        ("schema: 1\n", "ports[0].advertised", [], r"^ports is not there$"),
        ("label: text\n", "label.input.current_a", 1, r"^label\.input is not there$"),
        (
            "photos:\n  - alt: |+\n      a\n\n\nx: 1\n",
            "photos",
            [{"file": "b"}],
            "without changing what stands around it",
        ),
    ],
)
def test_what_is_refused(before: str, field: str, value: object, message: str) -> None:
    with pytest.raises(EditError, match=message):
        inserted(before.encode(), field, value)


NUMBERS = st.integers(-1000, 1000) | st.floats(-1e6, 1e6).map(lambda number: round(number, 4))
TEXTS = st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"]), max_size=200)
KEYS = st.from_regex(r"[a-z_]{1,9}", fullmatch=True)


@given(
    st.recursive(
        st.booleans() | NUMBERS | TEXTS,
        lambda inner: st.lists(inner, max_size=6) | st.dictionaries(KEYS, inner, max_size=5),
        max_leaves=12,
    )
)
def test_written_lines_read_back_as_they_were(value: object) -> None:
    """In the reading of YAML 1.2, by the independent library, and again as one line."""
    yaml = YAML(typ="safe", pure=True)
    assert yaml.load("\n".join(keyed("key", value)))["key"] == value
    assert yaml.load(flow([value])) == [value]


def test_a_value_that_no_record_holds() -> None:
    with pytest.raises(TypeError, match="^a record holds no NoneType$"):
        flow({"a": None})
