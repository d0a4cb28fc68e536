"""What a reader must know of invented records before all else."""

from collections.abc import Iterable

from lidoff.entry import Entry


def demo_notices(entries: Iterable[Entry]) -> tuple[str, ...]:
    """What a page made from several records says of invented ones; nothing where there are none."""
    records = {entry.slug: bool(entry.sketch.demo) for entry in entries}
    invented = sum(records.values())
    if not invented:
        return ()
    if invented == len(records):
        return ("Invented demonstration data: the products, makers and parts on this page do not exist.",)
    return (f"Of the {len(records)} records behind this page, {invented} are invented demonstration data.",)
