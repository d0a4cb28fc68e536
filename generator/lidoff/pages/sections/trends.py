"""Trend pages with their charts, and the tables as files."""

from collections.abc import Iterator, Mapping
from functools import partial

from lidoff.pages import addresses
from lidoff.pages.context import Context
from lidoff.pages.kept_charts import kept_chart
from lidoff.pages.plan import Planned, page
from lidoff.pages.table import Link
from lidoff.pages.trend_tables import Trends
from lidoff.pages.views.notices import demo_notices
from lidoff.pages.views.trend import trend_view
from lidoff.trends.formats import as_csv, as_json
from lidoff.trends.tables import FIXED
from lidoff.website import Page, SiteFile

OTHERS = "Further tables"
# what a reader looks for -> the tables that answer it; a table that is named nowhere stands at the end
SUBJECTS: Mapping[str, tuple[str, ...]] = {
    "Switches and technology": (
        "switch-place-by-tier", "pfc-switch-technology-by-tier", "rectifier-technology-by-tier",
        "output-switch-technology-by-tier",
    ),
    "Converters": (
        "topology-by-year", "pfc-onset", "secondary-by-tier", "per-port-by-tier", "core-by-tier", "bulk-by-pfc",
    ),
    "Controllers and makers": (
        "controller-pairs", "controller-years", "rectifier-controllers-by-tier", "protocol-controllers-by-tier",
        "makers-by-function", "bulk-makers-by-tier", "substitutions",
    ),
    "Outputs": ("adoption-by-year", "adjustable-by-tier", "voltage-steps-by-tier"),
    "Efficiency and heat": (
        "efficiency-margin-by-tier", "full-load-efficiency-by-topology", "tenth-load-efficiency-by-topology",
        "sustained-by-tier", "heat-flux-by-tier", "surface-rise-by-tier", "heat-path-by-year", "potting-by-year",
    ),
    "Size and price": ("density-by-year", "price-by-currency"),
}  # fmt: skip


def index_plans(context: Context, trends: Trends) -> Iterator[Planned]:
    """The list of tables, then each table."""
    yield Planned("/trends/", partial(_index_page, context, trends))
    for name in trends.definitions:
        yield Planned(f"/{addresses.trend(name)}", partial(_page, name, context, trends))


def _index_page(context: Context, trends: Trends) -> Page:
    root = addresses.root("/trends/")
    values = {"subjects": _subjects(trends, root), "notices": _notices(context)}
    description = "What the opened chargers have in common, in tables."
    return page("/trends/", "trend/index.html.j2", "Trends", description, values, is_builder=True)


def _subjects(trends: Trends, root: str) -> dict[str, list[Link]]:
    """The tables by subject, those that most people come for first; a subject without one is left out."""
    subject_of = {name: subject for subject, names in SUBJECTS.items() for name in names}
    main = "Where to start"
    subject_of |= {definition.name: main for definition in FIXED}
    links: dict[str, list[Link]] = {subject: [] for subject in (main, *SUBJECTS, OTHERS)}
    for name, one in trends.definitions.items():
        links[subject_of.get(name, OTHERS)].append(Link(one.title, root + addresses.trend(name)))
    return {subject: found for subject, found in links.items() if found}


def _page(name: str, context: Context, trends: Trends) -> Page:
    address = f"/{addresses.trend(name)}"
    root, table = addresses.root(address), trends.table(name)
    drawing = kept_chart(trends, name, root, context.settings.base)
    view = trend_view(table, drawing, context.by_slug, root)
    values = {"view": view, "notices": _notices(context)}
    return page(address, "trend/page.html.j2", view.title, f"{view.title}. {view.reach}", values, is_builder=True)


def files(trends: Trends) -> Iterator[SiteFile]:
    """Every table as CSV and JSON."""
    for name in trends.definitions:
        yield from files_of(name, trends)


def files_of(name: str, trends: Trends) -> Iterator[SiteFile]:
    """One table as CSV and JSON."""
    yield SiteFile(f"data/trends/{name}.csv", as_csv(trends.table(name)).encode("utf-8"))
    yield SiteFile(f"data/trends/{name}.json", as_json(trends.table(name)).encode("utf-8"))


def _notices(context: Context) -> tuple[str, ...]:
    return demo_notices(entry for entry in context.entries if not entry.is_draft)
