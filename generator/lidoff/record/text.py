"""A record's bytes -> text that the YAML reader can take, with findings for what must not be in it.

Every sign that is refused is replaced by one harmless sign, so that reading goes on and no place moves.
"""

import re
import unicodedata
from collections.abc import Iterator

from lidoff.finding import Finding
from lidoff.record.faults import fault

MAX_BYTES = 1_000_000

_UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")
_INVISIBLE = "\u00ad\u180e\u200b\u2060-\u2064"
_WIDE_SPACES = "\u00a0\u2007\u202f"
_BIDIRECTIONAL = "\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069"
_NEVER_TEXT = "\x00-\x09\x0b-\x1f\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff\ud800-\udfff"
_REFUSED = re.compile(f"[{_NEVER_TEXT}{_BIDIRECTIONAL}{_INVISIBLE}{_WIDE_SPACES}]")
_PLAIN_BYTES = bytes((0x0A, *range(0x20, 0x7F)))
_NEVER_COMPOSED = re.compile("[\x00-\u02ff\u0370-\u03ff\u2000-\u2fff]*")
"""Latin and Greek letters, punctuation and symbols: no sign of these joins the one before it in Unicode form NFC."""
SEVERAL_SIGNS = "a letter made of several signs (not in Unicode form NFC)"
_NAMES = {
    "\t": "a tab",
    "\r": "a lone carriage return",
    "\x00": "a NUL sign",
    "\x85": "the line break U+0085",
    "\u2028": "the line separator U+2028",
    "\u2029": "the paragraph separator U+2029",
    "\ufeff": "a byte-order mark inside the file",
}
_KINDS = {
    _BIDIRECTIONAL: "a text-direction control",
    _INVISIBLE: "an invisible sign",
    _WIDE_SPACES: "a no-break space",
}


def decoded(content: bytes | str, path: str) -> tuple[str | None, list[Finding]]:
    """The text of a record with one newline sign a line, and what was wrong with its bytes; None when unreadable."""
    if isinstance(content, str):
        content = content.encode("utf-8", "surrogatepass")
    if len(content) > MAX_BYTES:
        found, expected = f"a file of {len(content):,} bytes", f"at most {MAX_BYTES:,} bytes"
        return None, [
            fault("record-size", path, 1, 1, found, expected, "move logs and long texts to files of their own")
        ]
    try:
        text = content.removeprefix(b"\xef\xbb\xbf").decode("utf-8")
    except UnicodeDecodeError as error:
        return None, [_not_utf8(content, error.start, path)]
    if "\r" in text:
        text = text.replace("\r\n", "\n")
    findings = list(_refused_signs(text, path))
    return (_REFUSED.sub(_replacement, text) if findings else text), findings


def refused_sign(value: str) -> str | None:
    """The name of the first sign in a value that must not be there, such as one written by an escape; else None."""
    match = None if value.isprintable() else _REFUSED.search(value)
    if match:
        return sign_name(match.group())
    return None if unicodedata.is_normalized("NFC", value) else SEVERAL_SIGNS


def sign_name(sign: str) -> str:
    """A sign that can't be seen, in words."""
    if sign in _NAMES:
        return _NAMES[sign]
    kind = next((name for signs, name in _KINDS.items() if re.match(f"[{signs}]", sign)), "a control sign")
    return f"{kind}, U+{ord(sign):04X}"


def _not_utf8(content: bytes, start: int, path: str) -> Finding:
    before = content[:start].decode("utf-8", "replace")
    line, column = before.count("\n") + 1, len(before) - before.rfind("\n")
    is_utf16 = content[:2] in _UTF16_MARKS
    found = "text in UTF-16" if is_utf16 else f"the byte 0x{content[start]:02X}, which is no UTF-8"
    return fault("record-encoding", path, line, column, found, "text in UTF-8", "save the file as UTF-8 in your editor")


def _refused_signs(text: str, path: str) -> Iterator[Finding]:
    """One finding for each sort of refused sign, at the first one: a file indented by tabs is one mistake."""
    seen: dict[str, list[int]] = {}
    # what is not plain ASCII is a handful of signs in most records, and looked at in place of the whole text
    odd = text.encode().translate(None, _PLAIN_BYTES).decode()
    # no refused sign is a printable one
    for match in () if odd.isprintable() else _REFUSED.finditer(text):
        seen.setdefault(match.group(), []).append(match.start())
    for sign, places in seen.items():
        times = f" ({len(places)} times)" if len(places) > 1 else ""
        fix = "use spaces" if sign == "\t" or sign in _WIDE_SPACES else "delete it, or type the line again"
        yield fault(
            "record-character",
            path,
            *_place(text.replace("\r", "\n"), places[0]),
            sign_name(sign) + times,
            "visible signs, spaces and line ends",
            fix,
        )
    is_inert = _NEVER_COMPOSED.fullmatch(odd) and unicodedata.is_normalized("NFC", odd)
    if not is_inert and not unicodedata.is_normalized("NFC", text):
        yield _not_composed(text, path)


def _not_composed(text: str, path: str) -> Finding:
    """Where the text first differs from its composed form (NFC): two spellings that look alike would be two names."""
    lines = text.replace("\r", "\n").split("\n")
    number = next(index for index, line in enumerate(lines) if not unicodedata.is_normalized("NFC", line))
    composed = unicodedata.normalize("NFC", lines[number])
    column = next((i for i, (a, b) in enumerate(zip(lines[number], composed, strict=False)) if a != b), 0)
    return fault(
        "record-character", path, number + 1, column + 1, SEVERAL_SIGNS,
        f"the composed letter {composed[column]}", "type the letter again, or save the file in Unicode form NFC",
    )  # fmt: skip


def _place(text: str, offset: int) -> tuple[int, int]:
    return text.count("\n", 0, offset) + 1, offset - text.rfind("\n", 0, offset)


def _replacement(match: re.Match[str]) -> str:
    sign = match.group()
    if sign == "\r":
        return "\n"
    return " " if sign == "\t" or sign in _WIDE_SPACES else "\ufffd"
