"""Lines of an analyser's or terminal's log -> the USB PD objects and messages in them, each with its line.

Only what can be nothing else is taken: a number of eight hexadecimal digits that is written as one (0x) or stands
behind an object's position, and bytes that are whole messages by their header or their checksum. Clock times,
addresses, requests and what a sink says are passed over, and told.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Literal
from zlib import crc32

from lidoff.engineering.usb_pd_messages import decode_message

_CLOCK = re.compile(
    r"(?<![\w:.-])(?:\d{4}-\d{2}-\d{2}[T ])?\d{1,2}:\d{2}(?::\d{2})?(?:[.,]\d+)?(?:Z|[+-]\d{2}:?\d{2})?(?![\w:-])"
)
_DATE = re.compile(r"(?<![\w-])\d{4}-\d{2}-\d{2}(?![\w-])")
_OFFSET = re.compile(r"^\s*(?:(?:0[xX])?[0-9A-Fa-f]{4,8}:\s|[0-9A-Fa-f]{8}\s\s+)(?=\s*[0-9A-Fa-f]{2}\b)")
_GUTTER = re.compile(r"\s\|[^|]*\|\s*$")
_WORD = re.compile(r"(?<![\w.])(?:0[xX])?([0-9A-Fa-f]{8})(?![\w.])")
_HEX = re.compile(r"(?<![\w.])(?:0[xX])?[0-9A-Fa-f]+(?![\w.])")
_GAP = re.compile(r"[\s,:;-]{0,3}")
_POSITION = re.compile(
    r"(?:\b(?:pdo|apdo|object|obj|position|pos)\s*[#\[(]?\s*(\d{1,2})|[#\[(]\s*(\d{1,2})|^\s*(\d{1,2})\s*[:.)=])"
    r"\s*[\])]?\s*[:=.-]?\s*\S?\s*$",
    re.IGNORECASE,
)
_CHECKSUM_BEFORE = re.compile(r"\b(?:crc(?:32)?|checksum|addr(?:ess)?|at)\W*$", re.IGNORECASE)
_SOURCE = re.compile(r"(?<!get)(?<!get[ _-])\b(epr[ _-]*)?(?:source|src)[ _-]*cap(?!\w*[ _-]*ext)", re.IGNORECASE)
# the other messages with data; those without carry no numbers that could be taken for objects
_OTHERS = re.compile(
    r"(?<!get)(?<!get[ _-])\b(?:epr[ _-]*)?(?:request|rdo|(?:sink|snk)[ _-]*cap\w*|vdm|vendor[ _-]defined|bist|alert"
    r"|epr[ _-]mode|battery[ _-]status|(?:source|country)[ _-]info|enter[ _-]usb"
    r"|(?:source|src)[ _-]cap\w*[ _-]ext\w*)\b",
    re.IGNORECASE,
)
_FEWEST_BYTES = 6
_MOST_LINES = 34
"""No message is spread over more: in pieces it has up to 34 bytes."""
_MOST_POSITIONS = 15


@dataclass(frozen=True, slots=True)
class Piece:
    """An object or a message: hexadecimal digits, the line (from 1) that it begins in, and an object's position.

    ``heading`` counts the headings seen so far, so that objects below one are known to belong together; ``extended``
    says that the heading is of the extended range.
    """

    kind: Literal["object", "message"]
    digits: str
    line: int
    position: int | None = None
    heading: int = 0
    extended: bool = False


@dataclass(frozen=True, slots=True)
class Passed:
    """A line that was passed over although it holds hexadecimal numbers, and why."""

    line: int
    reason: str


@dataclass(frozen=True, slots=True)
class _Run:
    """Bytes of one line. A line of a dump that does not begin at its offset 0 begins no message."""

    line: int
    content: bytes
    begins: bool


@dataclass(slots=True)
class _Log:
    """What was found so far. ``runs`` are lines of bytes, one below the other, that may be one message."""

    pieces: list[Piece] = field(default_factory=list)
    passed: list[Passed] = field(default_factory=list)
    heading: int = 0
    state: Literal["unknown", "source", "extended", "other"] = "unknown"
    runs: list[_Run] = field(default_factory=list)

    def take(self, line: int, messages: Sequence[bytes]) -> None:
        """Note messages that begin in a line."""
        self.heading += 1
        self.pieces += [Piece("message", content.hex(), line, heading=self.heading) for content in messages]

    def flush(self) -> None:
        """Read the lines of bytes that have come to an end."""
        lost: list[_Run] = []
        at = 0
        while at < len(self.runs):
            count, messages = _first_messages(self.runs[at : at + _MOST_LINES])
            if messages:
                self.tell(lost)
                self.take(self.runs[at].line, messages)
            else:
                lost += self.runs[at : at + count]
            at += count
        self.tell(lost)
        self.runs.clear()

    def tell(self, lost: list[_Run]) -> None:
        """Tell of lines of bytes that are no message."""
        count = sum(len(run.content) for run in lost)
        if count >= _FEWEST_BYTES:
            self.passed.append(Passed(lost[0].line, f"{count} bytes that are no whole message"))
        lost.clear()


def read_lines(text: str) -> tuple[tuple[Piece, ...], tuple[Passed, ...]]:
    """All pieces in order, and the lines that were passed over."""
    log = _Log()
    for number, line in enumerate(text.splitlines(), 1):
        _read_line(log, number, line)
    log.flush()
    return tuple(log.pieces), tuple(sorted(log.passed, key=lambda passed: passed.line))


def _read_line(log: _Log, number: int, line: str) -> None:
    offset = _OFFSET.match(line)
    bare = _GUTTER.sub("", _DATE.sub(" ", _without_clock(line[offset.end() :] if offset else line)))
    _read_heading(log, bare)
    words = list(_words(bare))
    run, is_pure = _longest_run(bare)
    if words or not is_pure:
        log.flush()
    if words:
        _take_words(log, number, words)
    elif is_pure or len(run) >= _FEWEST_BYTES:
        log.runs.append(_Run(number, run, offset is None or not offset.group().strip(" :0xX")))


def _first_messages(runs: Sequence[_Run]) -> tuple[int, list[bytes]]:
    """How many lines of bytes the messages take that begin in the first one, and the messages; else one, and none."""
    content = b""
    for count, run in enumerate(runs if runs[0].begins else (), 1):
        content += run.content
        if len(content) > _longest(content):
            break
        if _is_whole(content):
            return count, [content]
    return 1, _checked(runs[0].content)


def _longest(content: bytes) -> int:
    """How long a message that begins with these bytes can be: headers, objects or data, and checksum."""
    if len(content) < _FEWEST_BYTES:
        return _FEWEST_BYTES
    count = content[1] >> 4 & 7
    is_unchunked = content[1] >> 7 and not count
    return 8 + (int.from_bytes(content[2:4], "little") & 0x1FF) if is_unchunked else 6 + 4 * count


def _without_clock(line: str) -> str:
    """The line without times of day, which look like bytes with colons between them."""
    return _CLOCK.sub(" ", line)


def _read_heading(log: _Log, line: str) -> None:
    """Note which message the line names: what follows belongs to it."""
    source = _SOURCE.search(line)
    if source is not None:
        log.heading += 1
        log.state = "extended" if source.group(1) else "source"
    elif _OTHERS.search(line):
        log.heading += 1
        log.state = "other"


def _words(line: str) -> Iterator[tuple[str, int | None]]:
    """Objects in a line with their positions, where the line tells them."""
    matches = list(_WORD.finditer(line))
    rest = _WORD.sub("", line)
    is_list = not re.search(r"\w", rest)
    end = 0
    for match in matches:
        before = line[end : match.start()]
        end = match.end()
        at = _POSITION.search(before)
        position = next((int(number) for number in at.groups() if number), None) if at else None
        is_number = match.group()[:2] in ("0x", "0X")
        if _CHECKSUM_BEFORE.search(before) or not (is_number or is_list or position is not None):
            continue
        yield match.group(1).upper(), position if position is not None and 0 < position <= _MOST_POSITIONS else None


def _take_words(log: _Log, number: int, words: Sequence[tuple[str, int | None]]) -> None:
    if log.state == "other":
        log.passed.append(Passed(number, "numbers of another message than the source's capabilities"))
        return
    for digits, position in words:
        log.pieces.append(Piece("object", digits, number, position, log.heading, log.state == "extended"))


def _longest_run(line: str) -> tuple[bytes, bool]:
    """The longest run of bytes in a line, and whether the line holds nothing else."""
    runs: list[list[re.Match]] = [[]]
    for match in _HEX.finditer(line):
        digits = match.group().removeprefix("0x").removeprefix("0X")
        joins = runs[-1] and _GAP.fullmatch(line, runs[-1][-1].end(), match.start())
        if len(digits) % 2:
            runs.append([])
        elif joins:
            runs[-1].append(match)
        else:
            runs.append([match])
    longest = max(runs, key=lambda run: sum(len(match.group()) for match in run))
    if not longest:
        return b"", False
    digits = "".join(re.sub("^0[xX]", "", match.group()) for match in longest)
    around = line[: longest[0].start()] + line[longest[-1].end() :]
    return bytes.fromhex(digits), not re.search(r"\w", around)


def _checked(content: bytes) -> list[bytes]:
    """The messages somewhere in a run of bytes whose checksum is right."""
    found, at = [], 0
    while at + _FEWEST_BYTES <= len(content):
        length = 2 + 4 * (content[at + 1] >> 4 & 7)
        end = at + length + 4
        if end <= len(content) and crc32(content[at : at + length]).to_bytes(4, "little") == content[at + length : end]:
            found.append(content[at:end])
            at = end
        else:
            at += 1
    return found


def _is_whole(content: bytes) -> bool:
    """Whether bytes are one message: as long as the header says and of a known kind."""
    try:
        message = decode_message(content)
    except ValueError:
        return False
    return message.name is not None and len(content) >= _FEWEST_BYTES
