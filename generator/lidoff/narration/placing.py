"""Where a product's power density stands among those of its tier."""

from collections.abc import Sequence
from dataclasses import dataclass

from lidoff.entry import Entry
from lidoff.narration.speech import Voice
from lidoff.rows.tiers import UNKNOWN, tier_label

DENSITY = "power_density_w_per_cm3"


@dataclass(frozen=True, slots=True)
class Placing:
    """``values`` are title and density of every product of the tier that has one, densest first, ties by title."""

    tier: str
    values: tuple[tuple[str, float], ...]
    denser: int

    @property
    def count(self) -> int:
        """How many products of the tier have a density."""
        return len(self.values)

    def tier_in(self, voice: Voice) -> str:
        """The tier in spoken words."""
        words = self.tier.removesuffix(" W").split()
        low, dash, high = words[0].partition("-")
        if dash:
            return voice.language.text(
                "tier/between", low=voice.number(float(low)), high=voice.quantity(float(high), "W")
            )
        limit = voice.quantity(float(words[-1]), "W")
        return voice.language.text("tier/over" if words[0] == "over" else "tier/up-to", limit=limit)


def density_placing(entry: Entry, fellows: Sequence[Entry], tiers_w: Sequence[float]) -> Placing | None:
    """None where the product has no density or no tier; fellows without one are left out."""
    tier, own = tier_label(entry.record.product.rated_power_w, tiers_w), entry.figures.value(DENSITY)
    if own is None or tier == UNKNOWN:
        return None
    members = {
        one.slug: one for one in (entry, *fellows) if tier_label(one.record.product.rated_power_w, tiers_w) == tier
    }
    found = [(one.title, density) for one in members.values() if (density := one.figures.value(DENSITY)) is not None]
    return Placing(
        tier, tuple(sorted(found, key=lambda one: (-one[1], one[0]))), sum(value > own for _, value in found)
    )
