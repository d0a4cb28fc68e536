"""What was not understood in a table or in a map: one place, in three lines."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Remark:
    """One thing at one place; line and column count from 1, the column in code points.

    ``about`` names the column, ``said`` is the text of the cell.
    """

    path: str
    line: int
    column: int
    about: str
    found: str
    expected: str
    fix: str
    said: str = ""

    @property
    def text(self) -> str:
        """The remark for people."""
        lines = (f"  {name:<9} {getattr(self, name)}" for name in ("found", "expected", "fix"))
        return "\n".join((f"{self.path}:{self.line}:{self.column}: {self.about}".rstrip(": "), *lines))
