"""Which products are drawn, all pictures of one of them, and how a picture is written to a file."""

from pathlib import Path

from extras import extras_of
from pictures import ENTRIES, Picture, layout_of, plain_pictures_of, record_of

PRODUCTS = (
    "fernhollow/fh-140", "haddlewick/hw-90", "haddlewick/hw-200", "marlscombe/mc-120", "ostermere/om-240",
    "ostermere/om-65", "oxtermoor/ox-e30", "oxtermoor/ox-u20", "sallowfield/sf-100", "wrenscar/wd-60",
    "wrenscar/wd-100", "wrenscar/wd-240",
)  # fmt: skip
QUALITY = 80


def pictures_of(entry: str) -> tuple[Picture, ...]:
    """Everything that is drawn of one product, in the order of the record."""
    return (*plain_pictures_of(entry), *extras_of(entry, record_of(entry), layout_of(entry, "main")))


def saved(picture: Picture, file: Path) -> None:
    """Draw one picture and write it."""
    image = picture.draw()
    if file.suffix == ".jpg":
        image.convert("RGB").save(file, quality=QUALITY, optimize=True)
    else:
        image.save(file, optimize=True)


__all__ = ["ENTRIES", "PRODUCTS", "pictures_of", "saved"]
