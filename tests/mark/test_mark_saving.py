"""Marks into a record: what was drawn and nothing else, whole or not at all, and never over what somebody else has written."""

import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from lidoff.mark.entry import ChangedMeanwhile, Entry, UnreadableEntry
from lidoff.mark.marks import RefusedMarks, marks_of
from lidoff.mark.measuring import measured
from lidoff.mark.saving import UnsavedMarks
from lidoff.mark.watch import CLOSED_S, SILENT_S, UNOPENED_S, Watch
from lidoff.record.load import load_file
from lidoff.record.model.component import Component
from lidoff.record.model.construction import Board
from lidoff.record.model.picture import Photo
from lidoff.record.sections import Sections


def marks(entry: Entry, *boxes: dict, file: str = "photos/board-bottom.jpg", **others: object) -> dict:
    photo = {"file": file, "callouts": list(boxes), "scale": None, "card": None, "camera_mm": None} | others
    return {"digest": entry.read().digest, "photos": [photo]}


@pytest.fixture
def entry(marked_entry: Path) -> Entry:
    return Entry(marked_entry / "record.yaml", "record.yaml")


def lines(entry: Entry) -> list[str]:
    return entry.file.read_text(encoding="utf-8").splitlines()


KEPT = (
    {"at": 0, "ref": "Q1", "box": [0.1, 0.1, 0.1, 0.1]},
    {"at": 1, "ref": "C1", "box": [0.3, 0.1, 0.1, 0.1]},
    {"at": 2, "ref": "U1", "box": [0.5, 0.1, 0.1, 0.1]},
)


def test_saving_what_is_there_changes_nothing(entry: Entry) -> None:
    before = entry.file.read_bytes()
    entry.save(marks(entry, *KEPT))
    assert entry.file.read_bytes() == before


def test_a_box_that_moved_changes_its_own_line(entry: Entry) -> None:
    before = lines(entry)
    entry.save(marks(entry, KEPT[0] | {"box": [0.1, 0.15, 0.1, 0.1]}, *KEPT[1:]))
    changed = [(old, new) for old, new in zip(before, lines(entry), strict=True) if old != new]
    assert changed == [
        (
            "      - {ref: Q1, box: [0.1, 0.1, 0.1, 0.1]}   # under the shield",
            "      - {ref: Q1, box: [0.1, 0.15, 0.1, 0.1]}   # under the shield",
        )
    ]


def test_one_goes_one_comes_one_is_given_to_another_part(entry: Entry) -> None:
    entry.save(marks(entry, KEPT[2] | {"ref": "Q3"}, {"at": None, "ref": "J1", "box": [0.9, 0.9, 0.1, 0.1]}, KEPT[0]))
    callouts = yaml.safe_load(entry.file.read_text(encoding="utf-8"))["photos"][1]["callouts"]
    assert [one["ref"] for one in callouts] == ["Q1", "Q3", "J1"]
    assert "      # these two are hard to tell apart" in lines(entry)


def test_the_last_box_takes_its_list_with_it_and_comes_back(entry: Entry) -> None:
    entry.save(marks(entry))
    assert "callouts" not in yaml.safe_load(entry.file.read_text(encoding="utf-8"))["photos"][1]
    entry.save(marks(entry, {"at": None, "ref": "J1", "box": [0, 0, 0.1, 0.1]}))
    loaded = load_file(entry.file, entry.folder)
    assert loaded.record.photos[1].callouts[0].ref == "J1"


def test_lengths_come_with_the_size_of_their_picture_and_go(entry: Entry) -> None:
    scale, card = {"points": [[0, 0.5], [0.5, 0.5]], "length_mm": 50}, {"corners": [[0, 0], [1, 0], [1, 1], [0, 1]]}
    seen = {"file": "photos/board-bottom.jpg", "length": [[0, 0], [0.5, 0]], "above_mm": 1.6}
    entry.save(
        marks(entry, *KEPT, scale=scale, card=card, camera_mm=300) | {"boards": [{"id": "main", "in_photo": seen}]}
    )
    record = load_file(entry.file, entry.folder).record
    assert record.photos[1].scale.picture_px == (1200, 900) == record.photos[1].card.picture_px
    assert record.photos[1].camera_mm == 300 and record.boards[0].in_photo.above_mm == 1.6
    entry.save(marks(entry, *KEPT) | {"boards": [{"id": "main", "in_photo": None}]})
    record = load_file(entry.file, entry.folder).record
    assert (
        record.photos[1].scale
        is record.photos[1].card
        is record.photos[1].camera_mm
        is record.boards[0].in_photo
        is None
    )


def test_a_record_that_changed_meanwhile_stays_as_it_is(entry: Entry) -> None:
    sent = marks(entry, KEPT[0])
    meanwhile = entry.file.read_bytes() + b"# a word more\n"
    entry.file.write_bytes(meanwhile)
    with pytest.raises(ChangedMeanwhile):
        entry.save(sent)
    assert entry.file.read_bytes() == meanwhile


def test_rights_of_the_file_stay_and_nothing_is_left_beside_it(entry: Entry) -> None:
    entry.file.chmod(0o640)
    entry.save(marks(entry, KEPT[0]))
    assert stat.S_IMODE(entry.file.stat().st_mode) == 0o640
    assert sorted(path.name for path in entry.folder.iterdir()) == ["photos", "record.yaml"]


def test_a_disk_that_takes_nothing_leaves_the_record_whole(entry: Entry, monkeypatch: pytest.MonkeyPatch) -> None:
    before, sent = entry.file.read_bytes(), marks(entry, KEPT[0])

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    with pytest.raises(OSError, match="No space"):
        entry.save(sent)
    assert entry.file.read_bytes() == before
    assert sorted(path.name for path in entry.folder.iterdir()) == ["photos", "record.yaml"]


def test_a_draft_with_errors_elsewhere_can_be_marked(entry: Entry) -> None:
    text = (
        entry.file.read_text(encoding="utf-8")
        .replace("  connector: usb-c\n", "  connector: <connector>\n")
        .replace("rated_power_w: 65", 'rated_power_w: "65"')
    )
    entry.file.write_text(text, encoding="utf-8")
    assert load_file(entry.file, entry.folder).record is None
    entry.save(marks(entry, KEPT[0]))
    assert "ref: C1, box: [0.3" not in entry.file.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("old", "new"),
    [("{ref: T1, box: [0.42", "{ref: T1, box: [4.2"), ("photos:", "photos: &all"), ("photos:", "photos: {")],
)
def test_errors_in_the_pictures_are_told(entry: Entry, old: str, new: str) -> None:
    entry.file.write_text(entry.file.read_text(encoding="utf-8").replace(old, new, 1), encoding="utf-8")
    with pytest.raises(UnreadableEntry) as told:
        entry.read()
    assert told.value.findings


def test_a_record_that_is_a_link_is_refused(entry: Entry, tmp_path: Path) -> None:
    entry.file.rename(tmp_path / "elsewhere.yaml")
    entry.file.symlink_to(tmp_path / "elsewhere.yaml")
    with pytest.raises(UnreadableEntry, match="symbolic link"):
        entry.read()


def test_what_can_only_be_changed_by_hand_is_said(entry: Entry) -> None:
    text = entry.file.read_text(encoding="utf-8").replace(
        "      - {ref: Q1, box: [0.1, 0.1, 0.1, 0.1]}   # under the shield\n",
        "      -\n        ref: Q1\n        box: [0.1, 0.1, 0.1, 0.1]\n",
    )
    entry.file.write_text(text, encoding="utf-8")
    with pytest.raises(UnsavedMarks, match="by hand"):
        entry.save(marks(entry, *KEPT[1:]))
    assert entry.file.read_text(encoding="utf-8") == text


def test_pictures_that_can_not_be_shown_have_their_reason(entry: Entry) -> None:
    (entry.folder / "photos" / "board-top.jpg").write_bytes(b"\xff\xd8\xff\xe0 broken")
    (entry.folder / "photos" / "board-bottom.jpg").unlink()
    assert (
        entry.picture_size("photos/board-top.jpg")[0] is None
        and "damaged" in entry.picture_size("photos/board-top.jpg")[1]
    )
    assert "no such file" in entry.picture_size("photos/board-bottom.jpg")[1]


ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5) | st.sampled_from(["T1", "main", "photos/board-top.jpg", 0.1, 0]),
    lambda inner: st.lists(inner, max_size=4)
    | st.dictionaries(st.sampled_from(["file", "callouts", "ref", "box", "at", "scale", "points", "length_mm", "card", "corners", "id", "in_photo", "ends"]), inner, max_size=5),
    max_leaves=25,
)  # fmt: skip
PART, BOARD = Component("T1", ("transformer",)), Board("main", "main")
HELD = Sections("x", (Photo("photos/board-top.jpg", "photo", "x"),), (BOARD,), (PART,))


@settings(max_examples=400)
@given(photos=ANYTHING | st.lists(ANYTHING, max_size=2), boards=ANYTHING, question=ANYTHING)
def test_whatever_is_sent_is_read_or_refused(photos: object, boards: object, question: object) -> None:
    for read, sent in ((marks_of, {"digest": "x", "photos": photos, "boards": boards}), (measured, question)):
        try:
            read(sent, HELD, {"photos/board-top.jpg": (1200, 900)})
        except RefusedMarks as refused:
            assert all(isinstance(one, str) for one in refused.problems)


class Clock:
    now = 1000.0

    def __call__(self) -> float:
        return self.now


@pytest.mark.parametrize(
    ("events", "is_over"),
    [
        ([], False),
        ([UNOPENED_S + 1], True),
        (["asked", "heard a", 3, "heard a", 3], False),
        (["heard a", "closed a", CLOSED_S - 1], False),
        (["heard a", "closed a", CLOSED_S + 1], True),
        (["heard a", "closed a", 1, "asked", "heard b", 30], False),
        (["heard a", "closed a", 3, "asked", 3], False),
        (["heard a", "heard b", "closed a", 30], False),
        (["heard a", SILENT_S + 1], True),
        (["heard a", 100, "heard a", 200], False),
    ],
)
def test_when_the_desk_ends(events: list, is_over: bool) -> None:
    clock = Clock()
    watch = Watch(now=clock)
    for event in events:
        if isinstance(event, str):
            name, *page = event.split()
            getattr(watch, name)(*page)
        else:
            clock.now += event
    assert watch.is_over() == is_over


def test_the_command_says_what_is_missing(marked_entry: Path) -> None:
    def run(*arguments: str) -> subprocess.CompletedProcess:
        return subprocess.run(
            [sys.executable, "-m", "lidoff", "mark", *arguments], capture_output=True, text=True, timeout=60
        )

    file = marked_entry / "record.yaml"
    whole = file.read_text(encoding="utf-8")
    file.write_text(whole.split("photos:")[0] + "answered: []\n", encoding="utf-8")
    nothing = run(str(marked_entry))
    assert nothing.returncode == 2 and "no pictures" in nothing.stderr and "lidoff photo add" in nothing.stderr
    file.write_text(whole.replace("box: [0.42", "box: [4.2"), encoding="utf-8")
    wrong = run(str(file))
    assert wrong.returncode == 1 and "photos[0].callouts[0].box" in wrong.stderr
    assert run(str(marked_entry / "photos" / "board-top.jpg")).returncode == 1
