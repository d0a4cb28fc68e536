"""Construction, magnetics and the reviewer's conclusions on conversion. The schema describes every field."""

from dataclasses import dataclass

from lidoff.record.model.picture import Point


@dataclass(frozen=True, slots=True)
class Potting:
    """Potting compound."""

    extent: str
    material: str | None = None


@dataclass(frozen=True, slots=True)
class ThermalStep:
    """One step of the way that heat takes to the surface."""

    material: str
    refs: tuple[str, ...] = ()
    reaches: str | None = None
    thickness_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Construction:
    """How the unit is put together."""

    enclosure_joint: str | None = None
    enclosure_material: str | None = None
    wall_mm: float | None = None
    flame_class: str | None = None
    potting: Potting | None = None
    barrier_sheet: bool | None = None
    barrier_material: str | None = None
    board_slot: bool | None = None
    thermal_path: tuple[ThermalStep, ...] | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class BoardInPhoto:
    """Where a photograph shows the edges of a board."""

    file: str
    length: tuple[Point, Point] | None = None
    width: tuple[Point, Point] | None = None
    above_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Board:
    """One circuit board."""

    id: str
    role: str
    size_mm: tuple[float, float] | None = None
    in_photo: BoardInPhoto | None = None
    thickness_mm: float | None = None
    layers: int | None = None
    material: str | None = None
    silkscreen: str | None = None
    date_code: str | None = None
    parts_height_mm: float | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Winding:
    """One winding."""

    name: str
    turns: float | None = None
    turns_by: str | None = None
    wire: str | None = None
    strands: int | None = None
    diameter_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Core:
    """The core."""

    family: str
    size: str | None = None
    area_mm2: float | None = None
    gap_mm: float | None = None
    material: str | None = None


@dataclass(frozen=True, slots=True)
class Magnetic:
    """Details of a transformer or inductor that the component list names."""

    ref: str
    core: Core | None = None
    windings: tuple[Winding, ...] = ()
    insulation: tuple[str, ...] | None = None
    inductance_uh: float | None = None
    leakage_uh: float | None = None
    at_khz: float | None = None
    switching_khz: float | None = None
    potted: bool | None = None
    height_mm: float | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Evidence:
    """Why a statement is made."""

    claim: str
    by: str
    strength: str
    refs: tuple[str, ...] = ()
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Conversion:
    """How power is converted, as the reviewer concludes."""

    pfc: str | None = None
    primary: str | None = None
    secondary: str | None = None
    per_port: str | None = None
    bus_v: float | None = None
    intermediate_v: float | None = None
    evidence: tuple[Evidence, ...] = ()
