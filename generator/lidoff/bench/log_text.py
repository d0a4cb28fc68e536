"""The bytes of a log file -> its text: whether it is text at all, how large, in which encoding."""

import re
from pathlib import Path

from lidoff.bench.log_report import Unreadable

MOST_BYTES = 64_000_000
CONTROL = re.compile(r"[\x00-\x08\x0e-\x1f]")
CONTROL_SHARE = 0.001
MARKS = (
    (b"\xef\xbb\xbf", "utf-8-sig", "UTF-8 with a byte-order mark"),
    (b"\xff\xfe", "utf-16", "UTF-16"),
    (b"\xfe\xff", "utf-16", "UTF-16"),
)
SIGNATURES = (
    (b"PK\x03\x04", "a spreadsheet or another archive"),
    (b"\xd0\xcf\x11\xe0", "a spreadsheet of an old form"),
    (b"%PDF", "a PDF document"),
    (b"\x1f\x8b", "a compressed file"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
)
EXPORT = "export the log from the instrument's program as CSV"


def read_text(path: Path) -> tuple[str, str]:
    """Text and encoding of a file; raises Unreadable."""
    try:
        size = path.stat().st_size
        if size > MOST_BYTES:
            raise Unreadable(
                f"a file of {size / 1e6:.0f} MB",
                f"at most {MOST_BYTES / 1e6:.0f} MB",
                "export fewer samples each second, or only the columns that the record names",
            )
        content = path.read_bytes()
    except OSError as error:
        reason = error.strerror or "no reason given"
        raise Unreadable(
            f"a file that can't be read: {reason}", "a readable file", "check that it is there and may be read"
        ) from error
    return decoded(content)


def decoded(content: bytes) -> tuple[str, str]:
    """Text and encoding of a file's content, lines ending in \\n alone; raises Unreadable."""
    if not content.strip():
        raise Unreadable("an empty file", "a table of readings under a line of headings", EXPORT)
    for signature, kind in SIGNATURES:
        if content.startswith(signature):
            raise Unreadable(kind, "a table as text", EXPORT)
    text, encoding = _text(content)
    if len(CONTROL.findall(text[:100_000])) > CONTROL_SHARE * min(len(text), 100_000):
        raise Unreadable("a file that is not text", "a table as text", EXPORT)
    return text.replace("\r\n", "\n").replace("\r", "\n"), encoding


def _text(content: bytes) -> tuple[str, str]:
    for mark, codec, name in MARKS:
        if content.startswith(mark):
            return content.decode(codec, errors="replace"), name
    if codec := _unmarked_utf_16(content):
        return content.decode(codec, errors="replace"), "UTF-16"
    try:
        return content.decode("utf-8"), "ASCII" if content.isascii() else "UTF-8"
    except UnicodeDecodeError:
        return content.decode("latin-1"), "Latin-1"


def _unmarked_utf_16(content: bytes) -> str:
    """The codec of text whose every second byte is 0; empty where it is none."""
    start = content[:2000]
    for offset, codec in ((1, "utf-16-le"), (0, "utf-16-be")):
        half, other = start[offset::2], start[1 - offset :: 2]
        if half and half.count(0) > 0.9 * len(half) and other.count(0) == 0:
            return codec
    return ""
