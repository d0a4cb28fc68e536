"""The designators of a row: one, a list, a range."""

import re

MOST = 200
_RANGE = re.compile(r"([A-Z]{1,5})(\d{1,4})\s*(?:-|–|—|…|\.{2,3}|~|to)\s*([A-Z]{0,5})(\d{1,4})", re.IGNORECASE)
_ONE = re.compile(r"[A-Z]{1,5}[0-9]{1,4}[A-Z]?", re.IGNORECASE)


class NoDesignators(ValueError):
    """A text that names no designators; its place counts from 0."""

    def __init__(self, found: str, fix: str, at: int = 0) -> None:
        super().__init__(found)
        self.found, self.fix, self.at = found, fix, at


def designators(text: str) -> tuple[str, ...]:
    """The designators that a cell names; raises NoDesignators.

    Examples
    --------
    >>> designators("C3-C5, C9"), designators("R1 R2"), designators("Q1")
    (('C3', 'C4', 'C5', 'C9'), ('R1', 'R2'), ('Q1',))
    """
    found: list[str] = []
    at = 0
    while at < len(text):
        if separator := re.compile(r"[\s,;/+&]+").match(text, at):
            at = separator.end()
            continue
        if match := _RANGE.match(text, at):
            found += _within(match, at)
        elif match := _ONE.match(text, at):
            found.append(match.group().upper())
        else:
            raise NoDesignators(text[at:].split()[0], "write letters and a number, such as Q1, C3-C5 or R1, R2", at)
        at = match.end()
        if at < len(text) and not re.match(r"[\s,;/+&]", text[at]):
            piece = text[match.start() :].split()[0]
            raise NoDesignators(piece, "write letters and a number, such as Q1, C3-C5 or R1, R2", match.start())
    twice = next((one for number, one in enumerate(found) if one in found[:number]), None)
    if twice:
        raise NoDesignators(f"{twice} twice", "name each part once")
    return tuple(found)


def _within(match: re.Match[str], at: int) -> list[str]:
    letters, first, others, last = match[1].upper(), int(match[2]), match[3].upper(), int(match[4])
    if others not in ("", letters):
        raise NoDesignators(match.group(), "write a range with the same letters at both ends, such as C3-C5", at)
    if last <= first:
        raise NoDesignators(match.group(), "write the lower number first", at)
    if last - first >= MOST:
        raise NoDesignators(f"{match.group()}, {last - first + 1} parts", f"write ranges of at most {MOST} parts", at)
    return [f"{letters}{number}" for number in range(first, last + 1)]
