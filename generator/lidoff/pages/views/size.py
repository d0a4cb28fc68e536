"""Size and mass, metric and imperial."""

from collections.abc import Iterable

from lidoff.pages.drawings.body import BodyDrawing, body_drawing
from lidoff.pages.drawings.life_size import Board
from lidoff.pages.numbers import edges, edges_in_inches, ounces, quantity
from lidoff.pages.table import Fact
from lidoff.pages.vocabulary import label
from lidoff.record.model.measured import Body, Measured
from lidoff.record.model.record import Record
from lidoff.record.sketch import Sketch


def size_facts(measured: Measured | None) -> tuple[Fact, ...]:
    """Size and mass as measured, each with the converted value."""
    return tuple(_facts(measured)) if measured else ()


def _facts(measured: Measured) -> Iterable[Fact]:
    body = measured.body_mm
    if body is not None:
        yield Fact(f"Body{_how(body)}", edges(body.size), edges_in_inches(body.size))
        if body.with_prongs is not None:
            yield Fact("Body with plug", edges(body.with_prongs), edges_in_inches(body.with_prongs))
        if body.volume_cm3 is not None:
            yield Fact("Volume, measured", quantity(body.volume_cm3, "cm³"))
    if measured.assembly_mm is not None:
        yield Fact("Circuit without its case", edges(measured.assembly_mm), edges_in_inches(measured.assembly_mm))
    if measured.mass_g is not None:
        yield Fact("Mass", quantity(measured.mass_g, "g"), ounces(measured.mass_g))


def _how(body: Body) -> str:
    return f", {label('prongs', body.prongs)}" if body.prongs and body.prongs != "none" else ""


def size_drawing(record: Record, name: str) -> BodyDrawing | None:
    """The body beside a card of known size; None where its size was not measured."""
    body = record.measured.body_mm if record.measured else None
    return body_drawing(name, body.size, body.shape or "box", boards_of(record)) if body else None


def boards_of(record: Record | Sketch) -> tuple[Board, ...]:
    """The boards whose size was measured."""
    return tuple(Board(board.id, board.size_mm) for board in record.boards if board.size_mm)
