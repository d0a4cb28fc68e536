"""The parts table: what each part does, what it is, what is printed on it, how sure that is."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from operator import attrgetter

from lidoff.pages import addresses
from lidoff.pages.part_groups import grouped
from lidoff.pages.table import Cell, Cells, Column, Grid, Section, Thumb
from lidoff.pages.views.ratings import ratings_text
from lidoff.pages.vocabulary import label
from lidoff.pages.wording import capital, listed, sentence
from lidoff.record.model.component import Component, Marking

# what an identification rests on, short enough for a cell
BASIS = {
    "printed-part-number": "its printed part number",
    "printed-code": "a printed code",
    "pinout": "its connections",
    "die-photo": "a picture of the die",
    "circuit": "its place in the circuit",
    "measurement": "a measurement",
    "x-ray": "an X-ray picture",
    "brand-claim": "a claim of the brand",
}
COLUMNS = (
    Column("Part"), Column("What it does"), Column("Identified as"), Column("Print on it"), Column("Ratings"),
    Column("How sure"),
)  # fmt: skip
CACHED = 4096  # sets of words: far fewer are in use
_WHERE = attrgetter("quantity", "board", "side", "port", "series_string")
CLOSE_UP = Column("Close-up")


@dataclass(frozen=True, slots=True)
class Doubt:
    """A part that could be several things: for and against each."""

    ref: str
    candidates: tuple["CandidateView", ...]


@dataclass(frozen=True, slots=True)
class CandidateView:
    """One thing that a part could be."""

    name: str
    points_for: tuple[str, ...]
    points_against: tuple[str, ...]


def parts_table(components: Sequence[Component], root: str, thumbs: Mapping[str, Thumb]) -> Grid | None:
    """The parts grouped along the way of the power, with their close-ups where there are any; None without parts."""
    sections = tuple(
        Section(name, tuple(_row(component, root, thumbs) for component in members))
        for name, members in grouped(components).items()
    )
    columns = (COLUMNS[0], CLOSE_UP, *COLUMNS[1:]) if thumbs else COLUMNS
    return Grid("Every part in the record", columns, (), sections=sections) if sections else None


def _row(component: Component, root: str, thumbs: Mapping[str, Thumb]) -> Cells:
    return (
        Cell(component.ref, note=_place(*_WHERE(component))),
        *((Cell("", thumb=thumbs.get(component.ref)),) if thumbs else ()),
        _with_note(_roles(component.roles), _nature(component.technology, component.control, component.across)),
        Cell(part_name(component), href=part_href(component, root), note=component.package or ""),
        marking_cell(component.marking, component.date_code),
        _with_note(ratings_text(component.ratings), component.note),
        certainty(component),
    )


def _with_note(text: str, note: str | None) -> str | Cell:
    return Cell(text, note=note) if note else text


@lru_cache(maxsize=CACHED)
def _roles(roles: tuple[str, ...]) -> str:
    return capital(listed(label("role", role) for role in roles))


def part_name(component: Component) -> str:
    """Maker and part number as far as they are known."""
    maker, number = component.maker, component.part_number
    if maker:
        return f"{maker} {number or 'part number not identified'}"
    return number or "not identified"


def part_href(component: Component, root: str) -> str:
    """Where the part's own page lies; empty for a part without a number."""
    return root + addresses.part(component.maker, component.part_number) if component.part_number else ""


def marking_text(marking: Marking | None) -> str:
    """The lines as printed, one after the other."""
    return " / ".join(marking.lines) if marking else ""


def marking_cell(marking: Marking | None, date_code: str | None) -> str | Cell:
    """The print with its state where that is more than "readable", and the date code."""
    if marking is None:
        return f"date code {date_code}" if date_code else ""
    notes = [label("marking_state", marking.state)] if marking.state != "legible" and marking.lines else []
    if date_code:
        notes.append(f"date code {date_code}")
    text = marking_text(marking)
    return Cell(text or label("marking_state", marking.state), note=", ".join(notes), is_code=bool(text))


def certainty(component: Component) -> str:
    """How sure the identification is and what it rests on, in a few words."""
    if component.identified_by is None and component.strength is None:
        return ""
    if component.identified_by == "unidentified":
        return "not identified"
    basis = BASIS.get(component.identified_by, component.identified_by or "")
    return f"{component.strength}, by {basis}" if component.strength and basis else component.strength or basis


def doubts(components: Iterable[Component]) -> tuple[Doubt, ...]:
    """The parts for which other readings are recorded."""
    return tuple(
        Doubt(
            component.ref,
            tuple(
                CandidateView(
                    " ".join(piece for piece in (one.maker, one.part_number) if piece),
                    tuple(sentence(point) for point in one.points_for),
                    tuple(sentence(point) for point in one.points_against),
                )
                for one in component.candidates
            ),
        )
        for component in components
        if component.candidates
    )


def refs_with_roles(components: Iterable[Component], roles: Sequence[str]) -> tuple[str, ...]:
    """Designators of the parts that fill one of the roles, in the record's order."""
    wanted = frozenset(roles)
    return tuple([component.ref for component in components if not wanted.isdisjoint(component.roles)])


@lru_cache(maxsize=CACHED)
def _place(number: int | None, board: str | None, side: str | None, port: str | None, string: str | None) -> str:
    """How many, on which board and side, for which port, in which series string."""
    pieces = [f"{number} of them"] if number not in (None, 1) else []
    if board:
        pieces.append(f"{board}{f', {side}' if side else ''}")
    elif side:
        pieces.append(label("board_side", side))
    if port:
        pieces.append(f"port {port}")
    if string:
        pieces.append(f"series string {string}")
    return ", ".join(pieces)


@lru_cache(maxsize=CACHED)
def _nature(technology: str | None, control: tuple[str, ...], across: str | None) -> str:
    """Technology, known ways of control, and what a capacitor bridges."""
    pieces = [label("technology", technology)] if technology else []
    pieces += [label("control_feature", word) for word in control]
    if across:
        pieces.append(label("insulation_boundary", across))
    return ", ".join(pieces)
