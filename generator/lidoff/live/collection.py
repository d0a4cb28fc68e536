"""The knowledge base as it is on the disk now, for the live preview: reads again only what was edited."""

from __future__ import annotations

import threading
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import InitVar, dataclass, field
from itertools import chain

from lidoff.entry import Entry
from lidoff.examination.examined import Examined
from lidoff.finding import Finding, has_error
from lidoff.live.addresses import address_of, address_of_record, product_at, product_in
from lidoff.live.kindred import Kindred
from lidoff.live.stamps import Stamp, stamp_of, stamps_of
from lidoff.live.told import Told
from lidoff.live.whole import Outline, Whole
from lidoff.pipeline import Collection, Prepared, examine_file, with_answers
from lidoff.record.collection import RecordFile, SeenFolders, find_record, find_records
from lidoff.record.other_protocols import OtherProtocols, load_other_protocols
from lidoff.website import Page, PictureFile, SearchText

Findings = Mapping[str, tuple[Finding, ...]]
Listed = tuple[OtherProtocols, tuple[Finding, ...]]
Known = tuple[Examined, tuple[Finding, ...]]


@dataclass(slots=True)
class LiveCollection:
    """The records behind a preview. It changes, with what it holds, and several threads ask it again and again.

    ``prepared`` is the last state that was looked at as a whole, ``stamps`` are those of its files, taken before they
    were read. ``look`` reads one record ahead of it, which its own page shows at once; all other pages change with
    ``refresh``, from one whole state to the next. `_lock` is held while a state is replaced, and while a page or file of
    one product is made of it; `_following` while the next state is made.
    """

    prepared: Prepared
    stamps: InitVar[dict[str, Stamp] | None] = None
    _whole: Whole = field(init=False)
    _examined: dict[str, Examined] = field(default_factory=dict)
    _findings: dict[str, tuple[Finding, ...]] = field(default_factory=dict)
    _stamps: dict[str, Stamp] = field(default_factory=dict)
    _ahead: dict[str, Stamp] = field(default_factory=dict)
    _listed: Listed | None = None
    _astray: tuple[Finding, ...] = ()
    _told: Told | None = None
    _kindred: Kindred = field(default_factory=Kindred)
    _is_kindred_old: bool = True
    _before: dict[str, Known] = field(default_factory=dict)
    _seen_folders: SeenFolders = field(default_factory=dict)
    _lock: threading.RLock = field(default_factory=threading.RLock)
    _following: threading.Lock = field(default_factory=threading.Lock)

    def __post_init__(self, stamps: dict[str, Stamp] | None) -> None:
        _, stray = self._files()
        taken = stamps_of(self.prepared.settings) if stamps is None else stamps
        self._examined = {one.loaded.path: one for one in self.prepared.collection.examined}
        # a record may have come or gone between the stamps and the reading; one without a stamp is read again
        self._stamps = {path: taken.get(path, ()) for path in self._examined}
        self._findings = dict(self.prepared.collection.findings_by_path)
        self._whole = Whole(self.prepared)
        self._listed = self._list()
        self._astray = (*stray, *self._listed[1])

    @property
    def collection(self) -> Collection:
        """The collection as it was last looked at as a whole."""
        return self.prepared.collection

    @property
    def outline(self) -> Outline:
        """What the frames of the pages are drawn from."""
        return Outline(self.prepared.settings, self.prepared.findings)

    def refresh(self) -> frozenset[str]:
        """Read again what was edited since the last call; the addresses of the product pages concerned."""
        with self._following:
            with self._lock:
                seen = dict(self._ahead)
            files, stray = self._files()
            stamps = {file.relative: stamp_of(file) for file in files}
            listed = self._list()
            known = self._stamps | dict.fromkeys(seen)
            changed = {path for path, stamp in stamps.items() if listed != self._listed or known.get(path) != stamp}
            gone, astray = known.keys() - stamps.keys(), (*stray, *listed[1])
            if not changed and not gone and astray == self._astray:
                return frozenset()
            now = {
                file.relative: self._read(file, stamps[file.relative], listed)
                for file in files
                if file.relative in changed
            }
            told = self._follow(dict.fromkeys(gone) | now, stamps, astray)
            self._take(told, stamps, listed, seen)
            moved = {finding.path for finding in {*astray} ^ {*self._astray}}
            self._astray = astray
            return frozenset(address_of_record(path) for path in changed | gone | moved)

    def look(self, address: str) -> bool:
        """Read again the record behind a product page alone; whether it was edited.

        What concerns other products, and what they have to say of this one, is left to `refresh`.
        """
        settings, slug = self.prepared.settings, product_at(address)
        if slug is None or self._list() != self._listed:
            return False
        file = find_record(settings.entries_folder, slug, settings.base)
        if file is None:
            return False
        path, stamp = file.relative, stamp_of(file)
        with self._lock:
            known = self._ahead.get(path, self._stamps.get(path))
        if known is None or stamp == known:
            return False
        one = examine_file(file, settings, self._listed[0])
        with self._lock:
            if path not in self._stamps:
                return False  # it was seen to be gone meanwhile
            findings = self._findings | {path: with_answers(one.findings, [one])}
            self._replace(self._examined | {path: one}, findings)
            self._ahead[path] = stamp
        return True

    def is_ahead(self, address: str) -> bool:
        """Whether the record behind a page was read again while the others, and all checks across them, were not."""
        return any(address == address_of_record(path) for path in tuple(self._ahead))

    def page(self, address: str) -> Page | None:
        """The page as the records make it now; None where no readable record makes it."""
        slug = product_at(address)
        if slug is None:
            return self._whole.page(address)
        with self._lock:
            one = self._shown(slug)
            return None if one is None else self._product(one, self._findings.get(one.loaded.path, ()))

    def earlier_page(self, address: str) -> Page | None:
        """The page of a product as it was before its record was broken; None where it was not seen to be."""
        with self._lock:
            one, findings = self._before.get(address, (None, ()))
            if one is None:
                return None
            with self._around().joined_by(one.slug, one.gist.record):
                return self._product(one, findings)

    def moved(self, address: str) -> str | None:
        """Where the page of a product is that once had this address; None where there is none."""
        slug = product_at(address)
        with self._lock:
            one = self._one(slug) if slug is not None else None
        return None if one is None or one.slug == slug else address_of(one.slug)

    def file(self, path: str) -> bytes | None:
        """A file of the site as the records make it now; None where they make none of this path."""
        slug = product_in(path)
        if slug is None:
            return self._whole.file(path)
        from lidoff.pages.sections.products import files_of

        with self._lock:
            entry = self._seen(slug)
        files = files_of(entry, self.prepared.settings.base) if entry else ()
        return next((file.content for file in files if file.path == path), None)

    def picture(self, path: str) -> PictureFile | None:
        """How the picture at a path of the site is made; None where no record wants one there."""
        from lidoff.pages.picture_plan import find_picture

        with self._lock:
            entry = self._seen(product_in(path))
        return None if entry is None else find_picture(path, [entry], self.prepared.settings.base)

    def texts(self) -> Iterator[SearchText]:
        """What the search knows of each product; the records are indexed for it when the first is asked for."""
        yield from self._whole.texts()

    def make_ready(self) -> None:
        """Make ahead what the first edit will want: what checks across all records found."""
        with self._following:
            if self._told is None:
                self._told = self._follow({}, self._stamps, self._astray)

    def findings(self, address: str) -> tuple[Finding, ...]:
        """The findings of the record behind a product page, and of what lies beside it."""
        with self._lock:
            paths = sorted(path for path in self._findings if address == address_of_record(path))
            return tuple(chain.from_iterable(self._findings[path] for path in paths))

    def _read(self, file: RecordFile, stamp: Stamp, listed: Listed) -> Examined:
        with self._lock:
            if listed == self._listed and self._ahead.get(file.relative) == stamp:
                return self._examined[file.relative]
        return examine_file(file, self.prepared.settings, listed[0])

    def _follow(self, changed: Mapping[str, Examined | None], paths: Iterable[str], astray: Iterable[Finding]) -> Told:
        """What all checks say now; should anything fail before that is taken, the next call begins anew."""
        strays: dict[str, list[Finding]] = {}
        for finding in astray:
            strays.setdefault(finding.path, []).append(finding)
        told, self._told = self._told, None
        if told is None:
            told = Told({path: changed.get(path) or self._examined[path] for path in paths}, strays)
        else:
            told.follow(changed, strays)
        return told

    def _take(self, told: Told, stamps: dict[str, Stamp], listed: Listed, seen: Mapping[str, Stamp]) -> None:
        """Make what was found the state that is shown; what `look` has read since ``seen`` stays ahead of it."""
        examined = {path: told.examined[path] for path in stamps}
        findings = tuple(chain.from_iterable(told.findings[path] for path in sorted(told.findings)))
        prepared = self.prepared.followed_by(Collection(tuple(examined.values()), findings))
        with self._lock:
            ahead = {
                path: stamp
                for path, stamp in self._ahead.items()
                if path in stamps and stamp not in (stamps[path], seen.get(path))
            }
            newer = {path: self._examined[path] for path in ahead}
            said = {path: self._findings.get(path, ()) for path in ahead}
            self._replace(examined | newer, told.findings | said)
            self.prepared, self._whole = prepared, Whole(prepared)
            self._stamps, self._listed, self._ahead = stamps, listed, ahead
        self._told = told

    def _replace(self, examined: dict[str, Examined], findings: Findings) -> None:
        """Put a state in the place of the last; a record that is broken now is kept as it was before."""
        was, said = self._examined, self._findings
        for path in was.keys() | examined.keys():
            one, new = was.get(path), examined.get(path)
            if one is new and said.get(path) == findings.get(path):
                continue
            if new is None or self._is_shown(new, findings):
                self._before.pop(address_of_record(path), None)
            elif one is not None and self._is_shown(one, said):
                self._before[address_of_record(path)] = one, said.get(path, ())
        self._examined, self._findings, self._is_kindred_old = examined, findings, True

    def _one(self, slug: str | None) -> Examined | None:
        """The record whose product has a page under a slug, or had one."""
        if slug is None or any(one.slug == slug for one in self._examined.values()):
            return self._shown(slug)
        moved = (new for new, product in self._around().products.items() if slug in product.formerly)
        return self._shown(next(moved, None))

    def _shown(self, slug: str | None) -> Examined | None:
        """The record whose product has a page under a slug."""
        found = (one for one in self._examined.values() if one.slug == slug and self._is_shown(one, self._findings))
        return next(found, None)

    def _seen(self, slug: str | None) -> Entry | None:
        """What the page under a slug shows: the record as it is now, or as it was before it was broken."""
        one = self._one(slug)
        if one is not None:
            return one.entry(self._findings.get(one.loaded.path, ()))
        one, findings = self._before.get(address_of(slug), (None, ()))
        return None if one is None else one.entry(findings)

    def _product(self, one: Examined, findings: tuple[Finding, ...]) -> Page:
        """The page of a product, for which no other record is taken apart."""
        from lidoff.pages.neighbours import neighbours
        from lidoff.pages.sections.products import product_page

        around, settings = self._around(), self.prepared.settings
        entry = one.entry(findings)
        kin = around.kin(entry, lambda slug: self._one(slug).entry().record)
        return product_page(entry, neighbours(entry, around.crowd(settings.tiers_w)), kin, settings)

    def _around(self) -> Kindred:
        """What all products that have pages say of themselves."""
        if self._is_kindred_old:
            shown = (one for one in self._examined.values() if self._is_shown(one, self._findings))
            self._kindred.follow({one.slug: one.gist.record for one in shown})
            self._is_kindred_old = False
        return self._kindred

    def _is_shown(self, one: Examined, findings: Findings) -> bool:
        """Whether a record has a page, as in `Prepared.shown`."""
        if not one.is_readable:
            return False
        if one.loaded.status == "draft":
            return self.prepared.with_drafts
        return not has_error(findings.get(one.loaded.path, ()))

    def _files(self) -> tuple[tuple[RecordFile, ...], tuple[Finding, ...]]:
        settings = self.prepared.settings
        return find_records(settings.entries_folder, settings.base, self._seen_folders)

    def _list(self) -> Listed:
        settings = self.prepared.settings
        return load_other_protocols(settings.entries_folder, settings.base)
