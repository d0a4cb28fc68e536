"""Pages on what each check looks for, and their list."""

from collections.abc import Iterator
from functools import partial

from lidoff.checks import all_rules
from lidoff.pages import addresses
from lidoff.pages.context import Context
from lidoff.pages.plan import Planned, page
from lidoff.pages.views.check import check_view, checks_index_view
from lidoff.rule import Rule
from lidoff.website import Page


def index_plans() -> Iterator[Planned]:
    """The list of all checks."""
    yield Planned("/checks/", _index_page)


def plans(context: Context) -> Iterator[Planned]:
    """One page a rule."""
    for rule in all_rules():
        yield Planned(f"/{addresses.check(rule.id)}", partial(_page, rule, context))


def _index_page() -> Page:
    view = checks_index_view(all_rules(), addresses.root("/checks/"))
    return page("/checks/", "check/index.html.j2", "Checks", view.sentence, {"view": view}, is_builder=True)


def _page(rule: Rule, context: Context) -> Page:
    address = f"/{addresses.check(rule.id)}"
    view = check_view(rule, context.entries, addresses.root(address))
    return page(address, "check/page.html.j2", view.title, f"{view.title}: {view.why}", {"view": view})
