"""Pages on what each check looks for, and their list."""

from collections.abc import Iterator
from functools import partial

from lidoff.checks import all_rules
from lidoff.pages import addresses
from lidoff.pages.context import Context
from lidoff.pages.plan import Planned, digest_of, page
from lidoff.pages.views.check import CheckView, check_view, checks_index_view, concerned_by_rule
from lidoff.website import Page


def index_plans() -> Iterator[Planned]:
    """The list of all checks."""
    yield Planned("/checks/", _index_page)


def plans(context: Context) -> Iterator[Planned]:
    """One page a rule."""
    concerned = concerned_by_rule(context.entries)
    for rule in all_rules():
        address = f"/{addresses.check(rule.id)}"
        view = check_view(rule, concerned.get(rule.id, ()), addresses.root(address))
        yield Planned(address, partial(_page, address, view), digest_of((), view))


def _index_page() -> Page:
    view = checks_index_view(all_rules(), addresses.root("/checks/"))
    return page("/checks/", "check/index.html.j2", "Checks", view.sentence, {"view": view}, is_builder=True)


def _page(address: str, view: CheckView) -> Page:
    return page(address, "check/page.html.j2", view.title, f"{view.title}: {view.why}", {"view": view})
