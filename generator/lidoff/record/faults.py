"""How the stages that read a record make their findings: always an error, at a place, in three lines."""

from lidoff.finding import Finding, Place

LONGEST_SHOWN = 60


def fault(
    rule: str, path: str, line: int, column: int, found: str, expected: str, fix: str, field: str = "",
    related: tuple[Place, ...] = (),
) -> Finding:  # fmt: skip
    """An error of a rule that looks at one file."""
    return Finding(rule, "error", path, line, column, field, found, expected, fix, related=related)


def shown(text: str) -> str:
    """Text of a record as a message shows it: on one line, control signs escaped, long texts cut."""
    visible = "".join(sign if sign.isprintable() else _escape(sign) for sign in text)
    return visible if len(visible) <= LONGEST_SHOWN else visible[: LONGEST_SHOWN - 1] + "…"


def quoted(text: str) -> str:
    """Text in the quotes that YAML wants, shown on one line."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{shown(escaped)}"'


def _escape(sign: str) -> str:
    number = ord(sign)
    if sign == "\n":
        return "\\n"
    return f"\\u{number:04X}" if number < 0x10000 else f"\\U{number:08X}"
