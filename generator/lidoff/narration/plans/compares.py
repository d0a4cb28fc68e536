"""How it compares: size, mass, density in its tier, design and parts shared with others, an earlier product."""

from collections.abc import Iterator

from lidoff.entry import Entry
from lidoff.figures.rows import measured
from lidoff.narration.line import MAY, MUST, SHOULD, Line, Subject
from lidoff.narration.placing import density_placing
from lidoff.narration.plans.parts import sure_part

LEAST = 3


def lines(subject: Subject) -> Iterator[Line]:
    """Everything that can be said beside others."""
    for part in (_size, _mass, _density, _design, _shared, _revision):
        yield from part(subject)


def _size(subject: Subject) -> Iterator[Line]:
    body, voice = measured(subject.entry.record).body_mm, subject.voice
    if body is None:
        yield Line("compares/no-size", SHOULD)
        return
    sides = {
        f"{name}{system}": voice.number(edge) if system == "" else voice.number(_inches(edge))
        for name, edge in zip("abc", body.size, strict=True)
        for system in ("", "_in")
    }
    yield Line("compares/size", MUST, sides, view="card:size")


def _inches(edge_mm: float) -> float:
    from lidoff.narration.speech import converted

    return float(converted(edge_mm, "mm", "in"))


def _mass(subject: Subject) -> Iterator[Line]:
    grams = measured(subject.entry.record).mass_g
    if grams is not None:
        yield Line("compares/mass", MUST, {"mass": subject.voice.both(grams, "g", "oz")}, view="body")


def _density(subject: Subject) -> Iterator[Line]:
    voice, placing = subject.voice, density_placing(subject.entry, subject.fellows, subject.tiers_w)
    metric = subject.entry.figures.present("power_density_w_per_cm3")
    if not metric:
        yield Line(
            "compares/no-density",
            SHOULD,
            {"reason": subject.entry.figures.all("power_density_w_per_cm3")[0].absent or ""},
        )
        return
    imperial = subject.entry.figures.present("power_density_w_per_in3")[0]
    values = {"density": voice.figure(metric[0]), "density_in": voice.figure(imperial)}
    if placing is None or placing.count < LEAST:
        yield Line("compares/density", MUST, values, view="card:density")
        return
    values |= {
        "denser": voice.number(placing.denser),
        "count": voice.number(placing.count - 1),
        "tier": placing.tier_in(voice),
    }
    plan = "most" if placing.denser == 0 else "least" if placing.denser == placing.count - 1 else "between"
    yield Line(f"compares/density-{plan}", MUST, values, view="card:density")


def _design(subject: Subject) -> Iterator[Line]:
    conversion = subject.entry.record.conversion
    if conversion is None or conversion.primary in (None, "undetermined"):
        return
    others = [one for one in _others(subject) if one.record.conversion and one.record.conversion.primary]
    same = sum(one.record.conversion.primary == conversion.primary for one in others)
    if len(others) >= LEAST:
        values = {
            "same": subject.voice.number(same),
            "count": subject.voice.number(len(others)),
            "primary": subject.language.word("primary", conversion.primary),
        }
        yield Line("compares/design" if same else "compares/design-alone", SHOULD, values, view="card:chain")


def _shared(subject: Subject) -> Iterator[Line]:
    for part in subject.entry.record.components:
        if "primary-controller" not in part.roles or not sure_part(part):
            continue
        key = (part.maker, part.part_number)
        users = [
            one.title
            for one in _others(subject)
            if any((other.maker, other.part_number) == key for other in one.record.components if sure_part(other))
        ]
        values = {"ref": part.ref, "part": f"{part.maker} {part.part_number}" if part.maker else part.part_number}
        if users:
            values["users"] = subject.language.listed(users[:3])
            yield Line("compares/shared", MAY, values, refs=(part.ref,))
        else:
            yield Line("compares/unshared", MAY, values, refs=(part.ref,))
        return


def _revision(subject: Subject) -> Iterator[Line]:
    before = subject.entry.record.product.revision_of
    earlier = next((one for one in subject.fellows if one.slug == before), None)
    if earlier is not None:
        yield Line("compares/revision", SHOULD, {"earlier": earlier.title}, view="card:pair")


def _others(subject: Subject) -> list[Entry]:
    return [one for one in subject.fellows if one.slug != subject.entry.slug]
