"""Take the README's picture anew: the demo is built, and the top of a product page becomes .github/readme/product-page.png.

.venv/bin/python tests/browser/readme_picture.py
"""

import io
import tempfile
from pathlib import Path

from conftest import ROOT, build, copy_demo, served
from look import browser
from PIL import Image

PRODUCT = "products/fernhollow/fh-65/"
PICTURE = ROOT / ".github" / "readme" / "product-page.png"
WIDTH, HEIGHT = 1280, 1000
LARGEST_BYTES = 250_000


def taken(url: str) -> bytes:
    """The upper part of the page in light colours, as a reader sees it."""
    with browser() as chromium:
        page = chromium.new_page(
            viewport={"width": WIDTH, "height": HEIGHT}, color_scheme="light", reduced_motion="reduce"
        )
        page.goto(url + PRODUCT)
        page.locator(".lf-tray").wait_for(state="attached")
        return page.screenshot()


def smaller(png: bytes) -> bytes:
    """The same picture with a palette of its own: a page has few colours."""
    out = io.BytesIO()
    with Image.open(io.BytesIO(png)) as picture:
        picture.convert("RGB").quantize(256, Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE).save(
            out, "png", optimize=True
        )
    return out.getvalue()


def main() -> None:
    with tempfile.TemporaryDirectory(prefix="lidoff-picture-") as folder:
        base = copy_demo(Path(folder) / "base")
        build(base)
        with served(base / ".lidoff" / "site") as url:
            content = smaller(taken(url))
    assert len(content) < LARGEST_BYTES, f"{len(content)} bytes are too many for a README"
    PICTURE.parent.mkdir(parents=True, exist_ok=True)
    PICTURE.write_bytes(content)
    print(f"{PICTURE.relative_to(ROOT)}: {WIDTH} x {HEIGHT} pixels, {len(content):,} bytes")


if __name__ == "__main__":
    main()
