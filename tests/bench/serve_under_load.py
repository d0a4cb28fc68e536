"""A built site served by nginx on this machine while wrk asks for pages. By hand: needs Debian's nginx and wrk.

    .venv/bin/python tests/bench/serve_under_load.py SITE [--seconds 10] [--connections 32]

SITE is the folder of a built site. Prints requests a second, the longest wait of 99 % of them, and how pages and files
may be kept by a browser. Client and server share the machine: the figures say what it bears, not what a network does.
"""

import argparse
import json
import random
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from pathlib import Path

CONFIG = """
daemon off; pid {folder}/pid; error_log {folder}/error.log; worker_processes 1;
events {{ worker_connections 1024; }}
http {{
  include /etc/nginx/mime.types; access_log off; sendfile on; etag on;
  gzip on; gzip_types text/css text/javascript application/json image/svg+xml;
  client_body_temp_path {folder}/body; proxy_temp_path {folder}/proxy; fastcgi_temp_path {folder}/fastcgi;
  uwsgi_temp_path {folder}/uwsgi; scgi_temp_path {folder}/scgi;
  server {{
    listen 127.0.0.1:{port}; root {site};
{headers}
    location ~ ^/(assets|pictures)/ {{
{headers}
      add_header Cache-Control "public, max-age=31536000, immutable";
    }}
  }}
}}
"""
SCRIPT = """
local paths = {{ {paths} }}
local at = 0
request = function() at = at % #paths + 1; return wrk.format("GET", paths[at]) end
"""


def missing() -> list[str]:
    """The programs that are not there."""
    return [name for name in ("nginx", "wrk") if shutil.which(name) is None and not Path("/usr/sbin", name).exists()]


def headers_of(site: Path) -> str:
    """The site's own headers in nginx's words."""
    everywhere, _, _ = (site / "_headers").read_text(encoding="utf-8").partition("\n\n")
    pairs = [line.strip().split(": ", 1) for line in everywhere.splitlines()[1:]]
    return "\n".join(f"    add_header {name} {json.dumps(value)};" for name, value in pairs)


def free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return one.getsockname()[1]


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
    port = free_port()
    url = f"http://127.0.0.1:{port}"
    config = CONFIG.format(folder=folder, port=port, site=site.resolve(), headers=headers_of(site))
    (folder / "nginx.conf").write_text(config, encoding="utf-8")
    addresses = json.loads((site / "data" / "addresses.json").read_text(encoding="utf-8"))["addresses"]
    chosen = random.Random(1).sample(addresses, min(len(addresses), 2000))
    script = SCRIPT.format(paths=", ".join(json.dumps(path, ensure_ascii=False) for path in chosen))
    (folder / "paths.lua").write_text(script, encoding="utf-8")
    nginx = shutil.which("nginx") or "/usr/sbin/nginx"
    server = subprocess.Popen([nginx, "-p", str(folder), "-c", str(folder / "nginx.conf")])
    try:
        time.sleep(1)
        style = next(path.relative_to(site).as_posix() for path in site.rglob("lidoff.css"))
        said = [f"{path}: {kept_how(url + path)}" for path in ("/", f"/{style}", chosen[0])]
        command = ["wrk", "-t1", f"-c{connections}", f"-d{seconds}s", "--latency", "-s", str(folder / "paths.lua"), url]
        done = subprocess.run(command, capture_output=True, text=True, check=True)
        return "\n".join([f"{len(chosen)} of {len(addresses)} pages in turn", *said, done.stdout])
    finally:
        server.send_signal(signal.SIGTERM)
        server.wait(10)


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("site", type=Path)
    parser.add_argument("--seconds", type=int, default=10)
    parser.add_argument("--connections", type=int, default=32)
    given = parser.parse_args()
    if missing():
        print(f"needs {' and '.join(missing())} (apt-get install {' '.join(missing())}): nothing was measured")
        return 1
    with tempfile.TemporaryDirectory() as folder:
        print(load(given.site, Path(folder), given.seconds, given.connections))
    return 0


if __name__ == "__main__":
    sys.exit(main())
