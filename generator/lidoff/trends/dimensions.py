"""What products can be grouped by: one column of the frame of products each, its title and the order of its words."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lidoff.record.schema import parts
from lidoff.rows.positions import NONE, NOT_RECORDED, POSITIONS, SPECIAL_WORDS, Position
from lidoff.rows.tiers import UNKNOWN, tier_slug
from lidoff.trends.frames import Frames

if TYPE_CHECKING:
    import pandas as pd

Order = Callable[[Sequence[str], Collection[str]], Sequence[str]]
"""The words that are there in their order; the first argument are all tiers in theirs."""

_LAST = (*SPECIAL_WORDS, UNKNOWN)
_SPELLING = {"gan": "GaN", "sic": "SiC"}


@dataclass(frozen=True, slots=True)
class Dimension:
    """A way to group products.

    ``name`` is also the column of the frame of products. ``missing`` is the word for a product whose record leaves the
    field out. ``is_multiple``: a product may be in several groups and counts once in each. ``is_complete``: groups
    without a product are shown too. ``subject`` is what a word names, for links: tier, part, maker, brand, topology.
    """

    name: str
    title: str
    order: Order
    meaning: str = ""
    missing: str = NOT_RECORDED
    is_multiple: bool = False
    is_complete: bool = False
    subject: str = ""


def facts(frames: Frames, dimension: Dimension) -> pd.DataFrame:
    """One line a product and group: the product's slug and the group's word. The frame's lists hold each word once."""
    import pandas as pd

    words = [words_of(value, dimension) for value in frames.products[dimension.name]]
    lines = pd.DataFrame({"slug": frames.products["slug"], "word": pd.Series(words, dtype="object")})
    return lines.explode("word", ignore_index=True)


def words_of(value: object, dimension: Dimension) -> tuple[str, ...]:
    """The groups that a product is in, by its value in the dimension's column."""
    if not dimension.is_multiple:
        return (dimension.missing,) if _is_missing(value) else (str(value),)
    # an empty list is a finding of its own: looked for, and there is none
    return (dimension.missing,) if value is None else tuple(map(str, value)) or (NONE,)


def _is_missing(value: object) -> bool:
    """Whether nothing is recorded; a column of whole numbers has a sign of its own for that."""
    return value is None or str(value) == "<NA>"


def words_in_order(frames: Frames, dimension: Dimension, present: Collection[str]) -> tuple[str, ...]:
    """The groups to show, in the dimension's order; words that say why nothing is known come last."""
    return in_order(frames.tiers, dimension, present)


def in_order(tiers: Sequence[str], dimension: Dimension, present: Collection[str]) -> tuple[str, ...]:
    """The same with all tiers in their order."""
    listed = dimension.order(tiers, set(present) - set(_LAST))
    shown = [word for word in listed if dimension.is_complete or word in present]
    return tuple(dict.fromkeys((*shown, *(word for word in _LAST if word in present))))


def spelled(word: str) -> str:
    """A word as a table shows it."""
    return _SPELLING.get(word, word)


def subjects(frames: Frames, dimension: Dimension, words: Collection[str]) -> Mapping[str, tuple[str, ...]]:
    """What each word names, for links; a word without a page is left out."""
    named = [word for word in words if word not in _LAST]
    if dimension.subject == "tier":
        return {word: ("tier", tier_slug(word)) for word in named}
    if dimension.subject == "part":
        known = frames.components.drop_duplicates("part")
        named_by = dict(zip(known["part"], zip(known["maker"], known["part_number"], strict=True), strict=True))
        return {word: ("part", named_by[word][0] or "", named_by[word][1]) for word in named}
    return {word: (dimension.subject, word) for word in named} if dimension.subject else {}


def _alphabet(tiers: Sequence[str], present: Collection[str]) -> Sequence[str]:
    return sorted(present, key=lambda word: (word.casefold(), word))


def _tiers(tiers: Sequence[str], present: Collection[str]) -> Sequence[str]:
    return tiers


def _numbers(tiers: Sequence[str], present: Collection[str]) -> Sequence[str]:
    return sorted(present, key=int)


def _steps(tiers: Sequence[str], present: Collection[str]) -> Sequence[str]:
    """Fixed voltages by their size, then the ranges."""
    fixed = sorted((word for word in present if word.endswith(" V")), key=lambda word: float(word.removesuffix(" V")))
    return (*fixed, "PPS", "AVS")


def _technologies(tiers: Sequence[str], present: Collection[str]) -> Sequence[str]:
    return ("gan", "silicon", "sic", "mixed", "none", "undetermined", NOT_RECORDED)


def _vocabulary(name: str) -> Order:
    """The order of the schema's word list; words that it doesn't hold, such as proprietary protocols, follow."""

    def order(tiers: Sequence[str], present: Collection[str]) -> Sequence[str]:
        listed = parts()["vocabulary.schema.json"]["$defs"][name]["enum"]
        return (*listed, *(word for word in _alphabet(tiers, present) if word not in listed))

    return order


def _word(
    name: str, title: str, vocabulary: str, meaning: str = "", is_multiple: bool = False, subject: str = ""
) -> Dimension:
    return Dimension(name, title, _vocabulary(vocabulary), meaning, is_multiple=is_multiple, subject=subject)


def _technology(position: Position) -> Dimension:
    meaning = (
        f"Technology is that of the {position.title}: the parts with the role {' or '.join(position.roles)}. What only "
        "the brand claims is undetermined; differing parts in one product are mixed; none means that there is no such "
        "part."
    )
    return Dimension(position.field, f"technology of the {position.title}", _technologies, meaning, is_complete=True)


def _controller(name: str, title: str) -> Dimension:
    meaning = f"Parts that work as {title}, by maker and number; a guess or a claim of the brand is not identified."
    return Dimension(name, title, _alphabet, meaning, is_multiple=True, subject="part")


_ALL = (
    Dimension("tier", "power tier", _tiers, "Tiers go by the rated power; the upper limit is included.", UNKNOWN,
              is_complete=True, subject="tier"),
    Dimension("year", "year", _numbers, "The year is that of the launch, else that of the teardown.", UNKNOWN),
    Dimension("brand", "brand", _alphabet, subject="brand"),
    Dimension("manufacturer", "manufacturer on the label", _alphabet),
    _word("kind", "kind of charger", "product_kind"),
    _word("protection_class", "protection class", "protection_class"),
    _word("plug_system", "plug", "plug_system"),
    _word("plug_mechanism", "plug mechanism", "plug_mechanism"),
    _word("authenticity", "authenticity", "authenticity"),
    _word("sample_source", "source of the samples", "sample_source", is_multiple=True),
    _word("coverage_parts", "parts that were listed", "coverage_parts"),
    _word("pfc", "power factor correction", "pfc", "As the reviewer concludes."),
    _word("topology", "isolated converter", "primary", "The isolated converter, as the reviewer concludes.",
          subject="topology"),
    _word("secondary", "secondary rectification", "secondary", "As the reviewer concludes."),
    _word("per_port", "conversion for each port", "per_port", "As the reviewer concludes."),
    *(_technology(position) for position in POSITIONS),
    Dimension("switch_place", "place of the primary switch", _alphabet,
              "Whether the primary switch sits in its controller's package."),
    _controller("pfc_controller", "PFC controller"),
    _controller("primary_controller", "primary controller"),
    _controller("sync_rectifier_controller", "synchronous rectifier controller"),
    _controller("per_port_controller", "per-port converter or its controller"),
    _controller("protocol_controller", "protocol controller"),
    _controller("sharing_controller", "power-sharing controller"),
    Dimension("bulk_capacitor_maker", "maker of the bulk capacitors", _alphabet, is_multiple=True, subject="maker"),
    _word("transformer_core", "core of the transformer", "core_family", is_multiple=True),
    _word("enclosure_joint", "joint of the case", "enclosure_joint"),
    _word("enclosure_material", "material of the case", "enclosure_material"),
    _word("potting", "potting", "potting_extent"),
    _word("thermal_path", "heat path", "thermal_material", "What carries heat to the surface.", is_multiple=True),
    _word("connector", "output connector", "connector", is_multiple=True),
    _word("protocol", "charging protocol", "protocol",
          "Protocols that a port was seen to speak, not those that are only claimed.", is_multiple=True),
    Dimension("voltage_step", "output on the label", _steps,
              "Fixed voltages and adjustable ranges (PPS, AVS) that the label prints at any port; nothing is said of "
              "what a port really offers.", is_multiple=True),
    Dimension("port_count", "number of ports", _numbers),
)  # fmt: skip
DIMENSIONS: Mapping[str, Dimension] = {dimension.name: dimension for dimension in _ALL}
