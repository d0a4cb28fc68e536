"""Sizes of boards that follow from photographs, with their uncertainty."""

from collections.abc import Iterator
from dataclasses import dataclass

from lidoff.bench.photo_lengths import NoLength, SeenLength, seen_length
from lidoff.figures.rows import reading_uncertainty
from lidoff.record.model import Record
from lidoff.record.model.construction import Board
from lidoff.record.model.picture import Photo

EDGES = ("length", "width")


@dataclass(frozen=True, slots=True)
class PhotoSize:
    """One edge of a board in a photograph: what was seen, or the reason why nothing follows from it.

    ``board`` and ``photo`` are places in the record's lists; ``edge`` is 0 for the length and 1 for the width.
    """

    board: int
    edge: int
    photo: int | None
    seen: SeenLength | None
    absent: str = ""

    @property
    def field(self) -> str:
        """The field that holds the two points."""
        return f"boards[{self.board}].in_photo.{EDGES[self.edge]}"


def photo_sizes(record: Record) -> Iterator[PhotoSize]:
    """Every edge of a board that a photograph shows, in the order of the record."""
    for place, board in enumerate(record.boards):
        yield from board_in_photo(record, place, board)


def board_in_photo(record: Record, place: int, board: Board) -> Iterator[PhotoSize]:
    """The edges of one board that a photograph shows."""
    if board.in_photo is None:
        return
    number = next((number for number, photo in enumerate(record.photos) if photo.file == board.in_photo.file), None)
    for edge, ends in enumerate((board.in_photo.length, board.in_photo.width)):
        if ends is None:
            continue
        if number is None:
            yield PhotoSize(place, edge, None, None, f"{board.in_photo.file} is not among the pictures of the record")
            continue
        photo = record.photos[number]
        try:
            seen = seen_length(photo, ends, board.in_photo.above_mm, _known_spread(record, photo))
        except NoLength as reason:
            yield PhotoSize(place, edge, number, None, str(reason))
        else:
            yield PhotoSize(place, edge, number, seen)


def _known_spread(record: Record, photo: Photo) -> float:
    """Standard uncertainty of the known length [mm], 0 where no accuracy is recorded."""
    if photo.scale is None:
        return 0.0
    return reading_uncertainty(record, photo.scale.instrument, "length", photo.scale.length_mm) or 0.0
