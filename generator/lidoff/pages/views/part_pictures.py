"""Close-ups of a part from the products that hold it, each with who made the picture."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from lidoff.pages import addresses
from lidoff.pages.context import Use
from lidoff.pages.picture_plan import close_ups, fitted
from lidoff.pages.views.pictures import credit, described

SHOWN = 240  # pixels, half of those of the file
MOST = 24
"""More would make a page heavy that shows the same part again and again; the table names every product."""


@dataclass(frozen=True, slots=True)
class PartPicture:
    """A part as one product shows it; ``href`` leads to the whole picture."""

    src: str
    width: int
    height: int
    alt: str
    title: str
    href: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PartPictures:
    """The close-ups on a part's page, and how many more products show it."""

    shown: tuple[PartPicture, ...]
    further: int


def part_pictures(uses: Iterable[Use], base: Path, root: str) -> PartPictures:
    """One close-up a product, newest first; ``root`` is the way from the page to the site's base."""
    found = list(_pictures(uses, base, root))
    return PartPictures(tuple(found[:MOST]), max(0, len(found) - MOST))


def _pictures(uses: Iterable[Use], base: Path, root: str) -> Iterator[PartPicture]:
    seen = set()
    for use in uses:
        entry, ref = use.entry, use.component.ref
        found = close_ups(entry, base, ref).get(ref) if entry.slug not in seen and entry.pictures else None
        picture = found.picture if found is not None else None
        if picture is None:
            continue
        seen.add(entry.slug)
        yield PartPicture(
            root + picture.path,
            *fitted(picture.size, SHOWN, SHOWN),
            alt=f"Close-up of {ref} in {entry.title}",
            title=f"{entry.title}, {ref}",
            href=f"{root}{addresses.product(entry.slug)}#picture-{found.place + 1}",
            lines=tuple(filter(None, (described(found.photo), credit(found.photo)))),
        )
