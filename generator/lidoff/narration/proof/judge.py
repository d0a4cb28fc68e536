"""Quantities of a text against those of the record, by what they are about."""

import re
from collections.abc import Iterator, Sequence

from lidoff.entry import Entry
from lidoff.narration.proof.facts import PORT, Fact, Pair, sizes_of
from lidoff.narration.proof.passage import Disagreement, Span, clause_at, clauses
from lidoff.narration.proof.quantities import Quantity, quantities
from lidoff.narration.proof.topics import fields_for
from lidoff.pages.vocabulary import label

ROUNDED_MOST, ROUGH_MOST = 0.06, 0.08
_BETWEEN = re.compile(
    r"\s*(?:,|and|at|with|times|×|x|/|@|⎓|drawing|while drawing)?\s*"
    r"(?:up to|at most|as much as|no more than|a maximum of)?\s*"
)
_NAME = re.compile(r"\b[A-Z]{1,5}\d{1,4}\b")
NEAREST = 3
CLASSES = {"bridge-rectifier": "bridge", "pfc-switch": "PFC switch", "vbus-switch": "VBUS switch"}


def agrees(quantity: Quantity, held: float) -> bool:
    """Whether a value, rounded as the text rounds, is the one that the text states."""
    shown = quantity.unit.shown(held)
    off = abs(shown - quantity.value)
    scale = max(abs(shown), abs(quantity.value))
    if quantity.is_about:
        return off <= max(ROUGH_MOST * scale, 0.5 * 10.0**-quantity.places)
    return off <= 0.5 * 10.0**-quantity.places * (1 + 1e-9) and off <= ROUNDED_MOST * scale


class Judge:
    """Holds the facts of one entry, and finds what in a sentence disagrees with them."""

    def __init__(self, entry: Entry, facts: Sequence[Fact], pairs: Sequence[Pair]) -> None:
        self.facts, self.pairs, self.sizes = facts, pairs, sizes_of(entry.record)
        self.names = frozenset(name for fact in facts for name in fact.names)
        self.by_role: dict[str, set[str]] = {}
        self.by_class: dict[str, set[str]] = {}
        for part in entry.record.components:
            for role in part.roles:
                self.by_role.setdefault(label("role", role).lower(), set()).add(part.ref)
                self.by_class.setdefault(CLASSES.get(role, label("role", role).split()[-1].lower()), set()).add(
                    part.ref
                )

    def sentence(self, sentence: Span) -> Iterator[Disagreement]:
        """Every quantity of a sentence that nothing in the record bears out."""
        found = quantities(sentence.text)
        parts = clauses(sentence)
        paired: set[int] = set()
        for first, second in zip(found, found[1:], strict=False):
            if first.start not in paired and self._is_pair(sentence, first, second):
                paired |= {first.start, second.start}
                yield from self._pair(sentence, parts, first, second)
        for group in _sizes(found):
            paired |= {one.start for one in group}
            yield from self._size(sentence, group)
        for one in found:
            if one.start not in paired:
                yield from self._single(sentence, parts, one)

    def _size(self, sentence: Span, group: list[Quantity]) -> Iterator[Disagreement]:
        """Edges given together must be those of one thing."""
        wrong = [_unlike(group, size.edges) for size in self.sizes]
        if not wrong:
            return
        least = min(wrong, key=len)
        near = [size for size, others in zip(self.sizes, wrong, strict=True) if len(others) == len(least)]
        for one in least:
            yield _disagreement(sentence, one, "; ".join(size.text for size in near[:NEAREST]))

    def _is_pair(self, sentence: Span, first: Quantity, second: Quantity) -> bool:
        kinds = {first.unit.measures, second.unit.measures}
        return kinds == {"voltage", "current"} and bool(_BETWEEN.fullmatch(sentence.text[first.end : second.start]))

    def _pair(
        self, sentence: Span, parts: tuple[Span, ...], first: Quantity, second: Quantity
    ) -> Iterator[Disagreement]:
        volts, amps = (first, second) if first.unit.measures == "voltage" else (second, first)
        names = self._named(sentence, clause_at(parts, sentence.start + first.start))
        known = [pair for pair in self.pairs if not names or pair.names & names] or list(self.pairs)
        if not known or any(agrees(volts, pair.voltage) and agrees(amps, pair.current) for pair in known):
            return
        same_volts = [pair for pair in known if agrees(volts, pair.voltage)]
        same_amps = [pair for pair in known if agrees(amps, pair.current)]
        wrong = [amps] if same_volts else [volts] if same_amps else [volts, amps]
        says = "; ".join(dict.fromkeys(_pair_text(pair) for pair in (same_volts or same_amps or known)[:NEAREST]))
        for one in wrong:
            yield _disagreement(sentence, one, says)

    def _single(self, sentence: Span, parts: tuple[Span, ...], one: Quantity) -> Iterator[Disagreement]:
        clause = clause_at(parts, sentence.start + one.start)
        known = self.known(sentence, clause, one)
        if known is None or any(agrees(one, fact.value) for fact in known):
            return
        near = sorted(known, key=lambda fact: abs(fact.value - one.held))
        said = tuple(dict.fromkeys(fact.text for fact in near))[:NEAREST]
        yield _disagreement(sentence, one, "; ".join(said) or f"no {one.unit.measures} at all")

    def known(self, sentence: Span, clause: Span, one: Quantity) -> list[Fact] | None:
        """The facts that a quantity may state; None where the record can't tell."""
        alike = [fact for fact in self.facts if fact.unit.measures == one.unit.measures]
        if one.unit.measures == "difference" and not alike:
            return None
        names = self._named(sentence, clause)
        topics = fields_for(clause.text, sentence.text[: one.start], sentence.text, one.unit.measures)
        about = [fact for fact in alike if any(topic.search(fact.field) for topic in topics)]
        by_name = [fact for fact in alike if fact.names & names]
        if about:
            fit = [fact for fact in about if not names or not fact.names or fact.names & names]
            return (fit or about) + [
                fact for fact in by_name if any(not name.startswith(PORT) for name in fact.names & names)
            ]
        if by_name:
            return by_name
        return [fact for fact in alike if not fact.field.startswith(("components", "tier"))] or alike

    def _named(self, sentence: Span, clause: Span) -> frozenset[str]:
        """Ports, parts and roles that the clause names; those of its sentence where that has only one."""
        found = self._names_in(clause.text)
        if found:
            return found
        wide = self._names_in(sentence.text)
        mentioned = set(_NAME.findall(sentence.text))
        return wide if len(mentioned) <= 1 else frozenset()

    def _names_in(self, text: str) -> frozenset[str]:
        low = text.lower()
        tokens = _NAME.findall(text)
        refs = {*tokens, *(PORT + token for token in tokens)} & self.names
        for known in (self.by_role, self.by_class):
            said = [parts for word, parts in known.items() if re.search(rf"\b{re.escape(word)}s?\b", low)]
            if said:
                return frozenset(refs.union(*said))
        return frozenset(refs)


def _sizes(found: Sequence[Quantity]) -> Iterator[list[Quantity]]:
    """Three lengths, or two with a sign between them, that stand together."""
    groups: dict[int, list[Quantity]] = {}
    for one in found:
        if one.unit.measures == "length":
            groups.setdefault(one.group, []).append(one)
    yield from (group for group in groups.values() if len(group) >= 2)


def _unlike(group: Sequence[Quantity], edges: Sequence[float]) -> list[Quantity]:
    """Those of a group that are no edge of a thing, each edge taken once."""
    left = list(edges)
    wrong = []
    for one in group:
        edge = next((edge for edge in left if agrees(one, edge)), None)
        if edge is None:
            wrong.append(one)
        else:
            left.remove(edge)
    return wrong


def _disagreement(sentence: Span, one: Quantity, says: str) -> Disagreement:
    return Disagreement(
        sentence.start + one.start,
        sentence.start + one.end,
        sentence.text[one.start : one.end].strip(),
        says,
        one.unit.measures,
    )


def _pair_text(pair: Pair) -> str:
    return f"{pair.voltage:.4g} V at {pair.current:.4g} A ({pair.field})"
