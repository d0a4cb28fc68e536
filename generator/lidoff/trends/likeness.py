r"""How alike two designs are, and which are nearest to one.

Weighted Jaccard index over traits, within the aspects that both records speak of:

.. math::

    J(a, b) = \frac{\sum_{t \in a \cap b} w_t}{\sum_{t \in a \cup b} w_t}

Jaccard's index is P. Jaccard, Bulletin de la Société vaudoise des sciences naturelles 37 (1901), page 547 (from
memory); the weights are Lidoff's own decision and stand in ``traits``.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from lidoff.entry import Entry
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
Key = tuple[str, str]
_POINTING = ("certificate", "print", "part")


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

    traits: Mapping[Key, Trait]
    weights: Mapping[str, float]


def likeness(one: Sequence[Trait], other: Sequence[Trait]) -> tuple[float, tuple[Trait, ...]]:
    """The index of two designs with the traits that they share, heaviest first; 0 where too little can be compared."""
    return _likeness(_profile(one), _profile(other))


def _likeness(mine: _Profile, theirs: _Profile) -> tuple[float, tuple[Trait, ...]]:
    shared = [mine.traits[key] for key in mine.traits.keys() & theirs.traits.keys()]
    both = sum(trait.weight for trait in shared)
    aspects = mine.weights.keys() & theirs.weights.keys()
    whole = sum(mine.weights[aspect] + theirs.weights[aspect] for aspect in aspects) - both
    if whole < COMPARABLE:
        return 0.0, ()
    return both / whole, tuple(sorted(shared, key=lambda trait: (-trait.weight, trait.words)))


def _profile(traits_: Sequence[Trait]) -> _Profile:
    found = {(trait.aspect, trait.value): trait for trait in traits_}
    weights: dict[str, float] = defaultdict(float)
    for trait in found.values():
        weights[trait.aspect] += trait.weight
    return _Profile(found, dict(weights))


def nearest_of_all(entries: Iterable[Entry]) -> Mapping[str, tuple[Likeness, ...]]:
    """For each product the nearest others, at most five, most alike first; none where none is alike enough."""
    found = {entry.slug: traits(entry.record) for entry in entries}
    postings = _postings(found, None)
    profiles: dict[str, _Profile] = {}
    return {slug: _nearest(slug, found, postings, profiles) for slug in found}


def nearest_to(slug: str, found: Mapping[str, Sequence[Trait]]) -> tuple[Likeness, ...]:
    """The same for one product among all, by their traits, without looking for those of any other."""
    postings = _postings(found, {(trait.aspect, trait.value) for trait in found[slug]})
    return _nearest(slug, found, postings, {})


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


def _postings(found: Mapping[str, Sequence[Trait]], wanted: set[Key] | None) -> Mapping[Key, list[str]]:
    """The products of every trait that points at a design; what many have is left out: the work stays linear.

    ``wanted`` are the only traits that are asked for, None for all.
    """
    postings: dict[Key, list[str]] = defaultdict(list)
    for slug, mine in found.items():
        keys = {(trait.aspect, trait.value) for trait in mine if trait.kind in _POINTING}
        for key in keys if wanted is None else keys & wanted:
            postings[key].append(slug)
    most = max(COMMON_COUNT, int(COMMON_SHARE * len(found)))
    return {key: slugs for key, slugs in postings.items() if 1 < len(slugs) <= most}


def _nearest(
    slug: str,
    found: Mapping[str, Sequence[Trait]],
    postings: Mapping[Key, list[str]],
    profiles: dict[str, _Profile],
) -> tuple[Likeness, ...]:
    """``profiles`` are those made so far; what is missing is added."""
    mine, others = found[slug], _candidates(slug, found[slug], postings)
    for one in {slug, *others} - profiles.keys():
        profiles[one] = _profile(found[one])
    compared = [(other, *_likeness(profiles[slug], profiles[other])) for other in others]
    best = sorted((one for one in compared if one[1] >= LEAST), key=lambda one: (-one[1], one[0]))[:NEAREST]
    return tuple(
        Likeness(other, index, tuple(trait.words for trait in shared), _differing(mine, found[other]))
        for other, index, shared in best
    )


def _candidates(slug: str, mine: Sequence[Trait], postings: Mapping[Key, list[str]]) -> tuple[str, ...]:
    """Products that share most weight with this one by its rarest traits."""
    weights: Counter[str] = Counter()
    seen = 0
    pointing = [trait for trait in mine if (trait.aspect, trait.value) in postings]
    for trait in sorted(pointing, key=lambda one: (len(postings[one.aspect, one.value]), one.aspect, one.value)):
        others = postings[trait.aspect, trait.value]
        if seen and seen + len(others) > MOST_CANDIDATES:
            break
        seen += len(others)
        for other in others:
            weights[other] += trait.weight
    del weights[slug]
    ranked = sorted(weights, key=lambda other: (-weights[other], other))
    return tuple(ranked[: 4 * NEAREST])


def _differing(mine: Sequence[Trait], theirs: Sequence[Trait]) -> tuple[str, ...]:
    """Aspects that both speak of without sharing anything in them."""
    values = [defaultdict(set), defaultdict(set)]
    for side, one in zip(values, (mine, theirs), strict=True):
        for trait in one:
            side[trait.aspect].add(trait.value)
    both = [aspect for aspect in values[0] if aspect in values[1]]
    return tuple(aspect for aspect in both if values[0][aspect].isdisjoint(values[1][aspect]))
