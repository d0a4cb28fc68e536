"""List the licence of every installed package, and fail if one is not known to go with ours.

    .venv/bin/python generator/licences.py

Standard library only. A package that states its licence in no form that a machine reads stands in ``READ_BY_HAND``.
"""

import re
import sys
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from importlib.metadata import Distribution, distributions

# what a program under the MIT licence can use as a library without taking over its terms
FITTING = (
    "MIT", "BSD", "0BSD", "Apache", "ISC", "PSF", "Python Software Foundation", "MPL", "Mozilla", "LGPL",
    "Lesser General Public", "Artistic", "Zlib", "CC0", "Unlicense", "HPND",
)  # fmt: skip
READ_BY_HAND = {
    "axe-playwright-python": "MIT, in its repository; the axe-core that it carries: MPL-2.0",
    "marko": "MIT",
}
_WORDY = 60


@dataclass(frozen=True, slots=True)
class Licence:
    """One package with the licence that it states."""

    package: str
    version: str
    text: str

    @property
    def is_fitting(self) -> bool:
        """Whether one of the alternatives that it states goes with ours."""
        return any(re.search(rf"(?<![A-Za-z]){re.escape(word)}(?![A-Z])", self.text) for word in FITTING)


def licences(found: Iterable[Distribution]) -> Iterator[Licence]:
    """The licence of each package, in the order of their names."""
    for one in sorted(found, key=lambda one: one.metadata["Name"].lower()):
        name = one.metadata["Name"]
        yield Licence(name, one.version, _stated(one) or READ_BY_HAND.get(name.lower(), "not stated"))


def _stated(one: Distribution) -> str:
    """The licence by the package's own words: the expression, else the classifiers, else the first line of its text."""
    expression = one.metadata.get("License-Expression")
    if expression:
        return expression
    kinds = [line.split(" :: ")[-1] for line in one.metadata.get_all("Classifier", []) if line.startswith("License")]
    kinds = [kind for kind in kinds if kind != "OSI Approved"]
    text = (one.metadata.get("License") or "").strip().split("\n")[0]
    return " or ".join(kinds) or (text if len(text) <= _WORDY and text != "UNKNOWN" else "")


def main() -> int:
    """Print all; 1 where one does not fit or is not known."""
    found = list(licences(distributions()))
    for one in found:
        print(f"{one.package:<28} {one.version:<18} {one.text}{'' if one.is_fitting else '   <- look at this one'}")
    return 0 if all(one.is_fitting for one in found) else 1


if __name__ == "__main__":
    sys.exit(main())
