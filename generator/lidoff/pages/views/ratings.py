"""The ratings of a part in one line."""

from functools import lru_cache
from operator import attrgetter

from lidoff.pages.numbers import scaled
from lidoff.pages.vocabulary import label
from lidoff.record.model.component import Ratings

CACHED = 4096  # sets of ratings: a part has the same in most products that hold it
# field, unit, word before the number; in the order in which a data sheet's first page gives them
NUMBERS = (
    ("capacitance_uf", "µF", ""), ("capacitance_nf", "nF", ""), ("capacitance_pf", "pF", ""),
    ("inductance_uh", "µH", ""), ("resistance_ohm", "Ω", ""), ("cold_resistance_ohm", "Ω", "cold"),
    ("tolerance_pct", "%", "±"),
    ("voltage_v", "V", ""), ("voltage_transient_v", "V", "transient"), ("voltage_ac_v", "V AC", ""),
    ("clamping_v", "V", "clamps at"), ("isolation_v", "V AC", "isolation tested at"),
    ("gate_v", "V", "gate up to"), ("current_a", "A", ""),
    ("ripple_current_a", "A", "ripple"), ("rds_on_mohm", "mΩ", ""), ("gate_charge_nc", "nC", "gate charge"),
    ("output_charge_nc", "nC", "output charge"), ("forward_v", "V", "forward"), ("esr_mohm", "mΩ", "ESR"),
    ("power_w", "W", ""), ("melting_a2s", "A²s", ""), ("surge_current_a", "A", "surge"),
    ("surge_energy_j", "J", "surge"), ("transfer_ratio_pct", "%", "transfer ratio from"),
    ("frequency_mhz", "MHz", ""), ("temperature_c", "°C", ""), ("life_h", "h", "rated life"),
)  # fmt: skip
_VALUES = attrgetter(*(name for name, _, _ in NUMBERS))
WORDS = (("safety_class", "safety_class", "class"), ("chemistry", "capacitor_technology", ""))


@lru_cache(maxsize=CACHED)
def ratings_text(ratings: Ratings | None) -> str:
    """All ratings that are recorded, in one line.

    Examples
    --------
    >>> ratings_text(Ratings(voltage_v=650.0, rds_on_mohm=150.0)).replace(chr(160), " ")
    '650 V, 150 mΩ'
    """
    if ratings is None:
        return ""
    return ", ".join([*_numbers(ratings), *_words(ratings)])


def _numbers(ratings: Ratings) -> list[str]:
    said = []
    for (_, unit, word), value in zip(NUMBERS, _VALUES(ratings), strict=True):
        if value is not None:
            gap = "" if word in ("", "±") else " "
            said.append(f"{word}{gap}{scaled(value, unit)}")
    return said


def _words(ratings: Ratings) -> list[str]:
    said = []
    if ratings.fuse_speed or ratings.breaking_capacity:
        said.append(f"fuse {ratings.fuse_speed or ''}{ratings.breaking_capacity or ''}")
    for name, vocabulary, word in WORDS:
        value = getattr(ratings, name)
        if value is not None:
            said.append(f"{word} {label(vocabulary, value)}".strip())
    if ratings.series:
        said.append(f"series {ratings.series}")
    if ratings.dielectric:
        said.append(ratings.dielectric)
    return said
