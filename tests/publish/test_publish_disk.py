"""Disks that are full or can't be written to, and builds side by side: the last good site stays as it was."""

import ctypes
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

# builds the invented base of conftest.py with one page more; no file may grow beyond the limit, as on a full disk
BUILD = """
import pathlib, resource, runpy, signal, sys
base, conftest, limit = pathlib.Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
sys.path.insert(0, str(base))
invented = runpy.run_path(conftest, run_name="invented")
from lidoff.publish.build import build_site
from lidoff.settings import read_settings
from lidoff.website import Page
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
pages = invented["BUILDER_PAGES"] + (Page("/x/1/", "X", "", "<h1>1</h1>" + "x" * 300_000),)
source = invented["InventedSource"](pages, invented["PAGE_FILES"])
settings = read_settings(base / "mkdocs.yml")
if limit:
    resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
result = build_site(settings, source)
print(*result.messages, sep="\\n")
sys.exit(not result.is_good)
"""
CONFTEST = str(Path(__file__).with_name("conftest.py"))


def command(folder: Path, limit: int = 0) -> list[str]:
    return [sys.executable, "-c", BUILD, str(folder), CONFTEST, str(limit)]


def build(folder: Path, limit: int = 0, before: Callable[[], None] | None = None) -> subprocess.CompletedProcess:
    return subprocess.run(command(folder, limit), capture_output=True, text=True, check=False, preexec_fn=before)


@pytest.mark.parametrize("limit", [100_000, pytest.param(2_000, marks=pytest.mark.long)])
def test_disk_that_fills_up_leaves_the_last_good_site(project, digest_of, limit):
    assert build(project.folder).returncode == 0
    whole = digest_of(project.site.resolve())
    done = build(project.folder, limit)
    assert done.returncode == 1, done.stderr
    assert "File too large" in done.stdout and "make room" in done.stdout
    assert digest_of(project.site.resolve()) == whole
    assert build(project.folder).returncode == 0
    assert digest_of(project.site.resolve()) == whole


@pytest.mark.long
def test_two_builds_side_by_side_leave_a_whole_site(project, digest_of):
    assert build(project.folder).returncode == 0
    whole = digest_of(project.site.resolve())
    both = [subprocess.Popen(command(project.folder), stdout=subprocess.PIPE, text=True) for _ in range(2)]
    said = [one.communicate()[0] for one in both]
    assert min(one.returncode for one in both) == 0, said
    for one, text in zip(both, said, strict=True):
        assert one.returncode == 0 or "another build of this site" in text
    assert digest_of(project.site.resolve()) == whole


def without_override() -> None:
    """Take from root what makes permissions mean nothing to it; whoever else runs the tests never had it."""
    if os.geteuid() == 0:
        drop, capabilities = 24, (1, 2, 3)  # PR_CAPBSET_DROP; CAP_DAC_OVERRIDE, CAP_DAC_READ_SEARCH, CAP_FOWNER
        for one in capabilities:
            if ctypes.CDLL(None, use_errno=True).prctl(drop, one, 0, 0, 0):
                raise OSError(ctypes.get_errno(), "capabilities can't be dropped")


@pytest.mark.long
@pytest.mark.parametrize("closed", [".lidoff", ".lidoff/builds"])
def test_target_that_can_not_be_written_to_is_named(project, digest_of, closed):
    assert build(project.folder).returncode == 0
    whole = digest_of(project.site.resolve())
    folder = project.folder / closed
    folder.chmod(0o500)
    try:
        done = build(project.folder, before=without_override)
    finally:
        folder.chmod(0o700)
    assert done.returncode == 1
    assert closed in done.stdout and "Permission denied" in done.stdout
    assert "Traceback" not in done.stderr
    assert digest_of(project.site.resolve()) == whole
    assert build(project.folder).returncode == 0
