"""The one place that says what a product is called: the folders of its record and the slugs of addresses."""

import hashlib
import re
import unicodedata
from functools import lru_cache

RECORD_NAME = "record.yaml"
CACHED = 65_536  # names of makers and parts come back with every record that holds them

_LOSSLESS = re.compile(r"[A-Za-z0-9]+(?:[ -][A-Za-z0-9]+)*")
_OTHER_SIGNS = re.compile(r"[^a-z0-9]+")
_SLUG = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
_LONGEST_NAME = 57
_DIGEST_DIGITS = 6

WINDOWS_NAMES = frozenset(
    (
        "con",
        "prn",
        "aux",
        "nul",
        *(f"com{number}" for number in range(1, 10)),
        *(f"lpt{number}" for number in range(1, 10)),
    )
)


@lru_cache(maxsize=CACHED)
def slug(text: str) -> str:
    """A name as a folder or an address: lower case, digits and hyphens.

    Names of plain letters and digits with single spaces or hyphens keep a clean slug. Where anything else is lost, six
    digits of the exact text's SHA-256 follow, so that two names never share a slug by what was dropped.

    Examples
    --------
    >>> slug("Pell Lane"), slug("FH-65"), slug("C++")
    ('pell-lane', 'fh-65', 'c-f1deb7')
    """
    folded = unicodedata.normalize("NFKC", text).casefold()
    name = _OTHER_SIGNS.sub("-", folded).strip("-")
    if _LOSSLESS.fullmatch(text) and len(name) <= _LONGEST_NAME and name not in WINDOWS_NAMES:
        return name
    digest = hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:_DIGEST_DIGITS]
    return "-".join(filter(None, (name[:_LONGEST_NAME].rstrip("-"), digest)))


def product_path(brand: str, model: str) -> str:
    """The folders of a product's record below the entries: brand/model."""
    return f"{slug(brand)}/{slug(model)}"


def is_folder_name(name: str) -> bool:
    """Whether a folder's name has the form of a slug and every system can make such a folder."""
    return _SLUG.fullmatch(name) is not None and name not in WINDOWS_NAMES
