"""The pictures of a record, each once, with the field that names it first."""

from collections.abc import Iterator

from lidoff.bench.picture_file import PictureFacts
from lidoff.bench.pictures import pictures_named
from lidoff.checks.check import Gist, Subject

UNNAMED = "photos"
"""The field of a picture that lies beside the record and is not named in it."""


def pictures_beside(subject: Subject | Gist) -> Iterator[tuple[str, PictureFacts]]:
    """Every picture in the record's folder with the field that names it: named ones first, in the record's order."""
    fields: dict[str, str] = {}
    for field, name in pictures_named(subject.record):
        fields.setdefault(name, field)
    for name in fields:
        if name in subject.pictures:
            yield fields[name], subject.pictures[name]
    for name, facts in subject.pictures.items():
        if name not in fields:
            yield UNNAMED, facts
