"""Makes the variants of one picture. The only module of publishing that opens pictures, in processes of its own.

What this file and those it imports say decides what a variant looks like: see ``ENCODER`` in picture_cache.py.
"""

import hashlib
import io
from collections.abc import Iterable, Iterator
from typing import Any

from PIL import Image

from lidoff.bench.picture_colour import plain_picture
from lidoff.bench.picture_file import DECODED_PIXELS
from lidoff.website import PictureFile

FORMATS = ("JPEG", "PNG", "WEBP")
ENCODERS: dict[str, tuple[str, dict[str, Any]]] = {
    "webp": ("WEBP", {"quality": 80, "method": 4}),
    "jpg": ("JPEG", {"quality": 82, "optimize": True, "progressive": True}),
}


class Unusable(Exception):
    """A picture that can't be used; the text says why."""


def encode(content: bytes, sha256: str, wanted: Iterable[PictureFile]) -> Iterator[bytes]:
    """Each variant of the master in turn; raises Unusable where it is not what its record was read with, or too large.

    A picture that is damaged makes the decoder raise one of its many errors.
    """
    if hashlib.sha256(content).hexdigest() != sha256:
        raise Unusable("changed since its record was read")
    with Image.open(io.BytesIO(content), formats=FORMATS) as opened:
        if opened.width * opened.height > DECODED_PIXELS:
            raise Unusable(f"{opened.width} x {opened.height} pixels, more than {DECODED_PIXELS:,}")
        master = plain_picture(opened)
    for one in wanted:
        name, options = ENCODERS[one.path.rpartition(".")[2]]
        made = io.BytesIO()
        master.resize(one.size, Image.Resampling.LANCZOS, box=one.box, reducing_gap=3.0).save(made, name, **options)
        yield made.getvalue()
