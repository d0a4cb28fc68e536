"""Part numbers, designators and makers of a text against the record."""

import re
from collections.abc import Iterable, Iterator, Sequence
from difflib import get_close_matches

from lidoff.entry import Entry
from lidoff.narration.proof.passage import Disagreement, Span, clauses

_TOKEN = re.compile(r"(?<![\w/])[A-Z][A-Z0-9]*(?:[-.][A-Z0-9]+)*(?![\w/])")
_REF = re.compile(r"(?<![\w-])[A-Z]{1,3}\d{1,4}(?![\w-])")
_OPEN = re.compile(
    r"(?:IEC|ISO|EN|UL|CSA|USB|PD|BC|CEE|NEMA|BS|GB|AS|IS|SEV|KS|NBR|EPR|SPR|PPS|AVS|CTP|DOE|US|EU|IP|AC|DC|PFC|LLC|GAN|MOSFET|LED|PCB|ID|R6|"
    r"SMD|SMA|SMB|DFN|QFN|TO|SOT|SO|SOD|SOP|LSOP|DIP|VBUS|CC|X1|X2|Y1|Y2|C6|C7|C8|C14|RM|EE|EI|EFD|ATQ|PQ|ER|EQ|EFM|CV)(?:[-.\d/][-\d./A-Z]*)?"
)
LEAST = 5


class Names:
    """The part numbers, designators and makers of an entry, and those of all others."""

    def __init__(self, entry: Entry, entries: Sequence[Entry]) -> None:
        record = entry.record
        self.parts = {part.ref: part for part in record.components}
        self.refs = {
            *self.parts,
            *(port.id for port in record.ports),
            *(port.printed_name or "" for port in record.ports),
        }
        self.refs |= {board.id for board in record.boards} | {item.ref for item in record.magnetics}
        self.numbers = {number for part in record.components for number in _numbers(part)}
        self.known = self.numbers | _other_tokens(entry) | {word for one in entries for word in one.title.split()}
        self.elsewhere = {number for one in entries for part in one.record.components for number in _numbers(part)}
        self.makers = {part.maker for part in record.components if part.maker}
        self.every_maker = {part.maker for one in entries for part in one.record.components if part.maker}
        self.own = {record.product.brand, record.label.manufacturer if record.label else None}

    def sentence(self, sentence: Span) -> Iterator[Disagreement]:
        """Numbers, designators and makers of a sentence that are not those of the record."""
        for match in _TOKEN.finditer(sentence.text):
            token = match.group()
            if not any(sign.isdigit() for sign in token) or token in self.known or token in self.refs:
                continue
            says = self._says(token)
            if says:
                yield Disagreement(sentence.start + match.start(), sentence.start + match.end(), token, says, "name")
        yield from self._makers(sentence)
        for clause in clauses(sentence):
            yield from self._bound(clause)
        if sum(maker in sentence.text for maker in self.makers) == 1:
            yield from self._bound(sentence)

    def _says(self, token: str) -> str:
        """What the record says of a token that it does not have; empty where nothing can be said."""
        near = get_close_matches(token, sorted(self.known), n=1, cutoff=0.7)
        if _REF.fullmatch(token) and _letters(token) in {_letters(ref) for ref in self.refs}:
            return f"no part or port {token}"
        if _OPEN.fullmatch(token):
            return ""
        if near:
            return near[0]
        return "no such number" if len(token) >= LEAST else ""

    def _makers(self, sentence: Span) -> Iterator[Disagreement]:
        for maker in sorted(self.every_maker - self.makers - self.own):
            for match in re.finditer(rf"\b{re.escape(maker)}\b", sentence.text):
                says = f"no part made by {maker}"
                yield Disagreement(sentence.start + match.start(), sentence.start + match.end(), maker, says, "name")

    def _bound(self, clause: Span) -> Iterator[Disagreement]:
        """A number or a maker of this record that a clause gives to another part."""
        refs = [ref for ref in dict.fromkeys(_REF.findall(clause.text)) if ref in self.parts]
        if len(refs) != 1:
            return
        part = self.parts[refs[0]]
        for number in sorted(self.numbers - self.refs):
            match = re.search(rf"(?<![\w-]){re.escape(number)}(?![\w-])", clause.text)
            if match and number not in _numbers(part) and part.part_number:
                place = clause.start + match.start()
                yield Disagreement(place, place + len(number), number, f"{part.ref} is {part.part_number}", "name")
        for maker in sorted(self.makers):
            match = re.search(rf"\b{re.escape(maker)}\b", clause.text)
            if match and part.maker and maker != part.maker:
                place = clause.start + match.start()
                yield Disagreement(place, place + len(maker), maker, f"{part.ref} is made by {part.maker}", "name")


def _letters(ref: str) -> str:
    return re.match(r"[A-Z]*", ref).group()


def _numbers(part: object) -> set[str]:
    found = {part.part_number} if part.part_number else set()
    found |= {one.part_number for one in part.candidates} | {
        one.part_number for one in part.other_samples if one.part_number
    }
    return found | {line for line in (part.marking.lines if part.marking else ())}


def _other_tokens(entry: Entry) -> set[str]:
    """Other signs that look like part numbers: prints, packages, cores, models, protocols, and words of notes."""
    record = entry.record
    texts: list[str] = [record.summary or "", record.product.name or "", record.product.model]
    if record.label:
        texts += [
            record.label.printed or "",
            record.label.model or "",
            *(one.number for one in record.label.certificates),
        ]
    texts += [board.silkscreen or "" for board in record.boards]
    for part in record.components:
        texts += [
            part.package or "",
            part.note or "",
            part.date_code or "",
            *(part.marking.lines if part.marking else ()),
        ]
    texts += [
        f"{item.core.family} {item.core.size or ''} {item.core.family}{item.core.size or ''}"
        for item in record.magnetics
        if item.core
    ]
    texts += [word.upper() for port in record.ports for word in port.protocols or ()]
    return set(_words(texts))


def _words(texts: Iterable[str]) -> Iterator[str]:
    for text in texts:
        yield text
        yield from re.split(r"[\s,;:/()]+", text)
