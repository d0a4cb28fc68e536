"""Plain data -> lines of YAML as records are written: short rows in one line, longer ones key by key, 120 columns."""

import textwrap
from collections.abc import Mapping, Sequence
from decimal import Decimal

from lidoff.record.template import yaml_text

WIDTH = 120
STEP = 2


def flow(value: object) -> str:
    """A value in one line.

    Examples
    --------
    >>> print(flow({"alone": True, "cable": "emarked-5a", "current_a": 3.0, "words": ["0x0801912C"]}))
    {alone: true, cable: emarked-5a, current_a: 3, words: ["0x0801912C"]}
    """
    if isinstance(value, Mapping):
        return f"{{{', '.join(f'{yaml_text(key)}: {flow(one)}' for key, one in value.items())}}}"
    if isinstance(value, str):
        return yaml_text(value)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        return _number(value)
    if isinstance(value, Sequence):
        return f"[{', '.join(flow(one) for one in value)}]"
    raise TypeError(f"a record holds no {type(value).__name__}")


def keyed(key: str, value: object, indent: int = 0) -> list[str]:
    """The lines of a key with its value."""
    lead = f"{' ' * indent}{key}:"
    if not value and not isinstance(value, (str, bool, int, float)):
        return [f"{lead} {flow(value)}"]
    if isinstance(value, Mapping):
        line = f"{lead} {flow(value)}"
        return [line] if _is_row(value) and len(line) <= WIDTH else [lead, *mapping_lines(value, indent + STEP)]
    if isinstance(value, str):
        return _text_lines(lead, value, indent)
    if isinstance(value, Sequence):
        line = f"{lead} {flow(value)}"
        return _list_lines(lead, line, value, indent)
    return [f"{lead} {flow(value)}"]


def mapping_lines(value: Mapping, indent: int) -> list[str]:
    """The lines of a mapping, a key each."""
    return [line for key, one in value.items() for line in keyed(yaml_text(key), one, indent)]


def item_lines(value: object, indent: int) -> list[str]:
    """The lines of one item of a list, with its dash."""
    line = f"{' ' * indent}- {flow(value)}"
    if not isinstance(value, Mapping) or not value or (_is_row(value) and len(line) <= WIDTH):
        return [line]
    first, *others = mapping_lines(value, indent + STEP)
    return [f"{' ' * indent}- {first.lstrip()}", *others]


def _list_lines(lead: str, line: str, value: Sequence, indent: int) -> list[str]:
    if any(isinstance(one, Mapping) for one in value):
        return [lead, *(line for one in value for line in item_lines(one, indent + STEP))]
    if len(line) <= WIDTH:
        return [line]
    # a long list of words goes on below its bracket
    start = len(lead) + 2
    pieces, lines = [flow(one) for one in value], [f"{lead} ["]
    for number, piece in enumerate(pieces):
        piece += "]" if number == len(pieces) - 1 else ","
        gap = "" if lines[-1].endswith("[") or not lines[-1].strip() else " "
        if len(lines[-1]) + len(gap) + len(piece) > WIDTH and gap:
            lines.append(" " * start)
            gap = ""
        lines[-1] += gap + piece
    return lines


def _text_lines(lead: str, value: str, indent: int) -> list[str]:
    """Text in one line, or folded below its key where it is long and nothing of it is lost by that."""
    line = f"{lead} {yaml_text(value)}"
    if len(line) <= WIDTH or value != " ".join(value.split(" ")).strip() or "\n" in value or "  " in value:
        return [line]
    return [f"{lead} >-", *wrapped(value, " " * (indent + STEP), WIDTH)]


def wrapped(text: str, margin: str, width: int) -> list[str]:
    """Text in lines behind a margin, broken at blanks alone."""
    return textwrap.wrap(
        text, width, initial_indent=margin, subsequent_indent=margin, break_long_words=False, break_on_hyphens=False
    )


def _is_row(value: Mapping) -> bool:
    """Whether a mapping holds nothing but single values, lists of these and one level of such mappings."""
    for one in value.values():
        inner = one.values() if isinstance(one, Mapping) else one if isinstance(one, (list, tuple)) else ()
        refused = (Mapping, list, tuple) if isinstance(one, Mapping) else (Mapping,)
        if any(isinstance(each, refused) for each in inner):
            return False
    return True


def _number(value: float) -> str:
    return str(int(value)) if value == int(value) else format(Decimal(repr(value)), "f")
