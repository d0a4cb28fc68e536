"""USB PD objects and messages typed or pasted as text: what they are, and what is wrong with those that are none."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from struct import iter_unpack

from lidoff.bench.pd_words import Facts, header_facts, hexadecimal, message_facts, object_facts, request_facts
from lidoff.engineering.usb_pd_headers import decode_message_header, message_name
from lidoff.engineering.usb_pd_messages import Message, decode_message, join_chunks, positioned_objects
from lidoff.engineering.usb_pd_objects import decode_source_object
from lidoff.engineering.usb_pd_requests import requested_position
from lidoff.engineering.usb_pd_supplies import SourceObject

_SEPARATORS = re.compile(r"[\s,;:_-]+")
_PREFIXED = re.compile(r"0[xX]([0-9a-fA-F]{3,8})")
_BARE_WORD = re.compile(r"[0-9a-fA-F]{8}")
_MESSAGE_START = re.compile(r"(?:0[xX])?[0-9a-fA-F]{2}|[0-9a-fA-F]{4}")
_MESSAGE_PART = re.compile(r"(?:0[xX])?[0-9a-fA-F]{2}|(?:[0-9a-fA-F]{2})+")
_EXPECTED = "an object of eight hexadecimal digits, or the bytes of a whole message"
_FIX_DIGITS = "check for a lost or doubled digit; an object has eight of them: 0x0801912C"
_FIX_LENGTH = "copy the whole message from its header on, or give each object by itself as 0x and eight digits"


@dataclass(frozen=True, slots=True)
class TextFault:
    """A text that is neither object nor message."""

    text: str
    found: str
    expected: str
    fix: str


@dataclass(frozen=True, slots=True)
class PdReading:
    """Facts of every object and message in order, and the faults of all texts that are neither."""

    facts: tuple[Facts, ...]
    faults: tuple[TextFault, ...]


@dataclass(frozen=True, slots=True)
class _Connection:
    """What the messages so far have told: the source's objects, and the pieces of a long message not yet whole."""

    objects: tuple[tuple[int, SourceObject], ...] = ()
    pieces: tuple[Message, ...] = ()


def read_pd_texts(texts: Sequence[str]) -> PdReading:
    """Read objects as numbers (``0x0801912C``, or eight digits) and messages as bytes in the order of the wire.

    Bytes may be split by spaces, commas, semicolons, colons, hyphens or underscores. Where the first text is just one
    or two bytes and more follow, all of them are one message. A number of up to four digits is a header alone. A
    request is read with the capabilities that came before it.
    """
    facts: list[Facts] = []
    faults: list[TextFault] = []
    connection = _Connection()
    for text in joined_texts(texts):
        tokens = [token for token in _SEPARATORS.split(text) if token]
        if tokens and all(_PREFIXED.fullmatch(token) or _BARE_WORD.fullmatch(token) for token in tokens):
            facts += [_number_facts(token) for token in tokens]
            continue
        digits = "".join(re.sub("^0[xX]", "", token) for token in tokens)
        if fault := _digits_fault(text, digits):
            faults.append(fault)
            continue
        try:
            connection, message_items = _read_message(bytes.fromhex(digits), connection)
            facts += message_items
        except ValueError as error:  # whose text is "found ...: expected ..."
            found, _, expected = str(error).removeprefix("found ").partition(": expected ")
            faults.append(TextFault(text, found, expected, _FIX_LENGTH))
    return PdReading(tuple(facts), tuple(faults))


def joined_texts(texts: Sequence[str]) -> list[str]:
    """The texts, or one text of all where a message was given without quotes round it."""
    starts = len(texts) > 1 and _MESSAGE_START.fullmatch(texts[0])
    if starts and all(_MESSAGE_PART.fullmatch(text) for text in texts):
        return [" ".join(texts)]
    return list(texts)


def _number_facts(token: str) -> Facts:
    digits = token[2:] if token[:2] in ("0x", "0X") else token
    word = int(digits, 16)
    if len(digits) > 4:
        return object_facts(decode_source_object(word))
    header = decode_message_header(word)
    return header_facts(header, word, message_name(header))


def _digits_fault(text: str, digits: str) -> TextFault | None:
    if not digits:
        return TextFault(text, "an empty text", _EXPECTED, "leave it out, or give the object, such as 0x0801912C")
    strange = " ".join(sorted(set(re.sub(r"[0-9a-fA-F]", "", digits))))
    if strange:
        found = f"characters that are no hexadecimal digits: {strange}"
        return TextFault(text, found, _EXPECTED, "use 0 to 9 and A to F only")
    if len(digits) % 2 or len(digits) < 4:
        return TextFault(text, f"{len(digits)} hexadecimal digit{'s' * (len(digits) != 1)}", _EXPECTED, _FIX_DIGITS)
    return None


def _read_message(content: bytes, connection: _Connection) -> tuple[_Connection, list[Facts]]:
    message = decode_message(content)
    facts = message_facts(message, int.from_bytes(content[:2], "little"))
    if message.extended_header:
        return _read_extended(message, facts, connection)
    if message.name == "Source_Capabilities":
        found = {item.position: item.source_object for item in positioned_objects(message.data)}
        return replace(connection, objects=tuple(found.items())), [facts, *_all_facts(found)]
    if message.name == "Request":
        objects = dict(connection.objects)
        return connection, [facts, *(request_facts(word, objects) for word in _words(message.data))]
    if message.name == "EPR_Request":
        request, *copies = _words(message.data)
        objects = {requested_position(request): decode_source_object(copy) for copy in copies}
        return connection, [facts, request_facts(request, objects), *_all_facts(objects)]
    return connection, [facts, *({"word": hexadecimal(word), "kind": "data-object"} for word in _words(message.data))]


def _read_extended(message: Message, facts: Facts, connection: _Connection) -> tuple[_Connection, list[Facts]]:
    """Data of a long message: objects once the last piece of extended capabilities is there, else the bytes."""
    second = message.extended_header
    if second.request_chunk:
        return connection, [facts]
    facts["data"] = message.data.hex()
    if message.name != "EPR_Source_Capabilities":
        return connection, [facts]
    pieces = (*connection.pieces, message) if second.chunk_number else (message,)
    if sum(len(piece.data) for piece in pieces) < second.data_size:
        return replace(connection, pieces=pieces), [facts | {"complete": False}]
    found = {item.position: item.source_object for item in positioned_objects(join_chunks(pieces))}
    return _Connection(objects=tuple(found.items())), [facts | {"complete": True}, *_all_facts(found)]


def _all_facts(objects: dict[int, SourceObject]) -> list[Facts]:
    return [object_facts(source_object, position) for position, source_object in objects.items()]


def _words(data: bytes) -> Iterator[int]:
    return (word for (word,) in iter_unpack("<I", data))
