"""The parts table: what each part does, what it is, what is printed on it, how sure that is."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from lidoff.pages import addresses
from lidoff.pages.part_groups import grouped
from lidoff.pages.table import Cell, Column, Grid, Section, Thumb
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


def _row(component: Component, root: str, thumbs: Mapping[str, Thumb]) -> tuple[Cell, ...]:
    return (
        Cell(component.ref, note=_place(component)),
        *((Cell("", thumb=thumbs.get(component.ref)),) if thumbs else ()),
        Cell(capital(listed(label("role", role) for role in component.roles)), note=_nature(component)),
        Cell(part_name(component), href=part_href(component, root), note=component.package or ""),
        marking_cell(component.marking, component.date_code),
        Cell(ratings_text(component.ratings), note=component.note or ""),
        Cell(certainty(component)),
    )


def part_name(component: Component) -> str:
    """Maker and part number as far as they are known."""
    number = component.part_number or ("part number not known" if component.maker else "")
    return " ".join(piece for piece in (component.maker, number) if piece) or "not identified"


def part_href(component: Component, root: str) -> str:
    """Where the part's own page lies; empty for a part without a number."""
    return root + addresses.part(component.maker, component.part_number) if component.part_number else ""


def marking_text(marking: Marking | None) -> str:
    """The lines as printed, one after the other."""
    return " / ".join(marking.lines) if marking else ""


def marking_cell(marking: Marking | None, date_code: str | None) -> Cell:
    """The print with its state where that is more than "readable", and the date code."""
    if marking is None:
        return Cell(f"date code {date_code}" if date_code else "")
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
    return ", by ".join(piece for piece in (component.strength, basis) if piece)


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
    return tuple(component.ref for component in components if any(role in roles for role in component.roles))


def _place(component: Component) -> str:
    """How many, on which board and side, for which port, across what."""
    pieces = [f"{component.quantity} of them"] if component.quantity not in (None, 1) else []
    if component.board:
        pieces.append(f"{component.board}{f', {component.side}' if component.side else ''}")
    elif component.side:
        pieces.append(label("board_side", component.side))
    if component.port:
        pieces.append(f"port {component.port}")
    if component.series_string:
        pieces.append(f"series string {component.series_string}")
    return ", ".join(pieces)


def _nature(component: Component) -> str:
    """Technology, known ways of control, and what a capacitor bridges."""
    pieces = [label("technology", component.technology)] if component.technology else []
    pieces += [label("control_feature", word) for word in component.control]
    if component.across:
        pieces.append(label("insulation_boundary", component.across))
    return ", ".join(pieces)
