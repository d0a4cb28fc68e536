"""The example and the assumptions on a figure's page are those that a look at every figure of every record finds."""

import shutil
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from pathlib import Path

import pytest
import yaml

from lidoff.entry import Entry
from lidoff.figures.catalogue import KINDS
from lidoff.figures.figure import Assumed, Figure, Figures
from lidoff.live import LiveCollection
from lidoff.pages.context import make_context
from lidoff.pages.views.method import KnownFigures
from lidoff.pipeline import examine_all, prepare
from lidoff.settings import Settings, read_settings

ROOT = Path(__file__).resolve().parents[2]
Found = Mapping[str, tuple[Entry, Figure, Mapping[str, Assumed]]]


def looked_for(entries: Iterable[Entry]) -> Found:
    """The first product that has a figure, its first value there, and all that the figure rests on anywhere."""
    found: dict[str, tuple[Entry, Figure, dict[str, Assumed]]] = {}
    for entry in entries:
        for figure in entry.figures:
            if figure.value is not None:
                _, _, assumed = found.setdefault(figure.id, (entry, figure, {}))
                assumed.update({one.id: one for one in figure.assumed})
    return found


def known(context: object) -> Found:
    return {name: (one.entry, one.figure, one.assumed) for name, one in KnownFigures(context).by_id.items()}


@pytest.fixture(scope="module")
def demo() -> tuple[Entry, ...]:
    return examine_all(read_settings(ROOT / "mkdocs.yml")).entries


def test_of_every_demo_record(demo: tuple[Entry, ...], settings: Settings) -> None:
    context = make_context(demo, settings)
    found = known(context)
    assert found == looked_for(context.entries) and len(found) > 30
    assert len({entry.slug for entry, _, _ in found.values()}) > 3
    assert sum(len(assumed) > 1 for _, _, assumed in found.values()) > 3


def test_of_a_later_state_in_which_the_examples_are_gone_or_say_something_else(
    demo: tuple[Entry, ...], settings: Settings
) -> None:
    context, entries = make_context(demo, settings), list(demo)
    for _ in range(5):
        found = known(context)
        example = found["power_density_w_per_cm3"][0]
        place = entries.index(example)
        entries[place] = replace(example, figures=without_values(example.figures, "power_density_w_per_cm3"))
        other = next(one for one, _, _ in found.values() if one is not example)
        entries[entries.index(other)] = replace(other, figures=assuming_more(other.figures))
        context = make_context(entries, settings, context)
        later = known(context)
        assert later == looked_for(context.entries) == known(make_context(entries, settings)) != found
        assert later["power_density_w_per_cm3"][0].slug != example.slug


def without_values(figures: Figures, figure_id: str) -> Figures:
    gone = (one._replace(value=None, absent="gone") if one.id == figure_id else one for one in figures)
    return Figures(tuple(gone))


def assuming_more(figures: Figures) -> Figures:
    more = tuple(one._replace(value=one.value + 1) for figure in figures for one in figure.assumed)
    return Figures(tuple(one._replace(assumed=(*one.assumed, *more[:2])) for one in figures))


def test_pages_of_figures_in_a_preview_are_those_of_a_whole_build_after_each_edit(tmp_path: Path) -> None:
    for path in sorted(ROOT.glob("entries/*/*/record.yaml"))[:6]:
        shutil.copytree(path.parent, tmp_path / path.parent.relative_to(ROOT), ignore=shutil.ignore_patterns("photos"))
    (tmp_path / "mkdocs.yml").write_text(
        "site_name: T\nsite_url: https://example.org/\nplugins: [lidoff]\n", encoding="utf-8"
    )
    settings = read_settings(tmp_path / "mkdocs.yml")
    live = LiveCollection(prepare(settings, with_drafts=True))
    pages(live)
    examples = set()
    for edit in (without_body, shutil.rmtree, without_power):
        example = known(live.prepared.seen[0])["power_density_w_per_cm3"][0].slug
        examples.add(example)
        before = pages(live)
        edit(settings.entries_folder / example)
        live.refresh()
        anew = prepare(settings, with_drafts=True)
        after = {address: anew.page(address) for address in before}
        assert pages(live) == after != before
        assert known(live.prepared.seen[0]) == looked_for(live.prepared.seen[0].entries)
        assert known(live.prepared.seen[0])["power_density_w_per_cm3"][0].slug != example
    assert len(examples) == 3


def pages(live: LiveCollection) -> dict[str, object]:
    found = {f"/methods/{name}/": live.page(f"/methods/{name}/") for name in sorted(KINDS)[::4]}
    found["/methods/power_density_w_per_cm3/"] = live.page("/methods/power_density_w_per_cm3/")
    assert None not in found.values()
    return found


def rewritten(folder: Path, change: Callable[[dict], object]) -> None:
    path = folder / "record.yaml"
    record = yaml.safe_load(path.read_text(encoding="utf-8"))
    change(record)
    path.write_text(yaml.safe_dump(record, sort_keys=False, allow_unicode=True), encoding="utf-8")


def without_body(folder: Path) -> None:
    rewritten(folder, lambda record: record["measured"].pop("body_mm"))


def without_power(folder: Path) -> None:
    rewritten(folder, lambda record: record["product"].pop("rated_power_w"))
