"""How a print or a part number was identified before: every component of the records that it fits, and how well."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from lidoff.pages.marking_index import SHORTEST, UNREADABLE, searchable
from lidoff.record.load import Loaded, load_file
from lidoff.record.model.component import Component, Marking

NUMBER, WHOLE_PRINT, LINE, POSSIBLE = "part number", "whole print", "line of the print", "part number that it could be"
_RANKS = {NUMBER: 0, WHOLE_PRINT: 1, LINE: 2, POSSIBLE: 3}
_STRENGTHS = {"certain": 0, "likely": 1, "guess": 2, None: 3}
LEAST_INSIDE = 3


@dataclass(frozen=True, slots=True)
class Former:
    """One place where the print or number stands: what it was taken for there, on what ground, and how well it fits.

    ``fit`` is exact, unreadable (signs that could not be read fit any) or inside (a piece of a longer text). The
    component is None for what another sample has, or for a candidate: it is no identification to reuse as it is.
    """

    path: str
    line: int
    product: str
    ref: str
    roles: tuple[str, ...]
    found: str
    text: str
    fit: str
    maker: str | None
    part_number: str | None
    identified_by: str | None = None
    strength: str | None = None
    is_draft: bool = False
    component: Component | None = None

    @property
    def part(self) -> tuple[str, str] | None:
        """The part that it was taken for; None where that was not found out."""
        return (self.maker or "", self.part_number) if self.part_number else None

    @property
    def order(self) -> tuple:
        """Sorting key: the best fit first, then the surest."""
        fits = ("exact", "unreadable", "inside")
        return (fits.index(self.fit), _RANKS[self.found], _STRENGTHS[self.strength], self.path, self.line)


@dataclass(frozen=True, slots=True)
class Search:
    """What was found, the best first; how many records were read, and which could not be."""

    wanted: str
    found: tuple[Former, ...]
    records: int
    unread: tuple[str, ...]

    @property
    def parts(self) -> Mapping[tuple[str, str], tuple[Former, ...]]:
        """The different parts that it was taken for, with the places, leaving aside mere candidates."""
        parts: dict[tuple[str, str], list[Former]] = {}
        for one in self.found:
            if one.part is not None and one.found != POSSIBLE and one.fit != "inside":
                parts.setdefault(one.part, []).append(one)
        return {part: tuple(places) for part, places in parts.items()}

    @property
    def is_conflict(self) -> bool:
        """Whether the same print was taken for different parts."""
        return len(self.parts) > 1


def is_searchable(text: str) -> bool:
    """Whether enough of a text is known to look for it."""
    return len(searchable(text).replace(UNREADABLE, "")) >= SHORTEST


def search(wanted: str, files: Sequence[Path], base: Path) -> Search:
    """Every component in record files that a print or part number fits."""
    form = searchable(wanted)
    found: list[Former] = []
    unread: list[str] = []
    for file in files:
        if not _may_hold(file, form):
            continue
        loaded = load_file(file, base)
        if loaded.record is None:
            unread.append(loaded.path)
            continue
        found += _in_record(loaded, form)
    return Search(wanted, tuple(sorted(found, key=lambda one: one.order)), len(files), tuple(unread))


def _may_hold(file: Path, form: str) -> bool:
    """Whether a file may have the text: reading it as a record takes a hundred times as long as this look."""
    run = max(re.findall(r"[A-Z0-9]+", form), key=len, default="")
    try:
        text = file.read_text(encoding="utf-8", errors="replace")
    except OSError:
        return True  # reading it as a record tells what is wrong with it
    if not form.isascii() or UNREADABLE in text or "\\" in text:
        return True
    return run in re.sub(r"[^A-Z0-9]+", "", text.upper())


def _in_record(loaded: Loaded, form: str) -> Iterator[Former]:
    record = loaded.record
    for number, component in enumerate(record.components):
        place = loaded.place(f"components[{number}]")
        product = f"{record.product.brand} {record.product.model}"
        for found, text, what in _texts(component):
            fit = fit_of(form, searchable(text))
            if fit is not None:
                yield Former(
                    loaded.path, place.line, product, component.ref, component.roles, found, text, fit,
                    is_draft=record.status == "draft", **what,
                )  # fmt: skip
                break


def _texts(component: Component) -> Iterator[tuple[str, str, dict]]:
    """Each text of a component with what it is, and what it was taken for."""
    own = {
        "maker": component.maker, "part_number": component.part_number, "identified_by": component.identified_by,
        "strength": component.strength, "component": component,
    }  # fmt: skip
    if component.part_number:
        yield NUMBER, component.part_number, own
    yield from ((found, text, own) for found, text in _prints(component.marking))
    for other in component.other_samples:
        there = {"maker": other.maker, "part_number": other.part_number}
        if other.part_number:
            yield NUMBER, other.part_number, there
        yield from ((found, text, there) for found, text in _prints(other.marking))
    for one in component.candidates:
        yield POSSIBLE, one.part_number, {"maker": one.maker, "part_number": one.part_number, "strength": "guess"}


def _prints(marking: Marking | None) -> Iterable[tuple[str, str]]:
    if marking is None or not marking.lines:
        return ()
    whole = [(WHOLE_PRINT, " / ".join(marking.lines))]
    return whole + [(LINE, line) for line in marking.lines if len(marking.lines) > 1]


def fit_of(wanted: str, text: str) -> str | None:
    """How a searchable text fits what is wanted: exact, unreadable, inside, or None.

    An unreadable sign on either side fits any one sign; but two signs at least must be known on both sides.

    Examples
    --------
    >>> fit_of("QS65", "QS65"), fit_of("QS6?", "QS65"), fit_of("S65R", "QS65R150"), fit_of("QS65", "QS66")
    ('exact', 'unreadable', 'inside', None)
    """
    if wanted == text:
        return "exact"
    if len(wanted) == len(text) and _agree(wanted, text):
        return "unreadable"
    known = len(wanted.replace(UNREADABLE, ""))
    if known < LEAST_INSIDE or len(text) <= len(wanted):
        return None
    places = range(len(text) - len(wanted) + 1)
    return "inside" if any(_agree(wanted, text[at : at + len(wanted)]) for at in places) else None


def _agree(wanted: str, text: str) -> bool:
    pairs = list(zip(wanted, text, strict=True))
    fits = all(one == other or UNREADABLE in (one, other) for one, other in pairs)
    return fits and sum(one == other != UNREADABLE for one, other in pairs) >= SHORTEST
