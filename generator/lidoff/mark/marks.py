"""What the page sends to be saved -> checked marks: boxes, points and lengths, or all that is wrong with them."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import isfinite

from lidoff.record.sections import Sections

MOST_BOXES = 2000
BOX_PLACES = 4
POINT_PLACES = 5
_LEAST_EDGE = 0.0001


@dataclass(frozen=True, slots=True)
class Box:
    """A box for a component; ``at`` is its place in the record's list, None for a new one."""

    ref: str
    box: tuple[float, ...]
    at: int | None = None


@dataclass(frozen=True, slots=True)
class PhotoMarks:
    """All marks of one picture, as they are to be; ``scale`` and ``card`` are data as a record writes them."""

    place: int
    boxes: tuple[Box, ...]
    scale: Mapping | None
    card: Mapping | None
    camera_mm: float | None


@dataclass(frozen=True, slots=True)
class BoardMarks:
    """Where a picture shows one board's edges, as data; None where no picture does."""

    place: int
    in_photo: Mapping | None


@dataclass(frozen=True, slots=True)
class Marks:
    """Everything that one save changes, and the digest of the record that it was drawn on."""

    digest: str
    photos: tuple[PhotoMarks, ...] = ()
    boards: tuple[BoardMarks, ...] = ()


class RefusedMarks(Exception):
    """Marks that can't be saved; ``problems`` says of each what was found, what was expected and how to mend it."""

    def __init__(self, problems: list[str]) -> None:
        super().__init__("\n".join(problems))
        self.problems = problems


def marks_of(sent: object, sections: Sections, sizes: Mapping[str, tuple[int, int]]) -> Marks:
    """The marks in what was sent; raises RefusedMarks with every problem. ``sizes`` are those of the pictures [px]."""
    if not isinstance(sent, Mapping) or not isinstance(sent.get("digest"), str):
        raise RefusedMarks(["found something else than marks; expected an object with digest, photos and boards"])
    reader = MarkReader(sections, sizes)
    photos = [reader.photo(one) for one in reader.items(sent.get("photos", []), "photos")]
    boards = [reader.board(one) for one in reader.items(sent.get("boards", []), "boards")]
    if reader.problems:
        raise RefusedMarks(reader.problems)
    return Marks(sent["digest"], tuple(one for one in photos if one), tuple(one for one in boards if one))


class MarkReader:
    """Reads values one by one and keeps a list of what is wrong."""

    def __init__(self, sections: Sections, sizes: Mapping[str, tuple[int, int]]) -> None:
        self.sections, self.sizes = sections, sizes
        self.problems: list[str] = []
        self.seen: list[str] = []

    def tell(self, where: str, found: object, expected: str) -> None:
        self.problems.append(f"{where}: found {str(found)[:60]!r}, expected {expected}")

    def items(self, value: object, where: str) -> list[Mapping]:
        if not isinstance(value, list) or len(value) > MOST_BOXES or not all(isinstance(one, Mapping) for one in value):
            self.tell(where, type(value).__name__, f"a list of up to {MOST_BOXES:,} objects")
            return []
        return value

    def photo(self, sent: Mapping) -> PhotoMarks | None:
        names = [photo.file for photo in self.sections.photos]
        file = sent.get("file")
        if file not in names:
            self.tell("photo", file, "a picture of the record")
            return None
        if names.count(file) > 1 or file in self.seen:
            self.tell("photo", file, "a picture that is named once, in the record and in what is sent")
            return None
        self.seen.append(file)
        place = names.index(file)
        count = len(self.sections.photos[place].callouts)
        boxes = [self.box(one, file, count) for one in self.items(sent.get("callouts", []), f"{file} callouts")]
        kept = [box.at for box in boxes if box and box.at is not None]
        if len(set(kept)) < len(kept):
            self.tell(file, kept, "each box of the record once")
        return PhotoMarks(
            place,
            tuple(box for box in boxes if box),
            self.optional(sent.get("scale"), lambda value: self.scale(value, file)),
            self.optional(sent.get("card"), lambda value: self.card(value, file)),
            self.optional(sent.get("camera_mm"), lambda value: self.number(value, f"{file} camera_mm", 0, 20_000)),
        )

    def box(self, sent: Mapping, file: str, count: int) -> Box | None:
        ref, at = sent.get("ref"), sent.get("at")
        known = [part.ref for part in self.sections.components]
        if ref not in known:
            self.tell(f"{file} box", ref, "a component of the record")
            return None
        if at is not None and not (isinstance(at, int) and not isinstance(at, bool) and 0 <= at < count):
            self.tell(f"{file} box of {ref}", at, "the place of a box in the record")
            return None
        edges = self.numbers(sent.get("box"), f"{file} box of {ref}", 4, BOX_PLACES)
        if edges is None:
            return None
        left, top, width, height = edges
        if min(width, height) < _LEAST_EDGE or left + width > 1.0002 or top + height > 1.0002:
            self.tell(f"{file} box of {ref}", list(edges), "left, top, width and height within the picture")
            return None
        return Box(ref, edges, at)

    def scale(self, sent: object, file: str) -> Mapping | None:
        if not isinstance(sent, Mapping):
            return self.tell(f"{file} known length", sent, "two points and a length")
        points = self.points(sent.get("points"), f"{file} known length", 2)
        length = self.number(sent.get("length_mm"), f"{file} known length", 0, 5000)
        if points is None or length is None:
            return None
        held: dict[str, object] = {"points": points, "length_mm": length} | self.size(file)
        known = [one.id for one in self.sections.instruments]
        if sent.get("instrument") in known:
            held["instrument"] = sent["instrument"]
        return held

    def card(self, sent: object, file: str) -> Mapping | None:
        if not isinstance(sent, Mapping):
            return self.tell(f"{file} card", sent, "four corners")
        corners = self.points(sent.get("corners"), f"{file} card", 4)
        size = self.size(file)
        if corners is not None and not size:
            return self.tell(f"{file} card", "a picture that can't be read", "one whose size in pixels is known")
        return None if corners is None else {"corners": corners} | size

    def board(self, sent: Mapping) -> BoardMarks | None:
        names = [board.id for board in self.sections.boards]
        if sent.get("id") not in names:
            self.tell("board", sent.get("id"), "a board of the record")
            return None
        place = names.index(sent["id"])
        return BoardMarks(place, self.optional(sent.get("in_photo"), lambda value: self.in_photo(value, sent["id"])))

    def in_photo(self, sent: object, name: str) -> Mapping | None:
        files = [photo.file for photo in self.sections.photos]
        if not isinstance(sent, Mapping) or sent.get("file") not in files:
            return self.tell(f"board {name}", sent, "a picture of the record with two points each")
        held: dict[str, object] = {"file": sent["file"]}
        for edge in ("length", "width"):
            if sent.get(edge) is not None:
                held[edge] = self.points(sent[edge], f"board {name} {edge}", 2)
        if sent.get("above_mm") is not None:
            held["above_mm"] = self.number(sent["above_mm"], f"board {name} above_mm", -200.0001, 200)
        return held

    def size(self, file: str) -> dict[str, object]:
        return {"picture_px": list(self.sizes[file])} if file in self.sizes else {}

    def optional(self, value: object, read: Callable[[object], object]) -> object:
        return None if value is None else read(value)

    def points(self, value: object, where: str, count: int) -> list[list[float]] | None:
        if not isinstance(value, list) or len(value) != count:
            return self.tell(where, value, f"{count} points")
        found = [self.numbers(one, where, 2, POINT_PLACES) for one in value]
        return None if None in found else [list(one) for one in found]

    def numbers(self, value: object, where: str, count: int, places: int) -> tuple[float, ...] | None:
        """Fractions of the picture, rounded."""
        if not isinstance(value, list) or len(value) != count or not all(_is_number(one) for one in value):
            return self.tell(where, value, f"{count} numbers")
        if not all(-1e-9 <= one <= 1 + 1e-9 for one in value):
            return self.tell(where, value, "numbers from 0 to 1")
        return tuple(min(1.0, max(0.0, round(float(one), places))) for one in value)

    def number(self, value: object, where: str, above: float, most: float) -> float | None:
        if not _is_number(value) or not above < value <= most:
            return self.tell(where, value, f"a number above {above:g}, up to {most:g}")
        return round(float(value), 4)


def _is_number(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and isfinite(value)
