"""The page on one figure: what it says, how it is computed, from what, on whose word, and which checks use it."""

import inspect
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lidoff.checks.check import CollectionCheck, RecordCheck
from lidoff.entry import Entry
from lidoff.figures.assumptions import all_assumptions
from lidoff.figures.catalogue import QUESTIONS, FigureKind
from lidoff.figures.figure import Figure
from lidoff.figures.show import assumed_text, corner_text, shown
from lidoff.pages import addresses
from lidoff.pages.docstrings import Argument, Documentation, documentation
from lidoff.pages.numbers import SPACE, quantity
from lidoff.pages.table import Cell, Column, Grid, Link
from lidoff.pages.wording import assumption_name, capital

Check = RecordCheck | CollectionCheck


@dataclass(frozen=True, slots=True)
class MethodView:
    """The page of a figure."""

    title: str
    id: str
    explanation: str
    question: str
    unit: str
    documentation: Documentation
    function: str
    parameters: Grid | None
    assumptions: Grid | None
    example: "ExampleView | None"
    checks: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class ExampleView:
    """The figure of one product, with what went in."""

    entry: Entry
    product: Link
    value: str
    of: str
    inputs: Grid | None


def method_view(kind: FigureKind, entries: Sequence[Entry], checks: Sequence[Check], root: str) -> MethodView:
    """The page of a figure; the example is the first product that has it."""
    found = documentation(kind.function)
    rules = [check.rule for check in checks if uses(check, kind.id)]
    return MethodView(
        title=kind.title,
        id=kind.id,
        explanation=kind.explanation,
        question=QUESTIONS[kind.question],
        unit=unit_text(kind.unit),
        documentation=found,
        function=kind.method,
        parameters=_arguments(found.parameters),
        assumptions=_assumptions(kind, entries),
        example=_example(kind, entries, root),
        checks=tuple(Link(rule.title, root + addresses.check(rule.id)) for rule in rules),
    )


def unit_text(unit: str) -> str:
    """A unit in words."""
    return {"1": "a plain number", "currency/W": "the currency paid, for each watt"}.get(unit, unit)


def uses(check: Check, figure_id: str) -> bool:
    """Whether a check reads a figure: its module names the figure's id."""
    return f'"{figure_id}"' in inspect.getsource(sys.modules[check.run.__module__])


def _arguments(arguments: Sequence[Argument]) -> Grid | None:
    rows = tuple((Cell(one.name.replace("_", " ")), Cell(one.unit or "none"), Cell(one.meaning)) for one in arguments)
    return Grid("What goes in", (Column("Value"), Column("Unit"), Column("Meaning")), rows) if rows else None


def _assumptions(kind: FigureKind, entries: Sequence[Entry]) -> Grid | None:
    """Every assumption that this figure rests on in any record."""
    used = {one.id: one for entry in entries for figure in entry.figures.present(kind.id) for one in figure.assumed}
    explained = {one.id: one for one in all_assumptions()}
    rows = tuple(
        (
            Cell(capital(assumption_name(name)), note=explained[name].explanation if name in explained else ""),
            Cell(assumed_text(one, SPACE)),
            Cell(one.source),
        )
        for name, one in sorted(used.items())
    )
    columns = (Column("Assumption"), Column("Value", is_number=True), Column("From where"))
    return Grid("Assumed where a record does not say", columns, rows) if rows else None


def _example(kind: FigureKind, entries: Sequence[Entry], root: str) -> ExampleView | None:
    for entry in entries:
        for figure in entry.figures.present(kind.id):
            product = Link(entry.title, root + addresses.product(entry.slug))
            value, of = shown(figure, SPACE).text, corner_text(figure.of, SPACE)
            return ExampleView(entry, product, value, of, _inputs(figure))
    return None


def _inputs(figure: Figure) -> Grid | None:
    rows = tuple(_input_rows(figure))
    columns = (Column("Field of the record or assumption"), Column("Value", is_number=True))
    return Grid("What went in", columns, rows) if rows else None


def _input_rows(figure: Figure) -> Iterator[tuple[Cell, ...]]:
    for one in figure.inputs:
        yield Cell(one.field, is_code=True), Cell(quantity(one.value, "" if one.unit == "1" else one.unit))
    for one in figure.assumed:
        yield Cell(f"assumed: {assumption_name(one.id)}"), Cell(assumed_text(one, SPACE))
