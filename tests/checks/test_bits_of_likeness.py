"""Pictures look the same up to just the number of bits that the rule states."""

from dataclasses import replace
from pathlib import Path

import pytest

from lidoff.bench.picture_file import PictureFacts
from lidoff.checks.check import Subject
from lidoff.checks.picture_likeness import CHECK
from lidoff.figures.figure import Figures
from lidoff.record.load import load_file

HERE = Path(__file__).parent


@pytest.mark.parametrize(("bits", "is_told"), [(0, True), (6, True), (7, False), (64, False)])
def test_six_of_64_bits_may_differ(bits: int, is_told: bool) -> None:
    record = load_file(HERE / "bases" / "sound-65.yaml", HERE).record
    assert record is not None
    photos = tuple(replace(record.photos[0], file=f"photos/{name}.jpg") for name in "ab")
    prints = bytes(8), ((1 << bits) - 1).to_bytes(8, "big")
    pictures = {
        photo.file: PictureFacts(photo.file, sha256=photo.file, fingerprint=one)
        for photo, one in zip(photos, prints, strict=True)
    }
    subject = Subject("record.yaml", "a/b", replace(record, photos=photos), Figures(()), pictures=pictures)
    assert [notice.field for notice in CHECK.run(subject)] == (["photos[1].file"] if is_told else [])
