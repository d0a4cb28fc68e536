"""Changing and taking out: what is meant changes, comments and all else stay, by our own reading and by an independent library."""

from io import StringIO

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML

from lidoff.record.edit import EditError
from lidoff.record.edit_change import removed, set_to

BLOCK = """\
photos:                      # all of one day
  - file: photos/a.jpg       # the upper side
    callouts:
      # the mains side
      - {ref: Q1, box: [0.1, 0.20, 0.3, 0.4]}   # the switch
      - ref: C1
        box:
          - 0.1    # left
          - 0.2
          - 0.3
          - 0.4
      # what lies below
      - {ref: T1, box: [0.5, 0.5, 0.1, 0.1]}
    scale: {points: [[0, 0], [0.5, 0]], length_mm: 50}
  - {file: photos/b.jpg, callouts: [{ref: Q1, box: [0.1, 0.1, 0.1, 0.1]}, {ref: T1, box: [0.2, 0.2, 0.2, 0.2]}]}
  - file: photos/c.jpg
    callouts: [{ref: Q1, box: [0.1, 0.1, 0.1, 0.1]},    # seen
      # not sure
      {ref: C1, box: [0.2, 0.2, 0.2, 0.2]},   # the large one
      {ref: T1, box: [0.3, 0.3, 0.3, 0.3]}]
"""


def text(content: bytes) -> str:
    return content.decode()


def plain(content: str) -> object:
    return YAML(typ="safe", pure=True).load(StringIO(content))


@pytest.mark.parametrize(
    ("field", "value", "old", "new"),
    [
        ("photos[0].callouts[0].box", [0.1, 0.2, 0.35, 0.4], "[0.1, 0.20, 0.3, 0.4]", "[0.1, 0.2, 0.35, 0.4]"),
        ("photos[0].callouts[0].ref", "Q2", "{ref: Q1, box: [0.1, 0.20", "{ref: Q2, box: [0.1, 0.20"),
        ("photos[0].callouts[1].box", [0.11, 0.2, 0.3, 0.45], "- 0.1    # left\n          - 0.2\n          - 0.3\n          - 0.4", "- 0.11    # left\n          - 0.2\n          - 0.3\n          - 0.45"),
        ("photos[0].scale", {"points": [[0, 0], [0.5, 0]], "length_mm": 50, "picture_px": [400, 300]}, "length_mm: 50}", "length_mm: 50, picture_px: [400, 300]}"),
        ("photos[0].scale", None, "    scale: {points: [[0, 0], [0.5, 0]], length_mm: 50}\n", ""),
    ],
)  # fmt: skip
def test_only_what_is_meant_changes(field: str, value: object, old: str, new: str) -> None:
    assert BLOCK.count(old) == 1
    assert text(set_to(BLOCK.encode(), field, value)) == BLOCK.replace(old, new)


@pytest.mark.parametrize(
    ("field", "old", "new"),
    [
        ("photos[0].callouts[0]", "      - {ref: Q1, box: [0.1, 0.20, 0.3, 0.4]}   # the switch\n", ""),
        ("photos[0].callouts[2]", "      - {ref: T1, box: [0.5, 0.5, 0.1, 0.1]}\n", ""),
        ("photos[1].callouts[0]", "[{ref: Q1, box: [0.1, 0.1, 0.1, 0.1]}, {ref: T1", "[{ref: T1"),
        ("photos[1].callouts[1]", ", {ref: T1, box: [0.2, 0.2, 0.2, 0.2]}]", "]"),
        ("photos[2].callouts[0]", "[{ref: Q1, box: [0.1, 0.1, 0.1, 0.1]},    # seen\n      # not sure\n", "[\n      # not sure\n"),
        ("photos[2].callouts[1]", "{ref: C1, box: [0.2, 0.2, 0.2, 0.2]},   # the large one\n      {ref: T1", "{ref: T1"),
    ],
)  # fmt: skip
def test_one_is_taken_out(field: str, old: str, new: str) -> None:
    assert BLOCK.count(old) == 1
    assert text(removed(BLOCK.encode(), field)) == BLOCK.replace(old, new)


def test_the_last_of_several_lines_goes_and_comments_before_it_stay() -> None:
    changed = text(removed(BLOCK.encode(), "photos[2].callouts[2]"))
    assert "# the large one" in changed and "T1, box: [0.3" not in changed
    assert [one["ref"] for one in plain(changed)["photos"][2]["callouts"]] == ["Q1", "C1"]


def test_what_can_not_go() -> None:
    with pytest.raises(EditError, match="not there"):
        removed(BLOCK.encode(), "photos[0].callouts[7]")
    with pytest.raises(EditError, match="only one"):
        removed(b"photos:\n  - {file: a}\n", "photos[0]")
    with pytest.raises(EditError, match="line with something else"):
        removed(BLOCK.encode(), "photos[2].file")


BOX = st.lists(st.integers(0, 9999).map(lambda n: n / 10_000), min_size=4, max_size=4)


@settings(max_examples=15)
@given(
    boxes=st.lists(BOX, min_size=3, max_size=3), gone=st.sets(st.integers(0, 2), max_size=2), photo=st.integers(0, 1),
    windows=st.booleans(),
)  # fmt: skip
def test_an_independent_reader_sees_what_was_meant(boxes: list, gone: set[int], photo: int, windows: bool) -> None:
    content = (BLOCK.replace("\n", "\r\n") if windows else BLOCK).encode()
    expected = plain(BLOCK)
    callouts = expected["photos"][photo]["callouts"]
    for place in range(len(callouts)):
        callouts[place]["box"] = boxes[place]
        content = set_to(content, f"photos[{photo}].callouts[{place}].box", boxes[place])
    for place in sorted(gone, reverse=True):
        if place < len(callouts) and len(callouts) > 1:
            del callouts[place]
            content = removed(content, f"photos[{photo}].callouts[{place}]")
    assert plain(text(content)) == expected
    for comment in (
        "# all of one day",
        "# the upper side",
        "# the mains side",
        "# what lies below",
        "# seen",
        "# not sure",
    ):
        assert text(content).count(comment) == 1
    assert text(content).count("\n") == text(content).count("\r\n") * (1 if windows else 0) or not windows
