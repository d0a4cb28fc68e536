"""What one scalar stands for at a place whose kind the schema knows.

Plain text that YAML 1.1, YAML 1.2's core schema or JSON would read as something else is refused where text is wanted,
so that no other program reads a record differently. A number is JSON's number without an exponent.
"""

import datetime
import re

_JSON_NUMBER = re.compile(r"-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?")
_LONGEST_NUMBER = 24

_NULL = re.compile(r"~|null|Null|NULL|")
_FLAGS = re.compile(r"y|Y|yes|Yes|YES|n|N|no|No|NO|true|True|TRUE|false|False|FALSE|on|On|ON|off|Off|OFF")
_OTHER_NUMBERS = re.compile(
    r"""
      [-+]?0b[0-1_]+                                           # YAML 1.1 binary
    | [-+]?0o?[0-7_]+                                          # octal: 0755 of YAML 1.1, 0o7 of the core schema
    | [-+]?0[xX][0-9a-fA-F_]+                                  # hexadecimal
    | [-+]?[0-9][0-9_]*(?::[0-5]?[0-9])+(?:\.[0-9_]*)?         # base 60: 12:30 is 750 in YAML 1.1
    | [-+]?(?:[0-9][0-9_]*)?\.?[0-9_]*(?:[eE][-+]?[0-9]+)?     # decimal, with or without point and exponent
    | [-+]?\.(?:inf|Inf|INF)
    | \.(?:nan|NaN|NAN)
    """,
    re.VERBOSE,
)
_TIMESTAMP = re.compile(r"[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}(?:(?:[Tt]|[ \t]+)[0-9]{1,2}:[0-9:.]+.*)?")
_SPECIAL = re.compile(r"=|<<|[-+]?\._*")
_FIRST_SIGNS = frozenset("0123456789+-.~=<yYnNtTfFoO")


def other_reading(text: str) -> str | None:
    """What a YAML or JSON reader may take plain text for, in words; None where every reader sees text."""
    if not text or _NULL.fullmatch(text):
        return "nothing"
    if text[0] not in _FIRST_SIGNS:
        return None
    if _FLAGS.fullmatch(text):
        return "true or false"
    if _TIMESTAMP.fullmatch(text):
        return "a date"
    if (
        _OTHER_NUMBERS.fullmatch(text)
        and any(sign.isdigit() for sign in text)
        or text.lower().lstrip("+-") in (".inf", ".nan")
    ):
        return "a number"
    return "a special sign" if _SPECIAL.fullmatch(text) else None


def is_nothing(text: str) -> bool:
    """Whether plain text is one of the ways to write nothing."""
    return _NULL.fullmatch(text) is not None


def number(text: str) -> int | float | None:
    """The number that plain text writes in JSON's grammar without exponent; None where it is none."""
    if len(text) > _LONGEST_NUMBER or not _JSON_NUMBER.fullmatch(text):
        return None
    return float(text) if "." in text else int(text)


def plain_number(text: str) -> str | None:
    """The usual way to write a number that was written in another (``1e3``, ``1_000``, ``+5``, ``.5``); else None."""
    bare = text.strip().lstrip("+").replace("_", "")
    if not re.fullmatch(r"-?[0-9]*\.?[0-9]+(?:[eE][-+]?[0-9]{1,2})?|-?[0-9]+\.", bare):
        return None
    if re.match(r"-?0[0-9]", bare):
        return None
    value = float(bare)
    return str(int(value)) if value == int(value) else f"{value:.12f}".rstrip("0")


def is_day(text: str) -> bool:
    """Whether a text of the form 2026-03-09 names a day of the calendar."""
    try:
        datetime.date.fromisoformat(text)
    except ValueError:
        return False
    return True
