"""Which records a check of the collection holds against each other, so that one edit need not run it on all of them.

What such a check says rests on groups of records: those of one tier, those that name one part, and so on. Of each kind of
group, a record says by its gist which ones it is in, and how it stands there: a group in which all stand alike has nothing
to tell. A check that sees every member of the groups of an edited record finds the same about these as one that sees all
records; what it makes of groups that it sees in part is the same before and after the edit.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from lidoff.checks import (
    bulk_capacitance_outlier,
    certificate_reused,
    demo_mixed,
    density_outlier,
    former_path_taken,
    near_identical_names,
    part_role_conflict,
    picture_twice,
    rating_contradiction,
    revision_order,
    same_product_twice,
    unknown_revision,
)
from lidoff.checks.answers import digest
from lidoff.checks.check import CollectionCheck, Gist
from lidoff.checks.names import bare, one_letter_apart
from lidoff.checks.pictures_beside import pictures_beside
from lidoff.checks.ratings import boosted
from lidoff.checks.tiers import tier_name
from lidoff.figures.figure import Figure
from lidoff.figures.label import rated_power_w

Standing = tuple[str, str]
"""A group, and how a record stands in it."""


@dataclass(frozen=True, slots=True)
class Company:
    """One kind of group, and the checks that rest on it.

    ``near`` gives pairs of groups that are held against each other too. Where groups are ``chained``, those of every
    member count as well, and so on. Where standings are ``whole``, they hold all that the checks read of a record: one
    that stands as before changes nothing.
    """

    name: str
    checks: tuple[CollectionCheck, ...]
    standings: Callable[[Gist], Iterable[Standing]]
    near: Callable[[Iterable[str]], Iterable[tuple[str, str]]] | None = None
    is_chained: bool = False
    is_whole: bool = False


def by_kind_and_tier(gist: Gist) -> Iterator[Standing]:
    """Products of one kind and tier; each has a density of its own."""
    power, densities = rated_power_w(gist.record), gist.figures.present("power_density_w_per_cm3")
    if power is not None and densities:
        yield f"{gist.record.product.kind} {tier_name(power, gist.tiers_w)}", _own(gist, densities)


def by_tier_and_boost(gist: Gist) -> Iterator[Standing]:
    """Products of one tier with a boost stage, or without; each has a ratio of its own."""
    power, is_boosted, ratios = rated_power_w(gist.record), boosted(gist.record), gist.figures.present("bulk_uf_per_w")
    if power is not None and is_boosted is not None and ratios:
        yield f"{is_boosted} {tier_name(power, gist.tiers_w)}", _own(gist, ratios)


def _own(gist: Gist, figures: Iterable[Figure]) -> str:
    """A standing that no other record has, and that changes with the figures."""
    return f"{gist.path} {digest((*figures,))}"


def by_part(gist: Gist) -> Iterator[Standing]:
    """Parts of one maker and number; all is well where all records say the same of it."""
    for part in gist.record.components:
        if part.maker is not None and part.part_number is not None and part.strength != "guess":
            said = (part.roles, bytes(part.packed_ratings).hex(), part.package, part.technology)
            yield f"{part.maker}\0{part.part_number}", repr(said)


def by_name(gist: Gist) -> Iterator[Standing]:
    """Names that are the same without their signs; all is well where they are spelt alike."""
    record = gist.record
    yield _spelt("brand", record.product.brand)
    if record.label is not None and record.label.manufacturer is not None:
        yield _spelt("manufacturer", record.label.manufacturer)
    for part in record.components:
        if part.maker is not None:
            yield _spelt("maker", part.maker)
            if part.part_number is not None:
                yield _spelt("part number", f"{bare(part.maker)} {part.part_number}")


def _spelt(kind: str, name: str) -> Standing:
    return f"{kind}\0{bare(name)}", name


def one_slip_apart(groups: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Names of one kind that one letter makes the difference of; part numbers are left out."""
    found: dict[str, list[str]] = {"brand": [], "manufacturer": [], "maker": []}
    for group in groups:
        kind, _, name = group.partition("\0")
        if kind in found:
            found[kind].append(name)
    for kind, names in found.items():
        for one, other in one_letter_apart(names, near_identical_names.LONG_NAME):
            yield f"{kind}\0{one}", f"{kind}\0{other}"


def by_certificate(gist: Gist) -> Iterator[Standing]:
    """Certificates of one number; all is well where they name one holder."""
    label = gist.record.label
    if label is not None and label.manufacturer is not None:
        name = certificate_reused.core_name(label.manufacturer)
        yield from ((bare(certificate.number), name) for certificate in label.certificates)


def by_product(gist: Gist) -> Iterator[Standing]:
    """Products of one brand and model."""
    yield f"{bare(gist.record.product.brand)}\0{bare(gist.record.product.model)}", gist.path


def by_picture(gist: Gist) -> Iterator[Standing]:
    """Pictures that are the same file."""
    yield from ((facts.sha256, gist.path) for _, facts in pictures_beside(gist) if facts.sha256)


def by_address(gist: Gist) -> Iterator[Standing]:
    """Paths at which products lie, lay, or are looked for; one at which a product only lies tells nothing."""
    yield gist.slug, "here"
    yield from ((path, f"formerly {gist.path}") for path in gist.record.product.formerly)
    if gist.record.product.revision_of is not None:
        yield gist.record.product.revision_of, "looked for"


def by_folder(gist: Gist) -> Iterator[Standing]:
    """The same, with the folders of brand and model: where a product is not found, one like it is looked for there."""
    for path, how in by_address(gist):
        brand, _, model = path.partition("/")
        yield from ((group, how) for group in (path, f"{brand}/", f"/{model}"))


def by_demo(gist: Gist) -> Iterator[Standing]:
    """All records together; all is well where all are invented or none is."""
    yield "", "invented" if gist.record.demo else "real"


COMPANIES = (
    Company("demo", (demo_mixed.CHECK,), by_demo),
    Company("density", (density_outlier.CHECK,), by_kind_and_tier, is_whole=True),
    Company("bulk", (bulk_capacitance_outlier.CHECK,), by_tier_and_boost, is_whole=True),
    Company("part", (rating_contradiction.CHECK, part_role_conflict.CHECK), by_part),
    Company("name", (near_identical_names.CHECK,), by_name, near=one_slip_apart),
    Company("certificate", (certificate_reused.CHECK,), by_certificate),
    Company("product", (same_product_twice.CHECK,), by_product),
    Company("picture", (picture_twice.CHECK,), by_picture),
    Company("address", (former_path_taken.CHECK, revision_order.CHECK), by_address, is_chained=True),
    Company("folder", (unknown_revision.CHECK,), by_folder, is_chained=True, is_whole=True),
)
"""Every check of the collection is in one of them."""
