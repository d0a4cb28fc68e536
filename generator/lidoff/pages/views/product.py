"""A product page as a whole: its parts in the order of a reader's questions."""

from dataclasses import dataclass
from pathlib import Path

from lidoff.entry import Entry
from lidoff.figures.caution import caution
from lidoff.pages import addresses
from lidoff.pages.drawings.body import BodyDrawing
from lidoff.pages.neighbours import Neighbours
from lidoff.pages.numbers import SPACE
from lidoff.pages.table import Fact, Grid
from lidoff.pages.views.advertised import PortAnswer, port_answers
from lidoff.pages.views.certainty import CertaintyView, certainty_view
from lidoff.pages.views.charges import RunView, run_views
from lidoff.pages.views.construction import boards_table, construction_sentences, magnetics_table
from lidoff.pages.views.conversion import ConversionView, conversion_view
from lidoff.pages.views.curves import CurvesView, curves_view
from lidoff.pages.views.figure_lines import FiguresView, figures_view
from lidoff.pages.views.head import HeadView, head_view
from lidoff.pages.views.measurements import INSULATION, LOADS, OUTPUTS, tables
from lidoff.pages.views.parts_list import parts_table
from lidoff.pages.views.pictures import PicturesView, pictures_view
from lidoff.pages.views.promise import PromiseView, promise_view, sharing_table
from lidoff.pages.views.size import size_drawing, size_facts
from lidoff.pages.views.verdicts import Verdict, verdicts
from lidoff.record.model.record import Record


@dataclass(frozen=True, slots=True)
class DeliveryView:
    """What was seen on the wire and measured."""

    ports: tuple[PortAnswer, ...]
    sharing: Grid | None
    size: tuple[Fact, ...]
    drawing: BodyDrawing | None
    verdicts: tuple[Verdict, ...]
    loads: tuple[Grid, ...]
    outputs: tuple[Grid, ...]
    curves: CurvesView
    runs: tuple[RunView, ...]

    @property
    def is_empty(self) -> bool:
        """Whether nothing was captured or measured."""
        tables = (*self.loads, *self.outputs)
        return not (self.ports or self.sharing or self.size or tables or self.curves.sweeps or self.runs)


@dataclass(frozen=True, slots=True)
class MakingView:
    """How it is made."""

    conversion: ConversionView | None
    sentences: tuple[str, ...]
    boards: Grid | None
    magnetics: Grid | None
    insulation: tuple[Grid, ...]
    parts: Grid | None

    @property
    def is_empty(self) -> bool:
        """Whether the record says nothing of the inside."""
        tables = (self.boards, self.magnetics, *self.insulation, self.parts)
        return not (self.conversion or self.sentences or any(tables))


@dataclass(frozen=True, slots=True)
class ProductView:
    """The whole page."""

    slug: str
    head: HeadView
    pictures: PicturesView
    caution: tuple[str, ...]
    promise: PromiseView
    delivery: DeliveryView
    making: MakingView
    certainty: CertaintyView
    figures: FiguresView


def product_view(entry: Entry, neighbours: Neighbours, base: Path) -> ProductView:
    """All that the page of an entry says; ``base`` is the folder of mkdocs.yml."""
    record, root = entry.record, addresses.root(f"/{addresses.product(entry.slug)}")
    pictures = pictures_view(entry, base, root)
    return ProductView(
        slug=entry.slug,
        head=head_view(entry, neighbours, root),
        pictures=pictures,
        caution=caution(record, entry.figures, SPACE),
        promise=promise_view(record),
        delivery=_delivery(entry),
        making=_making(record, root, pictures),
        certainty=certainty_view(entry, root),
        figures=figures_view(entry.figures, root),
    )


def _delivery(entry: Entry) -> DeliveryView:
    record = entry.record
    rows = [row for row in record.port_sharing or () if row.basis != "label"]
    return DeliveryView(
        ports=port_answers(record.ports, record.samples),
        sharing=sharing_table(rows, "Shared between ports, as seen"),
        size=size_facts(record.measured),
        drawing=size_drawing(record, entry.title),
        verdicts=verdicts(entry),
        loads=tables(record, LOADS),
        outputs=tables(record, OUTPUTS),
        curves=curves_view(entry),
        runs=run_views(entry),
    )


def _making(record: Record, root: str, pictures: PicturesView) -> MakingView:
    return MakingView(
        conversion=conversion_view(record, root),
        sentences=construction_sentences(record.construction),
        boards=boards_table(record),
        magnetics=magnetics_table(record.magnetics),
        insulation=tables(record, INSULATION),
        parts=parts_table(record.components, root, pictures.thumbs),
    )
