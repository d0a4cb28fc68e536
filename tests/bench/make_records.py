"""Make a knowledge base of N invented records from a seed, for measuring.

    .venv/bin/python tests/bench/make_records.py FOLDER N [--seed S]

Each record starts from one of the demo's and is varied in what a build works on: names, part numbers, markings,
measured values, years. Pictures and logs are left out.
"""

import argparse
import datetime
import itertools
import random
from pathlib import Path

import yaml

ROOT = Path(__file__).resolve().parents[2]
SYLLABLES = "ar bel cor den esk fal gor hel ist kel lor mon nar ost pel quen ros sil tor ulm".split()
READINGS = {
    "measured_v",
    "pk_pk_mv",
    "rms_mv",
    "surface_c",
    "temperature_c",
    "power_w",
    "undershoot_mv",
    "overshoot_mv",
}
CONFIG = """site_name: Measured knowledge base
site_url: https://example.org/
theme: {name: material, font: false}
docs_dir: prose
plugins:
  - lidoff
"""


class _Dumper(yaml.CSafeDumper):
    """Writes without anchors, which records do not allow."""

    def ignore_aliases(self, data: object) -> bool:
        return True


def _quoted(dumper: yaml.CSafeDumper, text: str) -> yaml.ScalarNode:
    """Texts in quotes, so that none is read as a number; keys of mappings are texts too, and may be quoted as well."""
    return dumper.represent_scalar("tag:yaml.org,2002:str", text, style='"')


_Dumper.add_representer(str, _quoted)


def as_text(node: object) -> object:
    """The same data with dates as text, the way the schema wants them."""
    if isinstance(node, dict):
        return {key: as_text(value) for key, value in node.items()}
    if isinstance(node, list):
        return [as_text(value) for value in node]
    return node.isoformat() if isinstance(node, datetime.date) else node


def base_records() -> list[dict]:
    """The demo's published records as plain data."""
    found = [
        as_text(yaml.load(path.read_text(encoding="utf-8"), yaml.CSafeLoader))
        for path in sorted((ROOT / "entries").glob("*/*/record.yaml"))
    ]
    return [record for record in found if record["status"] == "published"]


def varied(record: dict, number: int, rng: random.Random) -> tuple[str, dict]:
    """Path of the new record below entries, and its data."""
    brand = "".join(rng.choice(SYLLABLES) for _ in range(2)).capitalize()
    model = f"{brand[:2].upper()}-{number}"
    product = {key: value for key, value in record["product"].items() if key not in ("revision_of", "formerly")}
    # no later than the base record's launch, so that purchase and teardown stay behind it
    product |= {"brand": brand, "model": model, "launched": rng.randint(2019, max(2019, product.get("launched", 2019)))}
    changed = record | {"product": product, "photos": []}
    changed["components"] = [varied_part(part, rng) for part in record.get("components", [])]
    measured = dict(record.get("measured", {}))
    for row in measured.get("efficiency", []):
        row["input_w"] = round(row["input_w"] * rng.uniform(1.0, 1.01), 3)
    if "mass_g" in measured:
        measured["mass_g"] = round(measured["mass_g"] * rng.uniform(0.95, 1.05), 1)
    for key in ("charging", "efficiency_sweeps"):
        measured.pop(key, None)
    for rows in measured.values():
        if isinstance(rows, list) and rows and isinstance(rows[0], dict):
            measured_anew(rows, rng)
    changed["measured"] = measured
    changed.pop("answered", None)
    return f"{brand.lower()}/{model.lower()}", changed


def measured_anew(rows: list, rng: random.Random) -> None:
    """The rows as another unit would have given them, without their logs."""
    for row in rows:
        for key in ("log", "columns"):
            row.pop(key, None)
        for key in sorted(READINGS & row.keys()):  # a set has another order in every run
            row[key] = round(row[key] * rng.uniform(0.995, 1.005), 3)


def varied_part(part: dict, rng: random.Random) -> dict:
    """The part under one of forty numbers of the same series, so that parts are shared but not everywhere."""
    if "part_number" not in part:
        return part
    suffix = f"-{rng.randint(1, 40):02d}"
    return part | {"part_number": part["part_number"] + suffix}


def write(folder: Path, count: int, seed: int) -> None:
    """Write the knowledge base."""
    rng = random.Random(seed)
    bases = itertools.cycle(base_records())
    (folder / "prose").mkdir(parents=True, exist_ok=True)
    (folder / "mkdocs.yml").write_text(CONFIG, encoding="utf-8")
    for number, record in zip(range(count), bases):
        path, data = varied(as_text(record), number, rng)
        target = folder / "entries" / path / "record.yaml"
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(
            yaml.dump(data, Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=130), encoding="utf-8"
        )


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folder", type=Path)
    parser.add_argument("count", type=int)
    parser.add_argument("--seed", type=int, default=1)
    chosen = parser.parse_args()
    write(chosen.folder, chosen.count, chosen.seed)
