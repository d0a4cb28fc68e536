"""The bill of materials of an entry: its parts by function, with quantity, ratings and how each was identified."""

import csv
import io
from dataclasses import dataclass

from lidoff.narration.language import Language
from lidoff.pages.numbers import SPACE
from lidoff.pages.part_groups import grouped
from lidoff.pages.views.ratings import ratings_text
from lidoff.record.model.component import Component
from lidoff.record.model.record import Record

COLUMNS = (
    "function", "roles", "ref", "quantity", "board", "maker", "part_number", "technology", "package", "ratings",
    "identified_by", "strength",
)  # fmt: skip
FORMULA = ("=", "+", "-", "@", "\t", "\r")


@dataclass(frozen=True, slots=True)
class BillLine:
    """One line: the group by function and the part."""

    function: str
    part: Component

    @property
    def quantity(self) -> int:
        """How many; one where the record gives no number."""
        return self.part.quantity or 1


def bill_of(record: Record) -> tuple[BillLine, ...]:
    """Every recorded part, along the way of the power; what the record does not list is not in it."""
    return tuple(BillLine(group, part) for group, parts in grouped(record.components).items() for part in parts)


def as_csv(lines: tuple[BillLine, ...], language: Language) -> str:
    """The lines as CSV. A cell that a spreadsheet would take for a formula gets an apostrophe in front."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for line in lines:
        writer.writerow([f"'{cell}" if cell.startswith(FORMULA) else cell for cell in _cells(line, language)])
    return out.getvalue()


def _cells(line: BillLine, language: Language) -> tuple[str, ...]:
    part = line.part
    return (
        line.function,
        ", ".join(language.word("role", role) for role in part.roles),
        part.ref,
        str(line.quantity),
        part.board or "",
        part.maker or "",
        part.part_number or "",
        language.word("technology", part.technology) if part.technology else "",
        part.package or "",
        ratings_text(part.ratings).replace(SPACE, " "),
        language.word("identified_by", part.identified_by) if part.identified_by else "",
        part.strength or "",
    )
