"""Price set against rated power."""

from collections.abc import Iterator

from lidoff.engineering.price import price_per_power
from lidoff.figures.figure import Figure
from lidoff.figures.known import Absent, Known, absent, computed, figure, read, resting_on
from lidoff.figures.label import rated_power
from lidoff.record.model import Record
from lidoff.record.model.product import Sample

ID = "price_per_watt"


def price_figures(record: Record) -> Iterator[Figure]:
    """Price for each watt, in the currency it was paid in."""
    try:
        known, currency = _price_per_watt(record)
        yield figure(ID, known, unit=f"{currency}/W")
    except Absent as reason:
        yield absent(ID, str(reason))


def _price_per_watt(record: Record) -> tuple[Known, str]:
    priced = [(place, one) for place, one in enumerate(record.samples) if one.price is not None]
    if not priced:
        raise Absent("no price is recorded")
    new = [(place, one) for place, one in priced if not _is_used(one)]
    if not new:
        raise Absent("the recorded price is that of a used unit")
    paid = [(place, one) for place, one in new if one.price.amount > 0]
    if not paid:
        raise Absent("nothing was paid for the unit")
    place, sample = paid[0]
    price, power = sample.price, rated_power(record)
    paid_for = read(f"samples[{place}].price.amount", price.amount, price.currency)
    return resting_on(computed(price_per_power, price.amount, power.value), (paid_for, power)), price.currency


def _is_used(sample: Sample) -> bool:
    return sample.source == "second-hand" or sample.condition == "used"
