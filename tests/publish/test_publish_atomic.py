"""Putting a site in place: in one step where a link can be replaced, else by renames, never over the user's files."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from lidoff.publish import atomic
from lidoff.publish.atomic import Refused, check_target, locked, placement


def put(workshop: Path, target: Path, text: str) -> None:
    with placement(target, workshop) as place:
        (place.built / "index.html").write_text(text)
        place.publish()


def test_each_build_replaces_the_link_and_leaves_the_one_before(tmp_path):
    workshop, site = tmp_path / ".lidoff", tmp_path / ".lidoff" / "site"
    for number in range(1, 5):
        put(workshop, site, f"build {number}")
        assert site.is_symlink()
        assert (site / "index.html").read_text() == f"build {number}"
    assert sorted(path.name for path in (workshop / "builds").iterdir()) == ["000003", "000004"]
    assert (workshop / "builds" / "000003" / "index.html").read_text() == "build 3"
    assert os.readlink(site) == os.path.join("builds", "000004")
    assert not (workshop / "staging").exists()


def test_the_whole_folder_can_be_moved(tmp_path):
    put(tmp_path / "a" / ".lidoff", tmp_path / "a" / ".lidoff" / "site", "one")
    (tmp_path / "a").rename(tmp_path / "b")
    assert (tmp_path / "b" / ".lidoff" / "site" / "index.html").read_text() == "one"


def test_build_that_stops_leaves_the_site_and_no_staging(tmp_path):
    workshop, site = tmp_path / ".lidoff", tmp_path / ".lidoff" / "site"
    put(workshop, site, "good")
    with pytest.raises(RuntimeError, match="stopped"), placement(site, workshop) as place:
        (place.built / "index.html").write_text("half")
        raise RuntimeError("stopped")
    assert (site / "index.html").read_text() == "good"
    assert not place.built.exists()


def test_what_killed_builds_left_is_removed(tmp_path):
    workshop, site = tmp_path / ".lidoff", tmp_path / ".lidoff" / "site"
    put(workshop, site, "good")
    (workshop / "staging").mkdir()
    (workshop / "staging" / "half.html").touch()
    (workshop / "builds" / "000002").mkdir()  # named, but not yet linked to
    (workshop / ".site-new").symlink_to("builds/000002")
    put(workshop, site, "next")
    assert (site / "index.html").read_text() == "next"
    assert sorted(path.name for path in (workshop / "builds").iterdir()) == ["000001", "000003"]
    assert not (site / "half.html").exists()


def test_folder_of_an_older_kind_in_place_of_the_link_is_replaced(tmp_path):
    workshop, site = tmp_path / ".lidoff", tmp_path / ".lidoff" / "site"
    site.mkdir(parents=True)
    (site / atomic.MARKER).touch()
    put(workshop, site, "new")
    assert site.is_symlink()
    assert [path.name for path in workshop.iterdir() if "old" in path.name] == []


@pytest.mark.parametrize("kind", ["new", "empty", "own"])
def test_new_empty_or_own_folder_is_taken(tmp_path, kind):
    out = tmp_path / "out"
    if kind != "new":
        out.mkdir()
    if kind == "own":
        (out / atomic.MARKER).touch()
    put(tmp_path / ".lidoff", out, "one")
    put(tmp_path / ".lidoff", out, "two")
    assert (out / "index.html").read_text() == "two"
    assert not out.is_symlink()
    assert sorted(path.name for path in tmp_path.iterdir()) == [".lidoff", "out"]


def test_folder_with_other_files_is_refused_and_left_as_it_is(tmp_path):
    out = tmp_path / "out"
    out.mkdir()
    (out / "thesis.txt").write_text("mine")
    with pytest.raises(Refused, match=r"is not empty and was not made by Lidoff \(no file \.lidoff-site in it\)"):
        put(tmp_path / ".lidoff", out, "one")
    assert [path.name for path in out.iterdir()] == ["thesis.txt"]


def test_file_in_place_of_the_folder_is_refused(tmp_path):
    (tmp_path / "out").write_text("mine")
    with pytest.raises(Refused, match="is a file"):
        put(tmp_path / ".lidoff", tmp_path / "out", "one")


def test_only_the_link_is_replaced_in_one_step(tmp_path):
    for target, is_atomic in ((tmp_path / ".lidoff" / "site", True), (tmp_path / "out", False)):
        with placement(target, tmp_path / ".lidoff") as place:
            assert place.is_atomic is is_atomic


def test_exchange_that_was_stopped_between_its_renames_is_mended(tmp_path):
    out = tmp_path / "out"
    put(tmp_path / ".lidoff", out, "good")
    out.rename(tmp_path / ".out.lidoff-old")
    check_target(out, tmp_path / ".lidoff")
    assert (out / "index.html").read_text() == "good"


def test_exchange_that_fails_puts_the_old_site_back(tmp_path, monkeypatch):
    out = tmp_path / "out"
    put(tmp_path / ".lidoff", out, "good")
    rename = Path.rename

    def fail_for_the_new_site(path: Path, to: Path) -> Path:
        if path.name == ".out.lidoff-new":
            raise OSError("disk full")
        return rename(path, to)

    monkeypatch.setattr(Path, "rename", fail_for_the_new_site)
    with pytest.raises(Refused, match="can't be replaced"):
        put(tmp_path / ".lidoff", out, "bad")
    assert (out / "index.html").read_text() == "good"


def test_second_build_is_told_of_the_first(tmp_path):
    told = rf"another build of this site under way \(process {os.getpid()}\)"
    with locked(tmp_path), pytest.raises(Refused, match=told), locked(tmp_path):
        pass


def test_lock_is_free_again_afterwards(tmp_path):
    for _ in range(2):
        with locked(tmp_path):
            assert (tmp_path / "lock").read_text() == str(os.getpid())


def test_dead_process_does_not_hold_the_lock(tmp_path):
    hold = "import os, pathlib, sys\nfrom lidoff.publish.atomic import locked\n"
    hold += "with locked(pathlib.Path(sys.argv[1])): os.kill(os.getpid(), 9)"
    assert subprocess.run([sys.executable, "-c", hold, str(tmp_path)]).returncode == -9
    assert (tmp_path / "lock").read_text().isdigit()
    with locked(tmp_path):
        assert (tmp_path / "lock").read_text() == str(os.getpid())


def test_workshop_is_ignored_by_git(tmp_path):
    with locked(tmp_path / ".lidoff"):
        assert (tmp_path / ".lidoff" / ".gitignore").read_text() == "*\n"


# ends the process just before its nth change of the file system
KILLED_AT = """
import os, pathlib, shutil, sys
from lidoff.publish import atomic
workshop, target, last = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2]), int(sys.argv[3])
steps = 0
def counted(change):
    def run(*arguments, **options):
        global steps
        steps += 1
        if steps == last:
            os.kill(os.getpid(), 9)
        return change(*arguments, **options)
    return run
with atomic.placement(target, workshop) as place:
    (place.built / "index.html").write_text("new")
    os.replace, os.rename, os.unlink = counted(os.replace), counted(os.rename), counted(os.unlink)
    os.mkdir, os.symlink, os.rmdir = counted(os.mkdir), counted(os.symlink), counted(os.rmdir)
    shutil.rmtree = counted(shutil.rmtree)
    place.publish()
"""


@pytest.mark.parametrize("target", [".lidoff/site", "out"])
def test_kill_before_any_step_of_publishing_leaves_a_whole_site(tmp_path, target):
    site, ends = tmp_path / target, []
    for step in range(1, 30):
        put(tmp_path / ".lidoff", site, "good")
        command = [sys.executable, "-c", KILLED_AT, str(tmp_path / ".lidoff"), str(site), str(step)]
        ends.append(subprocess.run(command).returncode)
        check_target(site, tmp_path / ".lidoff")  # the start of the next build
        assert (site / "index.html").read_text() in ("good", "new")
        if target == ".lidoff/site":
            assert site.is_symlink()
        if ends[-1] == 0:
            break
    assert ends[-1] == 0
    assert len(ends) > 3
    assert set(ends[:-1]) == {-9}
