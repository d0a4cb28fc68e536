"""Cells of a parts table -> values of a component's fields; what a cell does not say for sure is refused."""

import re
from collections.abc import Callable, Mapping, Sequence

from lidoff.bench.parts_table import words
from lidoff.record import nearest
from lidoff.record.schema import shape_at

_COMPONENT = shape_at("components[0]")
_PACKAGE = re.compile(_COMPONENT.keys["package"].schema["pattern"])
_STATES = tuple(_COMPONENT.keys["marking"].keys["state"].schema["enum"])
_UNPRINTED = tuple(state for state in _STATES if state in ("none", "erased", "coated", "hidden"))
_LINE_ENDS = re.compile(r"\s+/\s+|\s*\|\s*|\n")
MANY_WORDS = 12


class Refused(ValueError):
    """A cell that can't be taken: found, expected and fix, and the place in the cell from 0."""

    def __init__(self, found: str, expected: str, fix: str, at: int = 0) -> None:
        super().__init__(found)
        self.found, self.expected, self.fix, self.at = found, expected, fix, at


def roles(text: str) -> list[str]:
    """The roles in a cell, one or several behind commas."""
    names: list[str] = []
    at = 0
    for piece in re.split(r"([,;/+\n])", text):
        stripped = piece.strip()
        if stripped and stripped not in ",;/+":
            name = words.role(stripped)
            if name is None:
                known = _COMPONENT.keys["roles"].items.schema["enum"]
                place = at + piece.index(stripped)
                raise Refused(f'"{stripped}"', "a role of the vocabulary", words.offered(stripped, known), place)
            names.append(name)
        at += len(piece)
    return list(dict.fromkeys(names))


def vocabulary(key: str) -> Callable[[str], str]:
    """A reader of cells that hold one word of a field's vocabulary."""
    known: Sequence[str] = _COMPONENT.keys[key].schema["enum"]

    def read(text: str) -> str:
        name = words.word(text, known)
        if name is None:
            expected = f"one of {', '.join(known)}" if len(known) <= MANY_WORDS else f"a word for {key}"
            raise Refused(f'"{text}"', expected, words.offered(text, known))
        return name

    return read


def quantity(text: str) -> int:
    """A number of parts."""
    match = re.fullmatch(r"(\d{1,3})\s*(?:x|×|pcs\.?)?", text, re.IGNORECASE)
    if match is None or int(match[1]) < 1:
        raise Refused(f'"{text}"', "a whole number of parts, at least 1", "write the number alone")
    return int(match[1])


def package(text: str) -> str:
    """A package in the schema's writing; one that is only spelt another way is taken."""
    if _PACKAGE.fullmatch(text):
        return text
    usual = nearest.package(text) or nearest.package(re.sub(r"^([A-Za-z]+)(?=\d)", r"\1-", text))
    if usual and _package_form(usual) == _package_form(text) and _PACKAGE.fullmatch(usual):
        return usual
    fix = f"write {usual}" if usual else "write the package family, then pins or body size, such as SO-8 or DFN 8x8"
    raise Refused(f'"{text}"', "a package family of the vocabulary, then pins or body size", fix)


def _package_form(text: str) -> str:
    return re.sub(r"[\s_-]+", "", re.sub(r"\s*[×xX*]\s*", "x", text)).casefold().removesuffix("mm")


def marking(text: str, state: str | None) -> dict[str, object]:
    """The lines of a print, behind " / ", a bar or a line end; its state alone where the cell says only that.

    A print with a question mark can be read in part; one without is legible, unless the table says otherwise.
    """
    alone = words.word(text, _UNPRINTED)
    if alone is not None:
        return {"state": alone}
    lines = [line.strip() for line in _LINE_ENDS.split(text) if line.strip()]
    return {"lines": lines, "state": state or ("partial" if "?" in text else "legible")}


def marking_state(text: str) -> str:
    """The state of a print."""
    name = words.word(text, _STATES)
    if name is None:
        raise Refused(f'"{text}"', f"one of {', '.join(_STATES)}", words.offered(text, _STATES))
    return name


READERS: Mapping[str, Callable[[str], object]] = {
    "roles": roles,
    "quantity": quantity,
    "technology": vocabulary("technology"),
    "side": vocabulary("side"),
    "across": vocabulary("across"),
    "identified_by": vocabulary("identified_by"),
    "strength": vocabulary("strength"),
    "package": package,
    "marking_state": marking_state,
}
