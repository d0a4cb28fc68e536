"""A message recorded as bytes against the words recorded beside it."""

from collections.abc import Iterator

from lidoff.checks.captures import Seen
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.engineering.usb_pd_messages import CHUNK_BYTES, Message, decode_message, message_checksum
from lidoff.figures.citation import citation
from lidoff.rule import Rule

RULE = Rule(
    id="message-bytes",
    title="A message as bytes says what its words say",
    severity="warning",
    scope="record",
    why=(
        "Where the whole message was kept, words and bytes come from one capture: they hold the same objects, and "
        "the checksum at the end is that of the bytes before it. Long messages come in pieces of up to 26 bytes, "
        "each with headers and checksum of its own."
    ),
    source=f"{citation(decode_message)}; checksum: {citation(message_checksum)}",
)

NAMES = {"spr": "Source_Capabilities", "epr": "EPR_Source_Capabilities"}
FIX = "copy the message anew, from its header to its checksum"


def run(subject: Subject) -> Iterator[Notice]:
    """One notice a capture: the first thing that is wrong with its bytes."""
    for seen in subject.captures:
        if seen.capture.bytes is not None and (wrong := _wrong(seen)):
            found, expected, fix = wrong
            yield Notice(
                field=f"{seen.field}.bytes",
                found=found,
                expected=expected,
                fix=fix,
                related=(("", f"{seen.field}.words"),),
                inputs=(seen.capture.message, seen.capture.bytes, *seen.capture.words),
            )


def _wrong(seen: Seen) -> tuple[str, str, str] | None:
    content = bytes.fromhex(seen.capture.bytes)
    try:
        messages = [message for message in _messages(content) if not _asks_for_a_piece(message)]
    except ValueError as error:  # whose text is "found ...: expected ..."
        found, _, expected = str(error).removeprefix("found ").partition(": expected ")
        return found, expected, FIX
    if not messages:
        return "a message that only asks for a piece", f"the message {NAMES[seen.capture.message]}", FIX
    for message in messages:
        if message.checksum_received not in (None, message.checksum_expected):
            found, expected = (f"0x{one:08X}" for one in (message.checksum_received, message.checksum_expected))
            return f"the checksum {found}", f"{expected}, the checksum of the bytes before it", FIX
        if message.name != NAMES[seen.capture.message]:
            found = f"the message {message.name}" if message.name else "a message of an unknown kind"
            fix = "correct message, or copy the message that the words are from"
            return found, f"{NAMES[seen.capture.message]}, as message: {seen.capture.message} says", fix
    return _differing(seen, messages)


def _messages(content: bytes) -> Iterator[Message]:
    """The messages in a run of bytes; several come with their checksums."""
    while len(content) >= 2:
        length = 2 + 4 * (content[1] >> 4 & 7) + 4
        if len(content) <= length or not content[1] >> 4 & 7:
            break
        yield decode_message(content[:length])
        content = content[length:]
    yield decode_message(content)


def _asks_for_a_piece(message: Message) -> bool:
    return message.extended_header is not None and message.extended_header.request_chunk


def _differing(seen: Seen, messages: list[Message]) -> tuple[str, str, str] | None:
    """The first object in which bytes and words differ; of a long message only the pieces that are there count."""
    words = b"".join(int(word, 16).to_bytes(4, "little") for word in seen.capture.words)
    for message in messages:
        start = CHUNK_BYTES * message.extended_header.chunk_number if message.extended_header else 0
        part = words[start : start + len(message.data)]
        if part != message.data:
            pairs = zip(part, message.data, strict=False)
            same = next((i for i, (a, b) in enumerate(pairs) if a != b), min(len(part), len(message.data)))
            position = (start + same) // 4 + 1
            if position > len(seen.capture.words):
                return f"more objects than the {len(seen.capture.words)} words", "as many objects as words", FIX
            word = seen.capture.words[position - 1]
            return f"other bytes than those of {word} at position {position}", "the objects of words", FIX
        announced = message.extended_header.data_size if message.extended_header else len(message.data)
        if announced != len(words):
            return f"{announced // 4} objects", f"{len(seen.capture.words)}, as many as there are words", FIX
    return None


CHECK = RecordCheck(RULE, run)
