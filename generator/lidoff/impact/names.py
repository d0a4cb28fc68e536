"""Names that a record brings for the first time, and markings of which the other records say something else."""

from collections import Counter
from collections.abc import Iterable, Iterator

from lidoff.entry import Entry
from lidoff.impact.change import Name
from lidoff.impact.stock import Said, Stock
from lidoff.record.model import Record
from lidoff.record.model.component import Component

UNREADABLE = "?"
UNNAMED = ""  # a marking whose part is not known


class Known:
    """What the other records name: the stock without what the changed records had said.

    A marking is its legible lines; behind it stand the parts that it was taken for.
    """

    def __init__(self, stock: Stock, without: Iterable[Record]) -> None:
        self._stock = stock
        self._left_out = Counter(said for record in without for said in names_said(record))

    def has(self, topic: str, name: str) -> bool:
        """Whether another record names it."""
        return self._stock.said(topic).get(name, 0) > self._left_out[topic, name]

    def marked(self, lines: tuple[str, ...]) -> set[str] | None:
        """The parts that others took a marking for; None where no other bears it."""
        topic = _marking_topic(lines)
        found = {name for name in self._stock.said(topic) if self.has(topic, name)}
        return found - {UNNAMED} if found else None


def names_said(record: Record) -> Iterator[Said]:
    """The names that a record counts for, each once."""
    found = [("brand", record.product.brand)]
    for part in record.components:
        if part.maker:
            found.append(("maker", part.maker))
        if part.part_number:
            found.append(("part", _part_key(part)))
        lines = _legible(part)
        if lines:
            found.append((_marking_topic(lines), _called(part) if part.part_number else UNNAMED))
    yield from dict.fromkeys(found)


def new_names(entry: Entry, known: Known) -> tuple[Name, ...]:
    """The names of an entry that are not known yet, each once, and the markings that contradict what is."""
    found: dict[tuple[str, str], Name] = {}
    brand = entry.record.product.brand
    if not known.has("brand", brand):
        found["brand", brand] = Name("brand", brand, "product.brand")
    for part in entry.record.components:
        for name in _of_part(part, known):
            found.setdefault((name.kind, name.name), name)
    return tuple(found.values())


def _of_part(part: Component, known: Known) -> Iterator[Name]:
    place = f"components[{part.ref}]"
    if part.maker and not known.has("maker", part.maker):
        yield Name("maker", part.maker, f"{place}.maker")
    if part.part_number and not known.has("part", _part_key(part)):
        yield Name("part", _called(part), f"{place}.part_number")
    lines = _legible(part)
    if not lines:
        return
    marking, others = " / ".join(lines), known.marked(lines)
    if others is None:
        yield Name("marking", marking, f"{place}.marking")
    elif part.part_number and others and _called(part) not in others:
        elsewhere = ", ".join(sorted(others))
        yield Name("marking", marking, f"{place}.marking", contradicts=f"{_called(part)} here, {elsewhere} elsewhere")


def _marking_topic(lines: tuple[str, ...]) -> str:
    return "\0".join(("marking", *lines))


def _part_key(part: Component) -> str:
    return part.part_number if part.maker is None else f"{part.maker}\0{part.part_number}"


def _legible(part: Component) -> tuple[str, ...]:
    """The lines of a marking that was read whole; a part of one tells two parts apart only by chance."""
    if part.marking is None or part.marking.state != "legible":
        return ()
    return tuple(line for line in part.marking.lines if UNREADABLE not in line)


def _called(part: Component) -> str:
    return f"{part.maker} {part.part_number}" if part.maker else str(part.part_number)
