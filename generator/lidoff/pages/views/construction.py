"""Case, compound, heat path, boards and wound parts, in sentences and tables."""

from collections.abc import Iterable, Sequence

from lidoff.engineering.photo_scale import POINT_PLACING_PX
from lidoff.figures.photo_sizes import PhotoSize, board_in_photo
from lidoff.pages.numbers import SPACE, TIMES, decimals, edges, number, optional, quantity, scaled
from lidoff.pages.table import Field, Grid, grid_of
from lidoff.pages.views.rows import measured, plain, word
from lidoff.pages.vocabulary import definition, label
from lidoff.pages.wording import capital, listed, sentence
from lidoff.record.model import Record
from lidoff.record.model.construction import Construction, Core, Magnetic, Potting, ThermalStep, Winding

UNKNOWN = "unknown"
COMPOUND = "…"
LEAST_SHOWN = 0.1  # an uncertainty is never shown as 0.0
POTTING = {
    "none": "There is no potting compound.",
    "spots": f"Single parts are fixed or bridged with {COMPOUND}.",
    "partial": f"Part of the inside is filled with {COMPOUND}.",
    "full": f"The whole inside is filled with {COMPOUND}.",
}


def construction_sentences(construction: Construction | None) -> tuple[str, ...]:
    """How the unit is put together."""
    if construction is None:
        return ()
    said = [
        _case(construction),
        _potting(construction.potting),
        *_barriers(construction),
        *_heat(construction.thermal_path),
        construction.note or "",
    ]
    return tuple(text for text in said if text)


def _case(construction: Construction) -> str:
    pieces = []
    if construction.enclosure_material:
        pieces.append(f"made of {label('enclosure_material', construction.enclosure_material)}")
    if construction.wall_mm is not None:
        pieces.append(f"{quantity(construction.wall_mm, 'mm')} thick")
    if construction.enclosure_joint:
        pieces.append(label("enclosure_joint", construction.enclosure_joint))
    if construction.flame_class:
        pieces.append(f"marked {construction.flame_class}")
    return f"The case is {listed(pieces)}." if pieces else ""


def _potting(potting: Potting | None) -> str:
    if potting is None:
        return ""
    material = potting.material if potting.material not in (None, UNKNOWN) else None
    compound = label("potting_material", material) if material else "a compound that was not determined"
    return POTTING.get(potting.extent, potting.extent).replace(COMPOUND, compound)


def _barriers(construction: Construction) -> Iterable[str]:
    """What was seen of sheets and slots; nothing is said where nothing is recorded."""
    if construction.barrier_sheet is not None:
        known = construction.barrier_material not in (None, UNKNOWN)
        material = f" of {label('barrier_material', construction.barrier_material)}" if known else ""
        found = f"An insulating sheet{material} was seen."
        yield found if construction.barrier_sheet else "No insulating sheet was seen."
    if construction.board_slot is not None:
        yield (
            "The main board is slotted between primary and secondary."
            if construction.board_slot
            else ("The main board has no slot between primary and secondary.")
        )


def _heat(steps: Sequence[ThermalStep] | None) -> Iterable[str]:
    if steps is None:
        return
    if not steps:
        yield "Nothing leads heat to the surface."
    for step in steps:
        thickness = f" of {quantity(step.thickness_mm, 'mm')}" if step.thickness_mm is not None else ""
        parts = f" from {listed(step.refs)}" if step.refs else ""
        target = f" to {label('thermal_target', step.reaches)}" if step.reaches else ""
        yield sentence(f"heat goes{parts} through {label('thermal_material', step.material)}{thickness}{target}")


def boards_table(record: Record) -> Grid | None:
    """The boards."""
    seen = {place: tuple(board_in_photo(record, place, board)) for place, board in enumerate(record.boards)}
    by_board = {board.id: seen[place] for place, board in enumerate(record.boards)}
    fields = (
        plain("Board", "id"),
        Field("Carries", lambda board: definition("board_role", board.role) or board.role),
        Field("Size", lambda board: edges(board.size_mm) if board.size_mm else ""),
        Field("Size from a photograph", lambda board: _sizes_seen(by_board[board.id])),
        measured("Thickness", "thickness_mm", "mm"),
        Field("Copper layers", lambda board: str(board.layers or "")),
        word("Material", "material", "board_material"),
        plain("Print", "silkscreen"),
        plain("Date code", "date_code"),
        measured("Height of parts", "parts_height_mm", "mm"),
        plain("Remark", "note"),
    )
    notes = tuple(dict.fromkeys(_how_seen(one, record) for sizes in seen.values() for one in sizes if one.seen))
    return grid_of("Boards", record.boards, fields, notes)


def _sizes_seen(sizes: Sequence[PhotoSize]) -> str:
    """The edges that a photograph shows, each with its expanded uncertainty."""
    texts = [
        f"{decimals(one.seen.length_mm, 1)}{SPACE}±{SPACE}{decimals(max(one.seen.expanded_mm, LEAST_SHOWN), 1)}"
        for one in sizes
        if one.seen
    ]
    return f"{TIMES.join(texts)}{SPACE}mm" if texts else ""


def _how_seen(one: PhotoSize, record: Record) -> str:
    """What a size from a photograph rests on, and where its limits are."""
    photo, seen = record.photos[one.photo], one.seen
    tilt = "" if seen.tilt else ", taken as seen squarely"
    height = (
        ""
        if seen.is_height_known
        else (
            "; the edges count as lying in that plane: lying h above it, they look too long by h over the camera's distance"
        )
    )
    placed = f"points placed within {number(POINT_PLACING_PX)} pixel, Lidoff's own assumption; k = 2"
    kind = "drawing" if photo.illustration else "photograph"
    return f"From a {kind}, {photo.file}, by {seen.basis} in it{tilt} ({placed}){height}."


def magnetics_table(magnetics: Sequence[Magnetic]) -> Grid | None:
    """The wound parts."""
    return grid_of("Wound parts", magnetics, _MAGNETIC)


def core_text(core: Core | None) -> str:
    """A core in one line."""
    if core is None:
        return ""
    pieces = [f"{core.family}{core.size or ''}", core.material or "", optional(core.area_mm2, "mm²")]
    if core.gap_mm is not None:
        pieces.append(f"gap {quantity(core.gap_mm, 'mm')}")
    return ", ".join(piece for piece in pieces if piece)


def winding_text(winding: Winding) -> str:
    """A winding in one line."""
    turns = f"{quantity(winding.turns, 'turns')}" if winding.turns is not None else "turns not known"
    how = f" ({label('turns_by', winding.turns_by)})" if winding.turns_by else ""
    wire = [label("wire", winding.wire)] if winding.wire else []
    if winding.diameter_mm is not None:
        strands = f"{winding.strands}{TIMES}" if winding.strands else ""
        wire.append(f"{strands}{quantity(winding.diameter_mm, 'mm')}")
    elif winding.strands:
        wire.append(f"{winding.strands} strands")
    return ", ".join([f"{label('winding', winding.name)} {turns}{how}", *wire])


def _inductance(one: Magnetic) -> str:
    if one.inductance_uh is None:
        return ""
    at = f" at {quantity(one.at_khz, 'kHz')}" if one.at_khz is not None else ""
    return f"{scaled(one.inductance_uh, 'µH')}{at}"


def _insulation(one: Magnetic) -> str:
    if one.insulation is None:
        return ""
    return capital(listed(label("winding_insulation", name) for name in one.insulation)) or "none seen"


_MAGNETIC = (
    plain("Part", "ref"),
    Field("Core", lambda one: core_text(one.core)),
    Field("Windings", lambda one: "; ".join(winding_text(winding) for winding in one.windings)),
    Field("Inductance", _inductance),
    measured("Leakage", "leakage_uh", "µH"),
    measured("Switching frequency", "switching_khz", "kHz"),
    Field("Insulation seen", _insulation),
    Field("Potted", lambda one: {True: "yes", False: "no", None: ""}[one.potted]),
    measured("Height", "height_mm", "mm"),
    plain("Remark", "note"),
)
