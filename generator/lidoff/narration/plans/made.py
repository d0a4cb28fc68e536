"""How it is made, along the way of the power: case, filter, store, converter, output, insulation, heat."""

from collections.abc import Iterator

from lidoff.figures.figure import Figure
from lidoff.figures.part_roles import part_roles
from lidoff.figures.rows import measured
from lidoff.narration.line import DETAIL, MAY, MUST, SHOULD, Line, Subject
from lidoff.narration.plans.parts import all_parts, named, sure_part
from lidoff.pages.views.conversion import strength_of
from lidoff.record.model.component import Component

FILTER = ("fuse", "varistor", "inrush-thermistor", "x-capacitor", "common-mode-choke", "differential-mode-choke")


def lines(subject: Subject) -> Iterator[Line]:
    """Everything that can be said of the inside."""
    for part in (
        _caution,
        _case,
        _filter,
        _pfc,
        _store,
        _primary,
        _transformer,
        _secondary,
        _per_port,
        _insulation,
        _heat,
    ):
        yield from part(subject)
    yield from all_parts(subject)


def _caution(subject: Subject) -> Iterator[Line]:
    energy, peak = (_largest(subject.entry.figures.present(id)) for id in ("stored_energy_j", "bulk_peak_v"))
    if energy and peak:
        values = {"energy": subject.voice.figure(energy), "voltage": subject.voice.figure(peak)}
        yield Line("made/caution", MUST, values, view="board")
    else:
        yield Line("made/caution-unknown", MUST, view="board")


def _largest(figures: tuple[Figure, ...]) -> Figure | None:
    return max(figures, key=lambda one: one.value, default=None)


def _case(subject: Subject) -> Iterator[Line]:
    construction, language = subject.entry.record.construction, subject.language
    if construction and construction.enclosure_joint:
        yield Line(
            "made/joint", SHOULD, {"joint": language.word("enclosure_joint", construction.enclosure_joint)}, view="body"
        )
    if construction and construction.potting:
        material = construction.potting.material
        values = {
            "material": language.word("potting_material", material) if material else language.text("made/compound")
        }
        yield Line(f"made/potting-{construction.potting.extent}", SHOULD, values, view="board")
    boards = subject.entry.record.boards
    if len(boards) > 1:
        yield Line("made/boards", MAY, {"count": subject.voice.number(len(boards))}, view="board")
    elif boards and boards[0].size_mm:
        sides = subject.language.listed(subject.voice.quantity(side, "mm") for side in boards[0].size_mm)
        yield Line("made/board", MAY, {"sides": sides}, view="board")


def _filter(subject: Subject) -> Iterator[Line]:
    roles = part_roles(subject.entry.record)
    found = [role for role in FILTER if roles.has(role)]
    if found:
        refs = roles.refs(*found)
        names = subject.language.listed(named(subject, roles.all(role)[0], role) for role in found[:4])
        yield Line("made/filter", MAY, {"parts": names}, refs=refs[:4])


def _pfc(subject: Subject) -> Iterator[Line]:
    conversion = subject.entry.record.conversion
    if conversion is None or conversion.pfc is None:
        return
    if conversion.pfc == "none":
        yield Line("made/no-pfc", MAY)
        return
    values = {"pfc": subject.language.word("pfc", conversion.pfc)}
    refs = part_roles(subject.entry.record).refs("pfc-switch", "pfc-controller")
    if conversion.bus_v is not None:
        values["bus"] = subject.voice.quantity(conversion.bus_v, "V")
        yield Line("made/pfc-bus", SHOULD, values, refs=refs)
    else:
        yield Line("made/pfc", SHOULD, values, refs=refs)


def _store(subject: Subject) -> Iterator[Line]:
    figures, voice = subject.entry.figures, subject.voice
    refs = part_roles(subject.entry.record).refs("bulk-capacitor", "low-line-bulk-capacitor")
    total, each = figures.present("bulk_capacitance_uf"), figures.present("bulk_uf_per_w")
    if not total:
        yield Line("made/no-store", MAY, {"reason": figures.all("bulk_capacitance_uf")[0].absent or ""})
        return
    values = {"total": voice.figure(total[0]), "refs": subject.language.listed(refs)}
    if each:
        yield Line("made/store-each", MUST, values | {"each": voice.number(float(f"{each[0].value:.3g}"))}, refs=refs)
    else:
        yield Line("made/store", MUST, values, refs=refs)
    margin = figures.present("bulk_voltage_margin_pct")
    if margin and margin[0].value >= 0:
        yield Line("made/margin", MAY, {"margin": voice.figure(margin[0])}, refs=refs)
    valleys = figures.present("bulk_valley_v")
    if valleys:
        low = min(valleys, key=lambda one: one.value)
        values = {"valley": voice.figure(low), "mains": voice.quantity(low.of.mains_v or 0, "V")}
        yield Line("made/valley", DETAIL, values, refs=refs)


def _primary(subject: Subject) -> Iterator[Line]:
    record, language = subject.entry.record, subject.language
    conversion, roles = record.conversion, part_roles(record)
    if conversion is None or conversion.primary is None:
        return
    switches = roles.all("primary-switch")
    if conversion.primary == "undetermined":
        yield Line(
            "made/primary-open", MUST, refs=roles.refs("primary-switch", "primary-controller"), view="card:chain"
        )
    else:
        how = strength_of("primary", conversion.evidence) or "bare"
        values = {"primary": language.word("primary", conversion.primary)}
        yield Line(f"made/primary-{how}", MUST, values, refs=tuple(one.ref for one in switches), view="card:chain")
    for switch in switches[:1]:
        yield from _switch(subject, switch)
    stress = subject.entry.figures.present("switch_stress_v")
    if stress and switches and switches[0].ratings and switches[0].ratings.voltage_v:
        values = {
            "stress": subject.voice.figure(max(stress, key=lambda one: one.value)),
            "rating": subject.voice.quantity(switches[0].ratings.voltage_v, "V"),
        }
        yield Line("made/stress", MAY, values, refs=(switches[0].ref,))


def _switch(subject: Subject, switch: Component) -> Iterator[Line]:
    if switch.technology is None or switch.technology == "undetermined":
        yield Line("made/switch-open", SHOULD, {"ref": switch.ref}, refs=(switch.ref,))
        return
    values = {"ref": switch.ref, "technology": subject.language.word("technology", switch.technology)}
    if switch.identified_by == "brand-claim":
        yield Line("made/switch-claim", MUST, values, refs=(switch.ref,))
    elif sure_part(switch):
        part = " ".join(word for word in (switch.maker, switch.part_number) if word)
        yield Line("made/switch-sure", SHOULD, values | {"part": part}, refs=(switch.ref,))
    else:
        yield Line("made/switch", SHOULD, values, refs=(switch.ref,))


def _transformer(subject: Subject) -> Iterator[Line]:
    transformers = part_roles(subject.entry.record).refs("transformer")
    ratio = subject.entry.figures.value("turns_ratio")
    for magnetic in subject.entry.record.magnetics:
        if magnetic.ref in transformers and magnetic.core:
            size = f" {magnetic.core.size}" if magnetic.core.size else ""
            values = {"ref": magnetic.ref, "core": subject.language.word("core_family", magnetic.core.family) + size}
            if ratio is not None:
                values["ratio"] = subject.voice.number(float(f"{ratio:.3g}"))
                yield Line("made/transformer-ratio", SHOULD, values, refs=(magnetic.ref,))
            else:
                yield Line("made/transformer", SHOULD, values, refs=(magnetic.ref,))
            return


def _secondary(subject: Subject) -> Iterator[Line]:
    conversion = subject.entry.record.conversion
    if conversion and conversion.secondary not in (None, "undetermined"):
        refs = part_roles(subject.entry.record).refs("sync-rectifier", "rectifier-diode")
        values = {
            "secondary": subject.language.word("secondary", conversion.secondary),
            "refs": subject.language.listed(refs),
        }
        yield Line("made/secondary" if refs else "made/secondary-bare", SHOULD, values, refs=refs)


def _per_port(subject: Subject) -> Iterator[Line]:
    record, language = subject.entry.record, subject.language
    roles = part_roles(record)
    if record.conversion and record.conversion.per_port not in (None, "undetermined"):
        values = {"conversion": language.word("per_port", record.conversion.per_port)}
        none = record.conversion.per_port == "none"
        yield Line(f"made/per-port-{'none' if none else 'some'}", MAY, values, refs=roles.refs("dc-dc-converter"))
    talkers = roles.all("protocol-controller")
    if talkers:
        refs = tuple(part.ref for part in talkers)
        yield Line("made/protocol", MAY, {"refs": language.listed(refs)}, refs=refs)


def _insulation(subject: Subject) -> Iterator[Line]:
    record, voice = subject.entry.record, subject.voice
    rows = [row for row in measured(record).spacing if row.across == "primary-secondary"]
    if not rows:
        yield Line("made/no-spacing", MAY)
    for row in rows[:1]:
        if row.clearance_mm is not None and row.creepage_mm is not None:
            values = {
                "clearance": voice.both(row.clearance_mm, "mm", "in"),
                "creepage": voice.both(row.creepage_mm, "mm", "in"),
            }
            yield Line(
                "made/spacing", SHOULD, values, refs=part_roles(record).refs("optocoupler", "y-capacitor"), view="board"
            )
    touch = subject.entry.figures.present("y_touch_current_ua")
    if touch:
        yield Line(
            "made/touch", DETAIL, {"current": voice.figure(touch[0])}, refs=part_roles(record).refs("y-capacitor")
        )


def _heat(subject: Subject) -> Iterator[Line]:
    construction = subject.entry.record.construction
    steps = construction.thermal_path if construction else None
    if steps is None:
        return
    if not steps:
        yield Line("made/no-heat-path", MAY)
        return
    said = subject.language.listed(
        dict.fromkeys(subject.language.word("thermal_material", step.material) for step in steps)
    )
    yield Line("made/heat-path", MAY, {"steps": said}, refs=steps[0].refs)
