"""Draw the demo's pictures beside their records: ``python tests/illustrations/make.py [BRAND/MODEL ...]``."""

import re
import sys
from collections.abc import Sequence
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parents[1] / "generator")]

from everything import ENTRIES, PRODUCTS, pictures_of, saved  # noqa: E402

from lidoff.record.edit import inserted  # noqa: E402

_BLOCK = re.compile(rb"(?m)^photos:[^\n]*\n(?:[ \-#][^\n]*\n|\n)*")


def written(entry: str) -> int:
    """Write one product's pictures and the part of its record that names them; returns their size in bytes."""
    folder = ENTRIES / entry
    (folder / "photos").mkdir(exist_ok=True)
    drawn = pictures_of(entry)
    size = 0
    for picture in drawn:
        file = folder / picture.file
        saved(picture, file)
        size += file.stat().st_size
    record = folder / "record.yaml"
    content = record.read_bytes()
    record.write_bytes(inserted(_BLOCK.sub(b"", content), "photos", [dict(picture.item) for picture in drawn]))
    return size


def main(chosen: Sequence[str]) -> None:
    """All products, or those that are named."""
    for entry in chosen or PRODUCTS:
        print(f"{entry}: {written(entry) / 1000:.0f} kB")


if __name__ == "__main__":
    main(sys.argv[1:])
