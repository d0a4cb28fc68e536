"""A built site served by Debian's nginx on this machine, compressed and with the site's own headers."""

import json
import shutil
import signal
import socket
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
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


def missing(*names: str) -> list[str]:
    """Which of some programs are not there."""
    return [name for name in names if shutil.which(name) is None and not Path("/usr/sbin", name).exists()]


def headers_of(site: Path) -> str:
    """The site's own headers in nginx's words."""
    everywhere, _, _ = (site / "_headers").read_text(encoding="utf-8").partition("\n\n")
    pairs = [line.strip().split(": ", 1) for line in everywhere.splitlines()[1:]]
    return "\n".join(f"    add_header {name} {json.dumps(value)};" for name, value in pairs)


def free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return one.getsockname()[1]


@contextmanager
def nginx(site: Path, folder: Path) -> Iterator[str]:
    """The address at which nginx serves a site; its own files go to a folder."""
    port = free_port()
    config = CONFIG.format(folder=folder, port=port, site=site.resolve(), headers=headers_of(site))
    (folder / "nginx.conf").write_text(config, encoding="utf-8")
    program = shutil.which("nginx") or "/usr/sbin/nginx"
    server = subprocess.Popen([program, "-p", str(folder), "-c", str(folder / "nginx.conf")])
    try:
        wait_for(port)
        yield f"http://127.0.0.1:{port}"
    finally:
        server.send_signal(signal.SIGTERM)
        server.wait(10)


def wait_for(port: int) -> None:
    """Come back once something listens on a port; TimeoutError after ten seconds."""
    for _ in range(100):
        with socket.socket() as one:
            if one.connect_ex(("127.0.0.1", port)) == 0:
                return
        time.sleep(0.1)
    raise TimeoutError(f"nothing listens on port {port}")
