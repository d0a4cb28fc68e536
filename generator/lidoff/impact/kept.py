"""The stock of a revision: kept under all that it rests on, or taken anew of every record.

It rests on the folder of entries as git knows it, on the options, and on the program. A file that is damaged, locked or
somebody else's is none, and is made again. A few are kept, since branches leave the main line at several places.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from lidoff.cache.code_version import code_version
from lidoff.cache.store import Store
from lidoff.checks import COLLECTION_CHECKS
from lidoff.examination.desk import PACKAGE, Desk, digest
from lidoff.examination.examined import Examined
from lidoff.examination.run import examined_files, without_collector
from lidoff.examination.survey import survey
from lidoff.finding import Finding
from lidoff.impact.history import HistoryError, Past, tree_of
from lidoff.impact.records import Records
from lidoff.impact.says import Counting, grouped_by, said_by, table_topic
from lidoff.impact.state import SUBSTITUTIONS, head_of
from lidoff.impact.stock import Stock, StockTaking, as_bytes, from_bytes
from lidoff.impact.tables import exchanges
from lidoff.pipeline import collection_findings, with_answers
from lidoff.trends.tally import Product, product_of

CACHE = Path(".lidoff", "cache", "impact")
SPARE = 3
Found = Mapping[str, Sequence[Finding]]
Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Shelf:
    """Where the stock of one revision is kept; the key is empty where the revision has no entries."""

    store: Store
    key: str

    def kept(self) -> Stock | None:
        """The stock that was taken earlier."""
        content = self.store.get(self.key) if self.key else None
        return None if content is None else from_bytes(content)

    def keep(self, stock: Stock) -> None:
        """Keep a stock for later runs."""
        if self.key and self.store.put(self.key, as_bytes(stock)):
            self.store.prune((self.key,), SPARE)


def shelf(then: Past, ignored: Sequence[str], desk: Desk) -> Shelf:
    """The place for the stock of a revision. ``ignored`` are files that git does not tell of."""
    settings = desk.settings
    key = ""
    with suppress(HistoryError):  # no such folder then
        program = code_version(*(PACKAGE / name for name in ("trends", "impact", "pipeline.py")))
        tables = repr(settings.tables)
        key = digest(desk.version, program, settings.entries, tables, tree_of(then, settings.entries), *ignored)
    return Shelf(Store(settings.base / CACHE), key)


def take_stock(records: Records, folders: frozenset[str], by: Counting, progress: Progress | None) -> Stock:
    """Read every record as it was and take stock."""
    found = survey(records.desk.settings)
    jobs = [job for job in found.jobs if job.file.relative.rpartition("/")[0] not in folders]
    with without_collector():
        same = examined_files(jobs, found.desk, whole=True, progress=progress)
    examined = sorted((*same, *records.old.values()), key=lambda one: one.loaded.path)
    noticed = collection_findings(examined, COLLECTION_CHECKS)
    own = [finding for one in examined for finding in one.findings]
    findings = _by_path(with_answers([*found.astray, *own, *noticed], examined))
    with without_collector():
        return _taken(examined, findings, _by_path(noticed), by)


def _taken(examined: Sequence[Examined], findings: Found, noticed: Found, by: Counting) -> Stock:
    taking, related, products = StockTaking(), _related(examined), {}
    for one in examined:
        head = head_of(one, findings.get(one.loaded.path, ()))
        product = product_of(one.entry(), by.tiers_w) if one.is_readable else None
        if product is None:
            taking.add(head, (), ())
            continue
        taking.add(head, said_by(product, head.is_published, by), grouped_by(one, head.is_published))
        if head.is_published and one.slug in related:
            products[one.slug] = product
    return taking.stock(noticed, _exchanged(products))


def _exchanged(products: dict[str, Product]) -> Iterator[tuple[str, str]]:
    yield from ((table_topic(SUBSTITUTIONS), item) for item in exchanges(products, products))


def _related(examined: Sequence[Examined]) -> frozenset[str]:
    """The products that revise another, and those that are revised."""
    pairs = ((one.slug, one.gist.record.product.revision_of) for one in examined if one.is_readable)
    return frozenset(slug for pair in pairs if pair[1] for slug in pair)


def _by_path(findings: Sequence[Finding]) -> Found:
    found: dict[str, list[Finding]] = {}
    for finding in findings:
        found.setdefault(finding.path, []).append(finding)
    return found
