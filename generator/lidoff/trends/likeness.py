r"""How alike two designs are, and which are nearest to one.

Weighted Jaccard index over traits, within the aspects that both records speak of:

.. math::

    J(a, b) = \frac{\sum_{t \in a \cap b} w_t}{\sum_{t \in a \cup b} w_t}

Jaccard's index is P. Jaccard, Bulletin de la Société vaudoise des sciences naturelles 37 (1901), page 547 (from
memory); the weights are Lidoff's own decision and stand in ``traits``.
"""

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from heapq import nsmallest

from lidoff.entry import Entry
from lidoff.examination.run import without_collector
from lidoff.record.sketch import Opened
from lidoff.trends.joining import Groups
from lidoff.trends.traits import Trait, traits

NEAREST = 5
LEAST = 0.25
"""Below this two designs share no more than the usual catalogue parts of their power."""

SAME_DESIGN = 0.6
COMPARABLE = 6.0
"""Where the aspects that both speak of weigh less together, nothing is said."""

COMMON_SHARE, COMMON_COUNT = 0.05, 10
"""A trait in more than this share of the products, and in more than this many, points at no design in particular."""

MOST_CANDIDATES = 2000
_POINTING = ("certificate", "print", "part")
Known = dict[Trait, tuple[str, Trait]]


@dataclass(frozen=True, slots=True)
class Likeness:
    """How alike a product is to another: the index from 0 to 1, what they share, and what only one of them has."""

    slug: str
    index: float
    shared: tuple[str, ...]
    differing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Profile:
    """The traits of a product by what is compared, and how much those of each aspect weigh together."""

    traits: Mapping[str, Trait]
    weights: Mapping[str, float]


def likeness(one: Sequence[Trait], other: Sequence[Trait]) -> tuple[float, tuple[Trait, ...]]:
    """The index of two designs with the traits that they share, heaviest first; 0 where too little can be compared."""
    mine, theirs = _profile(one), _profile(other)
    index = _index(mine, theirs)
    return index, _shared(mine, theirs) if index else ()


def _index(mine: _Profile, theirs: _Profile) -> float:
    traits_, weights, others = mine.traits, mine.weights, theirs.weights
    both = sum([traits_[key].weight for key in traits_.keys() & theirs.traits.keys()])
    whole = sum([weights[aspect] + others[aspect] for aspect in weights.keys() & others.keys()]) - both
    return both / whole if whole >= COMPARABLE else 0.0


def _shared(mine: _Profile, theirs: _Profile) -> tuple[Trait, ...]:
    shared = [trait for key, trait in mine.traits.items() if key in theirs.traits]
    return tuple(sorted(shared, key=lambda trait: (-trait.weight, trait.words)))


def _key(trait: Trait) -> str:
    # one text, whose hash is kept with it; a pair of texts is hashed at every comparison
    return f"{trait.aspect}\0{trait.value}"


def _profile(traits_: Sequence[Trait], known: Known | None = None) -> _Profile:
    """The profile; with ``known``, traits and keys that were met before are held once for all products."""
    known = {} if known is None else known
    found = dict(known.get(trait) or known.setdefault(trait, (_key(trait), trait)) for trait in traits_)
    weights: dict[str, float] = defaultdict(float)
    for trait in found.values():
        weights[trait.aspect] += trait.weight
    return _Profile(found, dict(weights))


def nearest_of_all(entries: Iterable[Entry]) -> Mapping[str, tuple[Likeness, ...]]:
    """For each product the nearest others, at most five, most alike first; none where none is alike enough."""
    with without_collector():
        known: Known = {}
        found = {entry.slug: _profile(traits(Opened(entry.sketch)), known) for entry in entries}
        postings = _postings({slug: _pointing(one) for slug, one in found.items()})
        return {slug: _nearest(slug, postings, found.__getitem__) for slug in found}


def nearest_to(slug: str, found: Mapping[str, Sequence[Trait]]) -> tuple[Likeness, ...]:
    """The same for one product among all, by their traits, without looking for those of any other."""
    wanted = pointing_keys(found[slug])
    holders: dict[str, list[str]] = defaultdict(list)
    for other, theirs in found.items():
        for key in pointing_keys(theirs) & wanted:
            holders[key].append(other)
    return nearest_by(slug, holders, len(found), found.__getitem__)


def nearest_by(
    slug: str, holders: Mapping[str, Collection[str]], count: int, traits_of: Callable[[str], Sequence[Trait]]
) -> tuple[Likeness, ...]:
    """The same where it is known which of ``count`` products hold each of the product's `pointing_keys`, itself too."""
    return _nearest(slug, _telling(holders, count), lambda other: _profile(traits_of(other)))


def same_designs(nearest: Mapping[str, tuple[Likeness, ...]]) -> tuple[tuple[str, ...], ...]:
    """Groups of products that are one design: each is like another of the group by `SAME_DESIGN` or more."""
    groups: Groups[str] = Groups()
    for slug, others in nearest.items():
        for other in others:
            if other.index >= SAME_DESIGN:
                groups.join(slug, other.slug)
    members: dict[str, list[str]] = defaultdict(list)
    for slug in sorted(nearest):
        members[groups.first(slug)].append(slug)
    return tuple(tuple(slugs) for slugs in members.values() if len(slugs) > 1)


def pointing_keys(traits_: Iterable[Trait]) -> set[str]:
    """The traits that point at a design, each as a text of its own."""
    return {_key(trait) for trait in traits_ if trait.kind in _POINTING}


def _pointing(profile: _Profile) -> list[str]:
    return [key for key, trait in profile.traits.items() if trait.kind in _POINTING]


def _postings(pointing: Mapping[str, Collection[str]]) -> Mapping[str, Collection[str]]:
    """The products of every trait that points at a design; what many have is left out: the work stays linear."""
    postings: dict[str, list[str]] = defaultdict(list)
    for slug, keys in pointing.items():
        for key in keys:
            postings[key].append(slug)
    return _telling(postings, len(pointing))


def _telling(holders: Mapping[str, Collection[str]], count: int) -> Mapping[str, Collection[str]]:
    most = max(COMMON_COUNT, int(COMMON_SHARE * count))
    return {key: slugs for key, slugs in holders.items() if 1 < len(slugs) <= most}


def _nearest(
    slug: str, postings: Mapping[str, Collection[str]], profile_of: Callable[[str], _Profile]
) -> tuple[Likeness, ...]:
    mine = profile_of(slug)
    compared = [(other, profile_of(other)) for other in _candidates(slug, mine, postings)]
    indexed = ((_index(mine, theirs), other, theirs) for other, theirs in compared)
    best = sorted((one for one in indexed if one[0] >= LEAST), key=lambda one: (-one[0], one[1]))[:NEAREST]
    return tuple(_likeness(other, index, mine, theirs) for index, other, theirs in best)


def _candidates(slug: str, mine: _Profile, postings: Mapping[str, Collection[str]]) -> list[str]:
    """Products that share most weight with this one by its rarest traits."""
    weights: dict[str, float] = defaultdict(float)
    seen = 0
    pointing = [(len(postings[key]), one.aspect, one.value, key) for key, one in mine.traits.items() if key in postings]
    for count, *_, key in sorted(pointing):
        if seen and seen + count > MOST_CANDIDATES:
            break
        seen += count
        weight = mine.traits[key].weight
        for other in postings[key]:
            weights[other] += weight
    weights.pop(slug, None)
    ranked = nsmallest(4 * NEAREST, [(-weight, other) for other, weight in weights.items()])
    return [other for _, other in ranked]


def _likeness(slug: str, index: float, mine: _Profile, theirs: _Profile) -> Likeness:
    """What two designs share, and the aspects that both speak of without sharing anything in them."""
    shared = _shared(mine, theirs)
    alike = {trait.aspect for trait in shared}
    differing = tuple(aspect for aspect in mine.weights if aspect in theirs.weights and aspect not in alike)
    return Likeness(slug, index, tuple(trait.words for trait in shared), differing)
