"""Power tiers: inclusive upper limits on rated power, as the settings give them."""

from bisect import bisect_left
from collections.abc import Sequence


def tier_name(power: float, tiers_w: Sequence[float]) -> str:
    """The tier of a rated power in words.

    Examples
    --------
    >>> tier_name(65, (20, 33, 45, 67, 100, 140, 240)), tier_name(300, (20, 240)), tier_name(12, (20, 240))
    ('above 45 W up to 67 W', 'above 240 W', 'up to 20 W')
    """
    place = bisect_left(tiers_w, power)
    above = f"above {tiers_w[place - 1]:g} W" if place else ""
    up_to = f"up to {tiers_w[place]:g} W" if place < len(tiers_w) else ""
    return " ".join(part for part in (above, up_to) if part)
