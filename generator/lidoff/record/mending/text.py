"""A record's text, mended: values that are only written wrongly, then keys in the schema's order."""

from dataclasses import dataclass

import yaml

from lidoff.record.mending.order import in_schema_order
from lidoff.record.mending.values import rewritten_values

_BOM = "\ufeff"
_AS_TEXT = getattr(yaml, "CBaseLoader", yaml.BaseLoader)


class NotMended(ValueError):
    """The text can't be mended by a machine; the text says why."""


@dataclass(frozen=True, slots=True)
class Mend:
    """One thing that was done; ``line`` counts from 1 in the text before."""

    line: int
    what: str


def mended(content: bytes) -> tuple[bytes, tuple[Mend, ...]]:
    """The file after every safe mend, and what was done, in the order of the lines.

    Comments and line ends are kept. Raises NotMended where the file is no YAML, has a key twice, or
    mixes line ends; and where a mend would change more than it says.

    Examples
    --------
    >>> content, mends = mended(b'product:\\n  rated_power_w: "65"  # as printed\\n  brand: Fernhollow\\n')
    >>> print(content.decode(), end="")
    product:
      brand: Fernhollow
      rated_power_w: 65  # as printed
    >>> [mend.what for mend in mends]
    ['rated_power_w: "65" -> 65', 'product: keys put in the order of the schema']
    """
    try:
        raw = content.decode("utf-8")
    except UnicodeDecodeError as fault:
        raise NotMended("it is not written in UTF-8") from fault
    text = raw.removeprefix(_BOM)
    newline = "\r\n" if "\r\n" in text else "\n"
    plain = text.replace("\r\n", "\n")
    if "\r" in plain or (newline == "\r\n" and text.count("\n") != text.count("\r\n")):
        raise NotMended("it mixes line ends of several systems")
    try:
        valued, values = rewritten_values(plain)
        ordered, orders = in_schema_order(valued)
        if yaml.load(ordered, _AS_TEXT) != yaml.load(valued, _AS_TEXT) or _comments(ordered) != _comments(plain):
            raise NotMended("putting its keys in order would change what they hold")
    except yaml.YAMLError as fault:
        raise NotMended("it is no YAML: run lidoff check and mend what it finds first") from fault
    except KeyError as fault:
        raise NotMended(f"it has the key {fault.args[0]} twice") from fault
    mends = sorted((Mend(line, what) for line, what in (*values, *orders)), key=lambda mend: mend.line)
    outcome = ordered.replace("\n", newline) if newline != "\n" else ordered
    return (raw[: len(raw) - len(text)] + outcome).encode("utf-8"), tuple(mends)


def _comments(text: str) -> list[str]:
    """What follows every # of a text, in some order: none may get lost on the way."""
    return sorted(line[line.index("#") :].rstrip() for line in text.split("\n") if "#" in line)
