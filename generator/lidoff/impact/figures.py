"""Which derived figures of a record read differently after a change."""

from lidoff.figures.catalogue import KINDS
from lidoff.figures.figure import Corner, Figure, Figures
from lidoff.figures.show import corner_text, shown
from lidoff.impact.change import FigureChange


def changed_figures(before: Figures, after: Figures) -> tuple[FigureChange, ...]:
    """Every figure whose rounded value, or the reason for having none, differs; in the order of the catalogue."""
    earlier, later = _by_corner(before), _by_corner(after)
    changes = []
    for key in dict.fromkeys((*later, *earlier)):
        old, new = earlier.get(key), later.get(key)
        if _read(old) != _read(new):
            changes.append(_change(key[0], key[1], old, new))
    return tuple(changes)


def _by_corner(figures: Figures) -> dict[tuple[str, Corner], Figure]:
    return {(figure.id, figure.of): figure for figure in figures}


def _read(figure: Figure | None) -> str:
    """What people read of a figure; empty where there is no such figure."""
    if figure is None:
        return ""
    return f"none: {figure.absent}" if figure.value is None else shown(figure).text


def _change(figure_id: str, of: Corner, old: Figure | None, new: Figure | None) -> FigureChange:
    return FigureChange(
        id=figure_id,
        title=KINDS[figure_id].title,
        of=corner_text(of),
        before=_read(old),
        after=_read(new),
        value_before=old.value if old else None,
        value_after=new.value if new else None,
        unit=(new or old).unit,
    )
