"""A preview that has followed random edits knows the same as one that has just begun: findings, pages, files."""

import importlib.util
import random
import shutil
from collections.abc import Callable
from copy import deepcopy
from pathlib import Path
from types import ModuleType

import pytest
import yaml

from lidoff.live import LiveCollection
from lidoff.pages.website import plans
from lidoff.pipeline import prepare
from lidoff.settings import read_settings

RECORDS = 6
FILES = ("data/index/names.json", "data/trends/technology-by-tier.csv", "data/products.csv", "feed.xml")


def bench_records() -> ModuleType:
    path = Path(__file__).parent / "bench" / "make_records.py"
    spec = importlib.util.spec_from_file_location("make_records", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


MAKER = bench_records()


class Base:
    """A knowledge base of a few records whose names, numbers and certificates meet again and again."""

    def __init__(self, folder: Path, chance: random.Random) -> None:
        self.folder, self.chance, self.count = folder, chance, 0
        self.whole: dict[Path, str] = {}
        MAKER.write(folder, RECORDS, seed=chance.randrange(1000))

    @property
    def paths(self) -> list[Path]:
        return sorted((self.folder / "entries").glob("*/*/record.yaml"))

    def pick(self) -> Path:
        return self.chance.choice(self.paths)

    def slug(self) -> str:
        return "/".join(self.pick().parts[-3:-1])

    def edit(self, change: Callable[[dict], object]) -> None:
        path = self.pick()
        text = self.whole.pop(path, None) or path.read_text(encoding="utf-8")
        record = MAKER.as_text(yaml.load(text, yaml.CSafeLoader))
        change(record)
        self.write(path, record)

    def spoil(self) -> None:
        """Make one no YAML until its next edit."""
        path = self.pick()
        self.whole.setdefault(path, path.read_text(encoding="utf-8"))
        path.write_text("product: [\n", encoding="utf-8")

    def write(self, path: Path, record: dict) -> None:
        """With one line more at the top each time, so that all places shift."""
        self.count += 1
        path.parent.mkdir(parents=True, exist_ok=True)
        text = yaml.dump(record, Dumper=MAKER._Dumper, sort_keys=False, allow_unicode=True, width=130)
        path.write_text("#\n" * self.count + text, encoding="utf-8")


def part(base: Base, record: dict) -> None:
    one = base.chance.choice(record["components"])
    one["part_number"] = base.chance.choice(["ZX 1", "ZX-1", "ZX 2"])
    one["maker"] = base.chance.choice(["Hollis Grove", "Hollis Grave", "hollis grove"])
    one["roles"] = [base.chance.choice(["fuse", "bulk-capacitor", "primary-controller"])]
    one.pop("ratings", None)
    one["strength"] = base.chance.choice(["guess", "strong"])


def power(base: Base, record: dict) -> None:
    record["product"]["rated_power_w"] = base.chance.choice([20, 65, 66, 140])


def mass(base: Base, record: dict) -> None:
    record["measured"]["mass_g"] = base.chance.choice([3, 110.5, 9000])


def related(base: Base, record: dict) -> None:
    record["product"]["revision_of"] = base.chance.choice([base.slug(), "no/body"])
    record["product"]["formerly"] = base.chance.choice([[], ["old/one"], [base.slug()]])


def demo(base: Base, record: dict) -> None:
    record["demo"] = base.chance.random() < 0.7


def draft(base: Base, record: dict) -> None:
    record["status"] = base.chance.choice(["draft", "published"])


def answer(base: Base, record: dict) -> None:
    rule = base.chance.choice(["part-role-conflict", "near-identical-names", "revision-order", "mean-density"])
    record["answered"] = [{"rule": rule, "why": "Looked at twice.", "by": "A reviewer", "date": "2026-01-02"}]


def fault(base: Base, record: dict) -> None:
    record["product"]["rated_power_w"] = "many"


EDITS = (part, part, power, mass, related, demo, draft, answer, fault)


def change(base: Base) -> None:
    """An edit of a record, or one more, one less, one that is no YAML, a file that does not belong there."""
    kind = base.chance.choice(["edit"] * 8 + ["twin", "removal", "no yaml", "stray"])
    if kind == "edit":
        edit = base.chance.choice(EDITS)
        base.edit(lambda record: edit(base, record))
    elif kind == "twin":
        path = base.pick()
        base.edit(
            lambda record: base.write(
                path.parents[1] / f"{path.parent.name}-{base.count}" / "record.yaml", deepcopy(record)
            )
        )
    elif kind == "removal" and len(base.paths) > 3:
        shutil.rmtree(base.pick().parent)
    elif kind == "no yaml":
        base.spoil()
    elif kind == "stray":
        (base.pick().parent / f"notes-{base.count}.yaml").write_text("#\n", encoding="utf-8")


def compared(base: Base, live: LiveCollection) -> None:
    settings = read_settings(base.folder / "mkdocs.yml")
    fresh = prepare(settings, with_drafts=True)
    begun = LiveCollection(fresh)
    assert live.collection.findings == fresh.collection.findings
    addresses = [planned.address for planned in plans(*fresh.seen)]
    products = [one for one in addresses if one.startswith("/products/")]
    for address in (*products, *base.chance.sample(addresses, 12)):
        assert live.page(address) == fresh.page(address) is not None, address
        assert live.findings(address) == begun.findings(address)
    slugs = [address.removeprefix("/products/").strip("/") for address in products if address.count("/") == 4]
    for path in (*FILES, *(f"data/records/{slug}.json" for slug in slugs[:2])):
        assert live.file(path) == begun.file(path) is not None, path


def looked_at(base: Base, live: LiveCollection) -> None:
    """Look at a record that was just edited, then edit it again or take it away."""
    path = base.pick()
    text = path.read_text(encoding="utf-8")
    path.write_text(f"{text}#\n", encoding="utf-8")
    live.look(f"/products/{'/'.join(path.parts[-3:-1])}/")
    if base.chance.random() < 0.5 or len(base.paths) <= 3:
        path.write_text(f"{text}##\n", encoding="utf-8")
    else:
        shutil.rmtree(path.parent)


@pytest.mark.parametrize("seed", [1, *(pytest.param(seed, marks=pytest.mark.long) for seed in range(2, 12))])
def test_after_any_edits_all_is_as_if_read_afresh(tmp_path: Path, seed: int) -> None:
    chance = random.Random(seed)
    base = Base(tmp_path, chance)
    live = LiveCollection(prepare(read_settings(tmp_path / "mkdocs.yml"), with_drafts=True))
    for _ in range(2 if seed == 1 else 12):
        for _ in range(chance.randint(1, 3)):
            change(base)
            if chance.random() < 0.5:
                live.look(f"/products/{base.slug()}/")
            if chance.random() < 0.3:
                looked_at(base, live)
        live.refresh()
        compared(base, live)


def test_a_look_shows_one_page_alone_and_lists_keep_their_whole_state(tmp_path: Path) -> None:
    base = Base(tmp_path, random.Random(3))
    live = LiveCollection(prepare(read_settings(tmp_path / "mkdocs.yml"), with_drafts=True))
    slug = base.slug()
    before = {address: live.page(address) for address in ("/products/", "/trends/technology-by-tier/")}
    path = tmp_path / "entries" / slug / "record.yaml"
    record = MAKER.as_text(yaml.load(path.read_text(encoding="utf-8"), yaml.CSafeLoader))
    record["product"]["rated_power_w"] = 33
    base.write(path, record)
    assert live.look(f"/products/{slug}/") and "33\u00a0W" in live.page(f"/products/{slug}/").body
    assert {address: live.page(address) for address in before} == before
    live.refresh()
    assert all(live.page(address) != page for address, page in before.items())
    compared(base, live)


def test_an_edit_while_all_records_are_looked_through_is_not_lost(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The look is newer than what `refresh` goes by: the page keeps it, and the next refresh brings the rest."""
    base = Base(tmp_path, random.Random(4))
    live = LiveCollection(prepare(read_settings(tmp_path / "mkdocs.yml"), with_drafts=True))
    slug = base.slug()
    path, address = tmp_path / "entries" / slug / "record.yaml", f"/products/{slug}/"
    record = MAKER.as_text(yaml.load(path.read_text(encoding="utf-8"), yaml.CSafeLoader))

    def weigh(grams: int) -> None:
        record["measured"]["mass_g"] = grams
        base.write(path, record)

    weigh(1111)
    follow = LiveCollection._follow

    def interrupted(self: LiveCollection, *given: object) -> object:
        told = follow(self, *given)
        weigh(2222)
        assert live.look(address)
        return told

    monkeypatch.setattr(LiveCollection, "_follow", interrupted)
    live.refresh()
    monkeypatch.undo()
    assert "2222\u00a0g" in live.page(address).body and live.is_ahead(address)
    assert live.refresh() == {address} and not live.is_ahead(address)
    compared(base, live)
