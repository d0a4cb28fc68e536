"""Measure what reading pictures takes: ``python tests/bench/bench_pictures.py [FOLDER]``, by hand, never as a test.

For each format a picture is made once in FOLDER (a temporary one if left out, 2 GB), then made into a master in a process
of its own: its time, and the peak of the process's resident memory as the system counts it, above that of an empty one.
"""

import subprocess
import sys
import tempfile
from pathlib import Path

# name, mode, width, height, options of saving
CASES = (
    ("baseline.jpg", "RGB", 16320, 12240, {"quality": 85}),
    ("progressive.jpg", "RGB", 16320, 12240, {"quality": 85, "progressive": True}),
    ("progressive-444.jpg", "RGB", 16320, 12240, {"quality": 85, "progressive": True, "subsampling": 0}),
    ("colours.png", "RGB", 16320, 12240, {"compress_level": 1}),
    ("clear.png", "RGBA", 10000, 10000, {"compress_level": 1}),
    ("grey.png", "L", 10000, 10000, {"compress_level": 1}),
    ("strips.tif", "RGB", 10000, 10000, {"compression": "tiff_lzw"}),
    ("one-strip.tif", "RGB", 10000, 10000, {"compression": "tiff_lzw", "strip_size": 10**9}),
    ("plain.tif", "RGB", 10000, 10000, {}),
    ("palette.gif", "P", 10000, 10000, {}),
    ("plain.bmp", "RGB", 10000, 10000, {}),
    ("plain.webp", "RGB", 7000, 7000, {"quality": 80, "method": 0}),
    ("plain.avif", "RGB", 7000, 7000, {"quality": 60, "speed": 10}),
)
MAKE = """
import sys
import numpy as np
from PIL import Image
path, mode, width, height, options = sys.argv[1], sys.argv[2], int(sys.argv[3]), int(sys.argv[4]), eval(sys.argv[5])
tile = Image.fromarray(np.random.default_rng(3).integers(0, 255, (64, 64, 3), np.uint8)).resize((1024, 1024), 3)
image = Image.new("RGB", (width, height))
for top in range(0, height, 1024):
    for left in range(0, width, 1024):
        image.paste(tile, (left, top))
image.convert(mode).save(path, **options)
"""
READ = """
import resource, sys, time
from pathlib import Path
from lidoff.bench.picture_master import make_master
before, started = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, time.perf_counter()
make_master(Path(sys.argv[1]))
print(time.perf_counter() - started, (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) * 1024)
"""


def main(folder: Path) -> None:
    """Print one line for each format."""
    print(f"{'picture':22} {'megapixels':>10} {'time s':>8} {'peak MB':>8} {'bytes a pixel':>14}")
    for name, mode, width, height, options in CASES:
        path = folder / name
        if not path.exists():
            subprocess.run([sys.executable, "-c", MAKE, path, mode, str(width), str(height), repr(options)], check=True)
        said = subprocess.run([sys.executable, "-c", READ, path], check=True, capture_output=True, text=True).stdout
        seconds, peak = map(float, said.split())
        print(f"{name:22} {width * height / 1e6:10.0f} {seconds:8.1f} {peak / 1e6:8.0f} {peak / width / height:14.1f}")


if __name__ == "__main__":
    if len(sys.argv) > 1:
        main(Path(sys.argv[1]))
    else:
        with tempfile.TemporaryDirectory() as temporary:
            main(Path(temporary))
