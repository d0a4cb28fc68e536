"""Counts and years of a text against the record."""

import re
from collections.abc import Iterator

from lidoff.entry import Entry
from lidoff.narration.proof.numbers import WORDS, YEAR, number_in_words, year_in_words
from lidoff.narration.proof.passage import Disagreement, Span
from lidoff.pages.vocabulary import label

_NUMBER = rf"(?P<number>\d{{1,3}}|{WORDS.pattern.removeprefix(chr(92) + 'b').removesuffix(chr(92) + 'b')})"
_HAS = (
    r"(?:^\W*|\b(?:has|have|with|its|all|lists|there are|there is|carries|offers|of its|the|counts?|counted|are|found|"
    r"hold|opened|bought)\W+)"
)
_LED = re.compile(rf"{_HAS}(?:only |just |at least )?{_NUMBER}[\s-](?P<noun>[A-Za-z][\w\s-]{{2,40}})", re.IGNORECASE)
_BARE = re.compile(
    rf"\b{_NUMBER}\s(?P<noun>(?:(?:primary|secondary|auxiliary)\s)?turns|circuit\sboards|boards)\b", re.IGNORECASE
)
_RATIO = re.compile(
    rf"\b(?:ratio (?:of|is)|ratio:)\s{_NUMBER}(?![\d.]*\d)|\b{_NUMBER.replace('number', 'second')}(?: to one|:1)\b",
    re.IGNORECASE,
)
_YEAR_DIGITS = re.compile(r"(?<![\w.-])(19[89]\d|20\d\d)(?![\w-]|\.\d)")
_WHEN = (
    (
        re.compile(r"launch|came out|on sale|released|introduced|from\s*$|dates? (?:from|back)", re.IGNORECASE),
        "launched",
    ),
    (re.compile(r"bought|paid|purchased|cost", re.IGNORECASE), "bought"),
    (re.compile(r"opened|took apart|taken apart|teardown|lid off|examined", re.IGNORECASE), "opened"),
)


def count_faults(entry: Entry, sentence: Span) -> Iterator[Disagreement]:
    """Counts of ports, boards, units and parts that differ from the record's."""
    known = _counts(entry)
    yield from _ratio_faults(entry, sentence)
    for match in (*_LED.finditer(sentence.text), *_BARE.finditer(sentence.text)):
        noun = (
            " ".join(match["noun"].lower().split())
            .replace("receptacle", "port")
            .replace("socket", "port")
            .replace("output port", "port")
        )
        for name, allowed in known:
            if re.match(rf"(?:\w+ )?{name}\b", noun) and not re.match(r"other|more|volt|amp|watt|v\b|w\b", noun):
                value = _value(match["number"])
                if allowed and value not in allowed:
                    says = f"{' or '.join(map(str, sorted(allowed)))} {noun.split()[0]}"
                    start = sentence.start + match.start("number")
                    yield Disagreement(start, start + len(match["number"]), match["number"], says, "count")
                break


def _ratio_faults(entry: Entry, sentence: Span) -> Iterator[Disagreement]:
    """Turns ratios that are not the recorded one."""
    ratio = entry.figures.value("turns_ratio")
    for match in _RATIO.finditer(sentence.text) if ratio is not None else ():
        group = "number" if match["number"] else "second"
        is_of_turns = "turn" in sentence.text or "transformer" in sentence.text
        if is_of_turns and abs(_value(match[group]) - ratio) > 0.5:
            start = sentence.start + match.start(group)
            yield Disagreement(start, start + len(match[group]), match[group], f"{ratio:.3g} (turns ratio)", "count")


def year_faults(entry: Entry, sentence: Span, others: frozenset[int]) -> Iterator[Disagreement]:
    """Years that are not those of the record; of other products only where the text does not say which event it is."""
    years = _years(entry)
    every = {year for found in years.values() for year in found} | others
    places = [(match.start(), match.end(), int(match[1])) for match in _YEAR_DIGITS.finditer(sentence.text)]
    places += [(match.start(), match.end(), year_in_words(match)) for match in YEAR.finditer(sentence.text)]
    for start, end, year in places:
        before = sentence.text[max(0, start - 45) : start]
        cues = [(match.start(), name) for cue, name in _WHEN for match in cue.finditer(before)]
        event = max(cues)[1] if cues else None
        allowed = years.get(event) if event else every
        if allowed and year not in allowed:
            says = ", ".join(f"{name} {one}" for name, found in years.items() for one in sorted(found)) or "no year"
            yield Disagreement(sentence.start + start, sentence.start + end, sentence.text[start:end], says, "year")


def _value(text: str) -> int:
    if text.isdigit():
        return int(text)
    match = WORDS.fullmatch(text)
    return int(number_in_words(match).value) if match else -1


def _counts(entry: Entry) -> list[tuple[str, set[int]]]:
    record = entry.record
    kinds = [port.connector for port in record.ports]
    usb_c, usb_a = (sum(kind.endswith(name) for kind in kinds) for name in ("usb-c", "usb-a"))
    known: list[tuple[str, set[int]]] = [
        (r"(?:usb[- ]c|type[- ]c)(?: ports?| outputs?| connectors?)?", {usb_c}),
        (r"(?:usb[- ]a|type[- ]a|standard[- ]a)(?: ports?| outputs?)?", {usb_a}),
        (r"(?:ports?|outputs?)", {len(kinds)}),
        (r"(?:circuit |printed )?boards?", {len(record.boards)} if record.boards else set()),
        (r"(?:units?|samples?)\b(?! of)", {1, len(record.samples)} if record.samples else set()),
        (r"layers?", {board.layers for board in record.boards if board.layers}),
        (
            r"(?:primary )?turns?",
            {int(one.turns) for item in record.magnetics for one in item.windings if one.turns}
            | {int(one.value) for one in entry.figures.present("turns_ratio")},
        ),
    ]
    roles = {role for part in record.components for role in part.roles}
    for role in sorted(roles, key=len, reverse=True):
        parts = [part for part in record.components if role in part.roles]
        allowed = {len(parts), sum(part.quantity or 1 for part in parts)} | {part.quantity or 1 for part in parts}
        known.insert(0, (re.escape(label("role", role).lower()) + "s?", allowed))
    return known


def _years(entry: Entry) -> dict[str, set[int]]:
    record = entry.record
    found: dict[str, set[int]] = {
        "launched": {record.product.launched} if record.product.launched else set(),
        "bought": {int(sample.bought[:4]) for sample in record.samples if sample.bought},
        "opened": {int(record.teardown.date[:4])} if record.teardown else set(),
    }
    dates = {int(one.calibrated[:4]) for one in record.instruments if one.calibrated}
    codes = [part.date_code for part in record.components] + [sample.date_code for sample in record.samples]
    codes += [board.date_code for board in record.boards]
    found["other dates"] = dates | {
        2000 + int(code[:2]) for code in codes if code and code.isdigit() and len(code) == 4
    }
    return found
