"""Every picture beside a record, named in it or not: all that lies there is published with the repository."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from pathlib import Path, PurePosixPath

from lidoff.bench.picture_file import ENDINGS, PictureFacts, picture_facts
from lidoff.record.model import Record

Pictures = Mapping[str, PictureFacts]
FOLDER = "photos/"
_OTHER_ENDINGS = frozenset((".dng", ".cr2", ".cr3", ".nef", ".arw", ".raf", ".orf", ".rw2", ".psd"))


def pictures_named(record: Record) -> Iterator[tuple[str, str]]:
    """Every picture that a record names, as (field, file), in the record's order."""
    for place, photo in enumerate(record.photos):
        yield f"photos[{place}].file", photo.file
    waveforms = record.measured.waveforms if record.measured is not None else ()
    for place, waveform in enumerate(waveforms):
        if waveform.photo is not None:
            yield f"measured.waveforms[{place}].photo", waveform.photo


def read_pictures(folder: Path, record: Record, files: Collection[str]) -> dict[str, PictureFacts]:
    """What the pictures in a record's folder are, by their path in it.

    ``files`` are the files that lie there, links left out. A file that the record does not name counts where its ending
    makes it a picture, and in the folder of photos where its content does.
    """
    named = {name for _, name in pictures_named(record)}
    found = {}
    for name in sorted(files):
        if name in named or has_picture_ending(name):
            found[name] = picture_facts(folder, name)
        elif name.startswith(FOLDER) and (facts := picture_facts(folder, name)).format:
            found[name] = facts
    return found


def has_picture_ending(name: str) -> bool:
    """Whether a file's name ends as that of a picture does."""
    ending = PurePosixPath(name).suffix.lower()
    return ending in ENDINGS or ending in _OTHER_ENDINGS
