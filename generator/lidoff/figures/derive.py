"""Record -> derived figures. Every formula is in ``engineering``; here is only which inputs and assumptions it gets."""

from collections.abc import Iterator

from lidoff.bench.logs import Logs
from lidoff.figures.assumptions import Assumptions
from lidoff.figures.bulk import bulk_figures
from lidoff.figures.catalogue import KINDS
from lidoff.figures.charging import charging_figures
from lidoff.figures.converter import converter_figures
from lidoff.figures.cost import price_figures
from lidoff.figures.efficiency import efficiency_figures, points_by_corner
from lidoff.figures.figure import Figure, Figures
from lidoff.figures.mains import mains_figures
from lidoff.figures.points import with_sweeps
from lidoff.figures.ports import port_figures
from lidoff.figures.size import size_figures
from lidoff.figures.thermal import thermal_figures
from lidoff.record.model import Record

PLACES = {id: place for place, id in enumerate(KINDS)}


def derive(record: Record, assumptions: Assumptions, logs: Logs | None = None) -> Figures:
    """Every figure of a record, each id at least once, in the order of the catalogue.

    ``logs`` is what the record's logs say, by the field of the row that names each.
    """
    logs = logs or {}
    found = sorted(_all(with_sweeps(record, logs), assumptions, logs), key=lambda figure: PLACES[figure.id])
    return Figures(tuple(found))


def _all(record: Record, assumptions: Assumptions, logs: Logs) -> Iterator[Figure]:
    yield from size_figures(record)
    yield from port_figures(record)
    yield from bulk_figures(record, assumptions)
    yield from mains_figures(record, assumptions)
    yield from converter_figures(record, assumptions)
    groups = points_by_corner(record)
    yield from efficiency_figures(record, groups, assumptions)
    yield from thermal_figures(record, groups, assumptions, logs)
    yield from charging_figures(record, assumptions, logs)
    yield from price_figures(record)
