"""What the design of a product is known by."""

from lidoff.record.sketch import Readable


def design_of(record: Readable) -> str | None:
    """The manufacturer on the label with the print on the main board; None where one of them is not recorded."""
    label = record.label
    manufacturer = label.manufacturer if label else None
    prints = [board.silkscreen for board in record.boards if board.role == "main" and board.silkscreen]
    return f"{folded(manufacturer)} / {folded(prints[0])}" if manufacturer and prints else None


def folded(text: str) -> str:
    """A print or name without its case and the width of its gaps: what is compared of it."""
    return " ".join(text.casefold().split())
