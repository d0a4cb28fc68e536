"""The page on one figure: what it says, how it is computed, from what, on whose word, and which checks use it."""

import inspect
import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from lidoff.checks.check import CollectionCheck, RecordCheck
from lidoff.entry import Entry
from lidoff.figures.assumptions import all_assumptions
from lidoff.figures.catalogue import QUESTIONS, FigureKind
from lidoff.figures.figure import Assumed, Figure
from lidoff.figures.show import assumed_text, corner_text, shown
from lidoff.pages import addresses
from lidoff.pages.context import Context
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


@dataclass(frozen=True, slots=True)
class Known:
    """What is known of a figure: the first product that has it, and every assumption that it rests on in any record."""

    entry: Entry
    figure: Figure
    assumed: dict[str, Assumed]


class KnownFigures:
    """What is known of each figure, by its id; a record is read once for all of them, when the first page asks."""

    def __init__(self, context: Context) -> None:
        self._context = context

    @cached_property
    def by_id(self) -> Mapping[str, Known]:
        """Of those figures that any record has."""
        share: dict[object, object] = {}  # thousands of records rest on the same
        first: dict[str, Entry] = {}
        assumed: dict[str, dict[str, Assumed]] = {}
        for entry in self._context.entries:
            resting = self._context.known.of(entry, "assumed", lambda one: _resting(one, share))
            for figure_id, used in resting:
                first.setdefault(figure_id, entry)
                assumed.setdefault(figure_id, {}).update((one.id, one) for one in used)
        return {name: Known(entry, entry.figures.present(name)[0], assumed[name]) for name, entry in first.items()}


def _resting(entry: Entry, share: dict[object, object]) -> tuple[tuple[str, tuple[Assumed, ...]], ...]:
    """The figures that have a value, each with what it assumes."""
    found = [(figure.id, figure.assumed) for figure in entry.figures if figure.value is not None]
    return tuple([share.setdefault(one, one) for one in found])


def method_view(kind: FigureKind, figures: KnownFigures, checks: Sequence[Check], root: str) -> MethodView:
    """The page of a figure; the example is the first product that has it."""
    found, known = documentation(kind.function), figures.by_id.get(kind.id)
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
        assumptions=_assumptions(known.assumed) if known else None,
        example=_example(known.entry, known.figure, root) if known else None,
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


def _assumptions(used: Mapping[str, Assumed]) -> Grid | None:
    """Every assumption that this figure rests on in any record."""
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


def _example(entry: Entry, figure: Figure, root: str) -> ExampleView:
    product = Link(entry.title, root + addresses.product(entry.slug))
    return ExampleView(entry, product, shown(figure, SPACE).text, corner_text(figure.of, SPACE), _inputs(figure))


def _inputs(figure: Figure) -> Grid | None:
    rows = tuple(_input_rows(figure))
    columns = (Column("Field of the record or assumption"), Column("Value", is_number=True))
    return Grid("What went in", columns, rows) if rows else None


def _input_rows(figure: Figure) -> Iterator[tuple[Cell, ...]]:
    for one in figure.inputs:
        yield Cell(one.field, is_code=True), Cell(quantity(one.value, "" if one.unit == "1" else one.unit))
    for one in figure.assumed:
        yield Cell(f"assumed: {assumption_name(one.id)}"), Cell(assumed_text(one, SPACE))
