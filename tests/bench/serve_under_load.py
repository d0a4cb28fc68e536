"""A built site served by nginx on this machine while wrk asks for pages. By hand: needs Debian's nginx and wrk.

    .venv/bin/python tests/bench/serve_under_load.py SITE [--seconds 10] [--connections 32]

SITE is the folder of a built site. Prints requests a second, the longest wait of 99 % of them, and how pages and files
may be kept by a browser. Client and server share the machine: the figures say what it bears, not what a network does.
"""

import argparse
import json
import random
import subprocess
import sys
import tempfile
import urllib.error
import urllib.request
from pathlib import Path

from serving import missing, nginx

SCRIPT = """
local paths = {{ {paths} }}
local at = 0
request = function() at = at % #paths + 1; return wrk.format("GET", paths[at]) end
"""


def kept_how(url: str) -> str:
    """What a browser is told of keeping an answer, and what it gets when it asks whether that has changed."""
    with urllib.request.urlopen(url, timeout=5) as answer:
        tag, kept = answer.headers.get("ETag"), answer.headers.get("Cache-Control", "nothing said")
    asked = urllib.request.Request(url, headers={"If-None-Match": tag or ""})
    try:
        with urllib.request.urlopen(asked, timeout=5) as answer:
            again = answer.status
    except urllib.error.HTTPError as answer:
        again = answer.code
    return f"ETag {'yes' if tag else 'no'}, asked again {again}, Cache-Control: {kept}"


def load(site: Path, folder: Path, seconds: int, connections: int) -> str:
    """What wrk says of a site under load, and how three of its files may be kept."""
    addresses = json.loads((site / "data" / "addresses.json").read_text(encoding="utf-8"))["addresses"]
    chosen = random.Random(1).sample(addresses, min(len(addresses), 2000))
    script = SCRIPT.format(paths=", ".join(json.dumps(path, ensure_ascii=False) for path in chosen))
    (folder / "paths.lua").write_text(script, encoding="utf-8")
    style = next(path.relative_to(site).as_posix() for path in site.rglob("lidoff.css"))
    command = ["wrk", "-t1", f"-c{connections}", f"-d{seconds}s", "--latency", "-s", str(folder / "paths.lua")]
    with nginx(site, folder) as url:
        said = [f"{path}: {kept_how(url + path)}" for path in ("/", f"/{style}", chosen[0])]
        done = subprocess.run([*command, url], capture_output=True, text=True, check=True)
    return "\n".join([f"{len(chosen)} of {len(addresses)} pages in turn", *said, done.stdout])


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("site", type=Path)
    parser.add_argument("--seconds", type=int, default=10)
    parser.add_argument("--connections", type=int, default=32)
    given = parser.parse_args()
    if absent := missing("nginx", "wrk"):
        print(f"needs {' and '.join(absent)} (apt-get install {' '.join(absent)}): nothing was measured")
        return 1
    with tempfile.TemporaryDirectory() as folder:
        print(load(given.site, Path(folder), given.seconds, given.connections))
    return 0


if __name__ == "__main__":
    sys.exit(main())
