"""The knowledge base as it is on the disk now, for the live preview: reads again only what was edited."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from lidoff.bench.pictures import has_picture_ending
from lidoff.checks.answers import apply_answers
from lidoff.examination.examined import Examined
from lidoff.finding import Finding, has_error, in_order
from lidoff.pipeline import Collection, Prepared, examine_file, with_collection_checks
from lidoff.record.collection import RecordFile, find_record, find_records
from lidoff.record.other_protocols import OtherProtocols, load_other_protocols
from lidoff.website import Page, PictureFile

if TYPE_CHECKING:
    from lidoff.entry import Entry
    from lidoff.pages.kin import Kin
    from lidoff.record.model.product import Product
    from lidoff.trends.traits import Trait

Stamp = tuple[tuple[int, int], ...]
LOGS = (".csv", ".tsv", ".txt", ".log", ".dat")


@dataclass(slots=True)
class LiveCollection:
    """The records behind a preview. The one object of the project that changes: a server asks it again and again."""

    prepared: Prepared
    _stamps: dict[str, Stamp] = field(default_factory=dict)
    _examined: dict[str, Examined] = field(default_factory=dict)
    _listed: tuple[OtherProtocols, tuple[Finding, ...]] | None = None
    _edited: bool = False
    _ahead: dict[str, Stamp] = field(default_factory=dict)
    _traits: dict[str, tuple[Examined, tuple[Trait, ...]]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._stamps = {file.relative: _stamp(file) for file in self._files()[0]}
        self._examined = {one.loaded.path: one for one in self.prepared.collection.examined}
        self._listed = self._list()

    def refresh(self) -> frozenset[str]:
        """Read again what was edited since the last call; the addresses of the product pages concerned."""
        files, stray = self._files()
        stamps = {file.relative: _stamp(file) for file in files}
        changed = {path for path, stamp in stamps.items() if self._stamps.get(path) != stamp}
        gone = set(self._stamps) - set(stamps)
        settings = self.prepared.settings
        listed = self._list()
        if listed != self._listed:
            changed = set(stamps)
        if not changed and not gone:
            return frozenset()
        protocols, faults = listed
        for file in files:
            if file.relative in changed:
                self._examined[file.relative] = examine_file(file, settings, protocols)
        self._examined = {path: self._examined[path] for path in stamps}
        collection = with_collection_checks(tuple(self._examined.values()), stray + faults)
        self._take(collection)
        self._stamps, self._listed, self._edited, self._ahead = stamps, listed, True, {}
        return frozenset(f"/products/{_slug(path)}/" for path in changed | gone)

    def look(self, address: str) -> bool:
        """Read again the record behind a product page alone; whether it was edited.

        What concerns other products, and what they have to say of this one, is left to `refresh`.
        """
        settings, slug = self.prepared.settings, address.removeprefix("/products/").strip("/")
        if slug.count("/") != 1 or self._list() != self._listed:
            return False
        file = find_record(settings.entries_folder, slug, settings.base)
        if file is None or file.relative not in self._stamps:
            return False
        path, stamp = file.relative, _stamp(file)
        if stamp == self._ahead.get(path, self._stamps[path]):
            return False
        one = examine_file(file, settings, self._listed[0])
        self._examined[path], self._ahead[path], self._edited = one, stamp, True
        answered = {path: one.gist.record.answered} if one.is_readable else {}
        others = (finding for finding in self.collection.findings if finding.path != path)
        findings = in_order((*others, *apply_answers(one.findings, answered)))
        self._take(Collection(tuple(self._examined.values()), tuple(findings)))
        return True

    def is_ahead(self, address: str) -> bool:
        """Whether the record behind a page was read again while the others, and all checks across them, were not."""
        return any(address == f"/products/{_slug(path)}/" for path in self._ahead)

    def _take(self, collection: Collection) -> None:
        # what index pages and tables have read of the other records still holds
        self.prepared = replace(self.prepared, collection=replace(collection, earlier=self.collection.made))

    def page(self, address: str) -> Page | None:
        """The page as the records make it now; None where nothing was edited or no readable record makes it."""
        if not self._edited:
            return None
        one = next((one for one in self._examined.values() if address == f"/products/{one.slug}/"), None)
        return self._product(one) if one is not None else self.prepared.page(address)

    def _product(self, one: Examined) -> Page | None:
        """The page of a product, for which no other record is taken apart."""
        from lidoff.pages.website import render_among

        if not self._is_shown(one):
            return None
        shown = {other.slug: other for other in self._examined.values() if self._is_shown(other)}
        products = {slug: other.gist.record.product for slug, other in shown.items()}
        entry = one.entry(self.collection.findings_by_path.get(one.loaded.path, ()))
        kin = self._kin(entry, shown, products)
        return render_among(entry, products.items(), kin, self.prepared.settings)

    def _kin(self, entry: Entry, shown: Mapping[str, Examined], products: Mapping[str, Product]) -> Kin:
        """The relatives of a product, by what is kept of the others at hand."""
        from lidoff.pages.kin import kin_of, later_of
        from lidoff.trends.likeness import nearest_to
        from lidoff.trends.traits import traits

        for path in [path for path, (one, _) in self._traits.items() if self._examined.get(path) is not one]:
            del self._traits[path]
        for path, one in self._examined.items():
            if one.is_readable and path not in self._traits:
                self._traits[path] = one, traits(one.gist.record)
        found = {slug: self._traits[one.loaded.path][1] for slug, one in shown.items()}
        likenesses = nearest_to(entry.slug, found)
        return kin_of(entry, likenesses, products, later_of(products), lambda slug: shown[slug].entry().record)

    def _is_shown(self, one: Examined) -> bool:
        """Whether a record has a page, as in `Prepared.shown`."""
        if not one.is_readable:
            return False
        if one.gist.record.status == "draft":
            return self.prepared.with_drafts
        return not has_error(self.collection.findings_by_path.get(one.loaded.path, ()))

    def picture(self, path: str) -> PictureFile | None:
        """How the picture at a path of the site is made; None where no record wants one there."""
        return self.prepared.picture(path)

    def findings(self, address: str) -> tuple[Finding, ...]:
        """The findings of the record behind a product page."""
        return tuple(finding for finding in self.collection.findings if address == f"/products/{_slug(finding.path)}/")

    @property
    def collection(self) -> Collection:
        """The collection as it was last read."""
        return self.prepared.collection

    def _files(self) -> tuple[tuple[RecordFile, ...], tuple[Finding, ...]]:
        settings = self.prepared.settings
        return find_records(settings.entries_folder, settings.base)

    def _list(self) -> tuple[OtherProtocols, tuple[Finding, ...]]:
        settings = self.prepared.settings
        return load_other_protocols(settings.entries_folder, settings.base)


def _stamp(file: RecordFile) -> Stamp:
    """When a record and the logs and pictures beside it were last written, and how long they are."""
    beside = sorted(name for name in file.companions if name.endswith(LOGS) or has_picture_ending(name))
    return tuple(_written(path) for path in (file.path, *(file.path.parent / name for name in beside)))


def _written(path: Path) -> tuple[int, int]:
    try:
        status = path.stat()
    except FileNotFoundError:
        # it went away between the listing and this line; the next refresh sees it gone
        return (0, 0)
    return (status.st_mtime_ns, status.st_size)


def _slug(path: str) -> str:
    """Product path of a record file: the two folders that hold it."""
    return "/".join(path.split("/")[-3:-1])
