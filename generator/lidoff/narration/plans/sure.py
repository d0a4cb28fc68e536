"""How sure we are: units, what was looked at, parts in doubt, assumptions, what is missing and why, contradictions."""

from collections.abc import Iterator

from lidoff.figures.catalogue import KINDS
from lidoff.narration.line import MAY, MUST, SHOULD, Line, Subject

TELLING = (
    "average_efficiency_pct",
    "power_density_w_per_cm3",
    "turns_ratio",
    "sustained_power_w",
    "bulk_capacitance_uf",
)


def lines(subject: Subject) -> Iterator[Line]:
    """Everything that is open, and why."""
    for part in (_units, _coverage, _parts, _conversion, _assumed, _missing, _findings, _instruments, _authenticity):
        yield from part(subject)


def _units(subject: Subject) -> Iterator[Line]:
    samples = subject.entry.record.samples
    if not samples:
        yield Line("sure/units-unknown", MUST, view="body")
        return
    values = {
        "count": subject.voice.number(len(samples)),
        "source": subject.language.word("sample_source", samples[0].source),
    }
    yield Line("sure/unit" if len(samples) == 1 else "sure/units", MUST, values, view="body")


def _coverage(subject: Subject) -> Iterator[Line]:
    coverage = subject.entry.record.coverage
    if coverage is None:
        yield Line("sure/coverage-unknown", SHOULD)
        return
    if coverage.hidden_by:
        words = (subject.language.word("hidden_by", one) for one in coverage.hidden_by)
        yield Line("sure/hidden", MUST, {"what": subject.language.listed(words)}, view="board")
    if coverage.parts and coverage.parts != "every":
        yield Line(f"sure/parts-{coverage.parts}", SHOULD, view="board")


def _parts(subject: Subject) -> Iterator[Line]:
    parts = subject.entry.record.components
    guesses = [part for part in parts if part.strength == "guess" or part.identified_by == "unidentified"]
    likely = [part for part in parts if part.strength == "likely"]
    if guesses:
        part = guesses[0]
        values = {
            "refs": subject.language.listed(one.ref for one in guesses[:4]),
            "ref": part.ref,
            "by": subject.language.word("identified_by", part.identified_by or "unidentified"),
        }
        yield Line("sure/guesses", MUST, values, refs=tuple(one.ref for one in guesses[:4]))
    if likely and parts:
        values = {"likely": subject.voice.number(len(likely)), "count": subject.voice.number(len(parts))}
        yield Line("sure/likely", SHOULD, values)


def _conversion(subject: Subject) -> Iterator[Line]:
    conversion = subject.entry.record.conversion
    claims = {
        "primary": "claim/primary",
        "pfc": "claim/pfc",
        "secondary": "claim/secondary",
        "per_port": "claim/per_port",
    }
    for claim, key in claims.items():
        given = [one for one in (conversion.evidence if conversion else ()) if one.claim == claim]
        if given and all(one.strength != "certain" for one in given):
            values = {"claim": subject.language.text(key), "by": subject.language.word("identified_by", given[0].by)}
            yield Line("sure/conversion", SHOULD, values, refs=given[0].refs)
            return


def _assumed(subject: Subject) -> Iterator[Line]:
    used: dict[str, int] = {}
    for figure in subject.entry.figures:
        if figure.value is not None:
            for one in figure.assumed:
                used[one.id] = used.get(one.id, 0) + 1
    if used:
        values = {
            "count": subject.voice.number(sum(any(f.assumed) for f in subject.entry.figures if f.value is not None))
        }
        yield Line("sure/assumed", MAY, values | {"kinds": subject.voice.number(len(used))})
    else:
        yield Line("sure/nothing-assumed", MAY)


def _missing(subject: Subject) -> Iterator[Line]:
    for id in TELLING:
        if not subject.entry.figures.present(id):
            figure = subject.entry.figures.all(id)[0]
            title = subject.language.texts.get(f"figure/{id}", KINDS[id].title.lower())
            yield Line("sure/missing", SHOULD, {"figure": title, "reason": figure.absent or ""})


def _findings(subject: Subject) -> Iterator[Line]:
    found = [one for one in subject.entry.findings if one.severity == "warning"]
    if found:
        open_ones = [one for one in found if one.answer is None]
        values = {"count": subject.voice.number(len(found)), "open": subject.voice.number(len(open_ones))}
        yield Line("sure/warning" if len(found) == 1 else "sure/warnings", MUST, values)


def _instruments(subject: Subject) -> Iterator[Line]:
    known = [one for one in subject.entry.record.instruments if one.pct_reading is not None or one.digits is not None]
    if not known:
        yield Line("sure/no-accuracy", SHOULD)
        return
    found = [one for one in subject.entry.figures.present("average_efficiency_pct") if one.expanded_uncertainty]
    if found:
        from lidoff.figures.show import shown

        widest = max(found, key=lambda one: one.expanded_uncertainty)
        yield Line("sure/accuracy", MAY, {"points": subject.voice.number(float(shown(widest).uncertainty))})


def _authenticity(subject: Subject) -> Iterator[Line]:
    teardown = subject.entry.record.teardown
    if teardown and teardown.authenticity in ("doubtful", "imitation"):
        yield Line(f"sure/authenticity-{teardown.authenticity}", MUST, view="body")
