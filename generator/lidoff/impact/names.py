"""Names that a record brings for the first time, and markings of which the other records say something else."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from lidoff.entry import Entry
from lidoff.impact.change import Name
from lidoff.record.model.component import Component

UNREADABLE = "?"


@dataclass(frozen=True, slots=True)
class Known:
    """What the other records name. A marking is its legible lines; behind it stand the parts that it was taken for."""

    brands: set[str] = field(default_factory=set)
    makers: set[str] = field(default_factory=set)
    parts: set[tuple[str | None, str]] = field(default_factory=set)
    markings: dict[tuple[str, ...], set[str]] = field(default_factory=dict)


def known_of(entries: Iterable[Entry]) -> Known:
    """All names of these entries."""
    known = Known()
    for entry in entries:
        known.brands.add(entry.record.product.brand)
        for part in entry.record.components:
            if part.maker:
                known.makers.add(part.maker)
            if part.part_number:
                known.parts.add((part.maker, part.part_number))
            lines = _legible(part)
            if lines and part.part_number:
                known.markings.setdefault(lines, set()).add(_called(part))
            elif lines:
                known.markings.setdefault(lines, set())
    return known


def new_names(entry: Entry, known: Known) -> tuple[Name, ...]:
    """The names of an entry that are not known yet, each once, and the markings that contradict what is."""
    found: dict[tuple[str, str], Name] = {}
    brand = entry.record.product.brand
    if brand not in known.brands:
        found["brand", brand] = Name("brand", brand, "product.brand")
    for part in entry.record.components:
        for name in _of_part(part, known):
            found.setdefault((name.kind, name.name), name)
    return tuple(found.values())


def _of_part(part: Component, known: Known) -> Iterator[Name]:
    place = f"components[{part.ref}]"
    if part.maker and part.maker not in known.makers:
        yield Name("maker", part.maker, f"{place}.maker")
    if part.part_number and (part.maker, part.part_number) not in known.parts:
        yield Name("part", _called(part), f"{place}.part_number")
    lines = _legible(part)
    if not lines:
        return
    marking = " / ".join(lines)
    if lines not in known.markings:
        yield Name("marking", marking, f"{place}.marking")
    elif part.part_number and _differs(_called(part), known.markings, lines):
        others = ", ".join(sorted(known.markings[lines]))
        yield Name("marking", marking, f"{place}.marking", contradicts=f"{_called(part)} here, {others} elsewhere")


def _differs(called: str, markings: Mapping[tuple[str, ...], set[str]], lines: tuple[str, ...]) -> bool:
    return bool(markings[lines]) and called not in markings[lines]


def _legible(part: Component) -> tuple[str, ...]:
    """The lines of a marking that was read whole; a part of one tells two parts apart only by chance."""
    if part.marking is None or part.marking.state != "legible":
        return ()
    return tuple(line for line in part.marking.lines if UNREADABLE not in line)


def _called(part: Component) -> str:
    return f"{part.maker} {part.part_number}" if part.maker else str(part.part_number)
