"""The chain of conversion as blocks under one another, each drawn by how sure it is."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

WIDTH, BLOCK_HEIGHT, STEP, TOP = 380, 44, 62, 8
SAID = {
    "certain": "no doubt",
    "likely": "likely",
    "guess": "a guess",
    "open": "not determined",
    "": "no evidence recorded",
}


class Block(NamedTuple):
    """One stage: its name, what it is, how sure that is. ``is_across`` marks the stage that crosses the insulation.

    ``strength`` is None where there is nothing to be sure or unsure of.
    """

    name: str
    text: str
    strength: str | None = None
    is_across: bool = False


class PlacedBlock(NamedTuple):
    """A block with its place; ``said`` is how sure it is, in words."""

    block: Block
    y: float
    middle: float
    said: str
    sort: str


@dataclass(frozen=True, slots=True)
class ChainDrawing:
    """The whole chain; ``barrier_y`` is where the insulation lies, None where no block crosses it."""

    title: str
    description: str
    width: float
    height: float
    blocks: tuple[PlacedBlock, ...]
    arrows: tuple[float, ...]
    barrier_y: float | None


def chain_drawing(blocks: Sequence[Block]) -> ChainDrawing | None:
    """The blocks from the mains at the top to the ports at the bottom; None where there is no stage between."""
    if len(blocks) < 3:
        return None
    placed = tuple(_placed(block, TOP + STEP * position) for position, block in enumerate(blocks))
    crossing = next((one for one in placed if one.block.is_across), None)
    said = ", ".join(f"{one.block.name}: {one.block.text or 'not recorded'}" for one in placed)
    return ChainDrawing(
        title="From the mains to the ports",
        description=f"{said}.",
        width=WIDTH,
        height=TOP + STEP * len(blocks) - (STEP - BLOCK_HEIGHT) + TOP,
        blocks=placed,
        arrows=tuple(one.y + BLOCK_HEIGHT for one in placed[:-1]),
        barrier_y=crossing.middle if crossing else None,
    )


def _placed(block: Block, y: float) -> PlacedBlock:
    said = "" if block.strength is None else SAID.get(block.strength, block.strength)
    sort = "end" if block.strength is None else block.strength or "bare"
    return PlacedBlock(block, y, y + BLOCK_HEIGHT / 2, said, sort if sort in (*SAID, "end", "bare") else "bare")
