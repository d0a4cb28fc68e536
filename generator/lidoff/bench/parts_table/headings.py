"""The headings that the trade gives to the columns of a parts table (common practice, no source)."""

import re
from collections.abc import Mapping

# what a column holds: its usual names, compared without case, blanks and signs
NAMES: Mapping[str, tuple[str, ...]] = {
    "ref": ("ref", "refs", "reference", "references", "designator", "designators", "refdes", "reference designator"),
    "quantity": ("qty", "quantity", "count", "pcs", "pieces", "no of", "number of"),
    "roles": ("role", "roles", "function", "functions", "purpose"),
    "maker": ("maker", "manufacturer", "mfr", "mfg", "brand", "make", "vendor"),
    "part_number": (
        "part number", "part no", "part", "p/n", "mpn", "manufacturer part number",
        "mfr part number", "mfr part", "mfr part no", "mfg part number", "type",
    ),
    "marking": (
        "marking", "markings", "mark", "print", "printed", "top mark", "package marking", "smd code",
    ),
    "marking_state": ("marking state", "legibility", "readable"),
    "package": ("package", "pkg", "case", "footprint", "housing", "size"),
    "ratings": ("value", "values", "rating", "ratings", "val", "specification", "spec", "specs", "parameters"),
    "technology": ("technology", "tech"),
    "board": ("board", "pcb"),
    "side": ("side", "layer", "board side"),
    "port": ("port",),
    "across": ("across", "bridges"),
    "identified_by": ("identified by", "evidence", "identification", "how known", "basis"),
    "strength": ("strength", "confidence", "certainty", "sure", "how sure"),
    "date_code": ("date code", "dc"),
    "series_string": ("series string", "string"),
    "series": ("series",),
    "note": ("note", "notes", "remark", "remarks", "comment", "comments"),
}  # fmt: skip


def _form(text: str) -> str:
    return re.sub(r"[^a-z0-9]+", "", text.casefold())


_MEANT = {_form(name): kind for kind, names in NAMES.items() for name in names}


def column_kind(heading: str) -> str | None:
    """What a column holds by its heading; None where the heading is not known.

    Examples
    --------
    >>> column_kind("Mfr. Part No."), column_kind("REF"), column_kind("Colour")
    ('part_number', 'ref', None)
    """
    form = _form(heading)
    return _MEANT.get(form) or _MEANT.get(form.removesuffix("s"))
