"""The one way from view data to HTML: every value is escaped unless it is one of our own drawings or formulas."""

from functools import cache

import jinja2

from lidoff.pages import drawings_html
from lidoff.pages.comparison_html import compared
from lidoff.pages.marks_html import legend, marks
from lidoff.pages.table_html import grid
from lidoff.rows.tiers import tier_text


@cache
def environment() -> jinja2.Environment:
    """The templates, compiled once. An undefined name is a fault, never an empty place."""
    made = jinja2.Environment(
        loader=jinja2.PackageLoader("lidoff.pages", "templates"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
        cache_size=-1,
    )
    made.filters["tier_text"] = tier_text
    # and no others: whenever a template takes macros from another, jinja2 looks up each global name in both
    made.globals = {
        "compared": compared, "drawings": drawings_html, "grid": grid, "legend": legend, "marks": marks, "range": range,
    }  # fmt: skip
    return made


def rendered(template: str, **values: object) -> str:
    """A template filled in."""
    return environment().get_template(template).render(values)
