"""The folder of the site: what a build may replace, and what it leaves alone."""

import os
import tempfile
from collections.abc import Iterator
from functools import partial
from pathlib import Path

import pytest

from generator.pages.frame.output import Output
from generator.publish.build import output_tree, staging
from generator.publish.build.lock import only_build
from generator.publish.build.staging import claimed_folder, write_site
from generator.specs.problems import ProblemsFound
from tests.publish.pretend import pages, publish, whole
from tests.publish.processes import pretend
from tests.publish.site_on_disk import site_of


def refused(out: Path) -> str:
    """The words of the problem when `out` is to be built."""
    with pytest.raises(ProblemsFound) as found:
        publish(out, "new")
    return str(found.value)


def test_builds_into_nothing_and_over_its_own(tmp_path: Path) -> None:
    """A first build makes the folder; a second one replaces every file of it."""
    out = tmp_path / "deep" / "site"
    publish(out, "old")
    assert whole(out) == "old"

    publish(out, "new")

    assert whole(out) == "new"
    assert [path.name for path in out.parent.iterdir()] == ["site"]


def test_names_with_a_dot_stay(tmp_path: Path) -> None:
    """A host's and git's own files survive every build, with their rights."""
    out = tmp_path / "site"
    out.mkdir(mode=0o750)
    (out / ".gitignore").write_text("*\n")
    publish(out, "old")
    (out / ".well-known").mkdir()
    (out / ".well-known" / "contact.txt").write_text("hello")

    publish(out, "new")

    assert (out / ".gitignore").read_text() == "*\n"
    assert (out / ".well-known" / "contact.txt").read_text() == "hello"
    assert out.stat().st_mode & 0o777 == 0o750


def test_a_folder_of_somebody_else_is_refused(tmp_path: Path) -> None:
    """A mistyped --out never costs anybody a file, hidden ones included."""
    for name in ("letter.txt", ".diary"):
        out = tmp_path / name / "home"
        out.mkdir(parents=True)
        (out / name).write_text("dear")

        assert "did not write" in refused(out)
        assert site_of(out) == {name: b"dear"}


def test_a_file_put_into_the_site_is_refused(tmp_path: Path) -> None:
    """A file that somebody added to a built site is named, and kept."""
    out = tmp_path / "site"
    publish(out, "old")
    (out / "CNAME").write_text("guide.example")
    before = site_of(out)

    assert "`CNAME`" in refused(out)
    assert site_of(out) == before


def test_a_file_in_place_of_the_folder_is_refused(tmp_path: Path) -> None:
    out = tmp_path / "site"
    out.write_text("not a folder")

    assert "this is a file" in refused(out)


@pytest.mark.parametrize(
    ("path", "fault"),
    [
        ("/etc/passwd", "out of the site"),
        ("../up.html", "out of the site"),
        ("a/../../up.html", "out of the site"),
        ("a//b.html", "plain path"),
        ("", "plain path"),
        ("a\\b.html", "every file system"),
        ("c:index.html", "every file system"),
        ("line\nbreak.html", "every file system"),
        (".htaccess", "left to the host"),
        ("PART-0/9/index.html", "capitals"),
        ("part-0/0/INDEX.html", "capitals"),
        ("part-0", "a folder and a file"),
        ("part-0/0/index.html/more.html", "which is a file"),
        ("part-0/0/index.html", "same file"),
    ],
)
def test_paths_stay_inside_and_apart(tmp_path: Path, path: str, fault: str) -> None:
    """No output leaves the site's folder or shares a file with another."""
    out = tmp_path / "site"
    publish(out, "old")

    with pytest.raises(ProblemsFound, match=fault), claimed_folder(out):
        write_site([*pages("new"), Output(path, b"x")], out, lambda output: None)

    assert whole(out) == "old"


def test_an_error_halfway_leaves_the_earlier_site(tmp_path: Path) -> None:
    """Whatever breaks while pages are made, the site and its neighbours are as before."""
    out = tmp_path / "site"
    publish(out, "old")
    before = site_of(tmp_path)

    def breaks() -> Iterator[Output]:
        yield from pages("new")
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt), claimed_folder(out):
        write_site(breaks(), out, lambda output: None)

    assert site_of(tmp_path) == before


def test_a_full_disk_is_a_problem(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The pretend disk is Linux's own /dev/full, into which every write fails with ENOSPC."""
    out = tmp_path / "site"
    publish(out, "old")
    before = site_of(tmp_path)
    full = partial(open, "/dev/full", "wb")
    monkeypatch.setattr(output_tree, "open", lambda path, mode: full(), raising=False)

    assert "the disk is full" in refused(out)
    assert site_of(tmp_path) == before


def test_a_read_only_place_is_a_problem() -> None:
    """Without the right to write beside the site, the build says so and nothing changes."""
    with tempfile.TemporaryDirectory() as place:
        out = Path(place, "site")
        publish(out, "old")
        os.chmod(place, 0o555)
        ended = pretend(out, "new", "--as-nobody")
        os.chmod(place, 0o755)

        assert ended.returncode == 1
        assert "may not be written" in ended.stderr
        assert "Traceback" not in ended.stderr
        assert whole(out) == "old"


def test_two_builds_at_once(tmp_path: Path) -> None:
    """The second of two builds of one folder says who is at work; another folder is free."""
    out = tmp_path / "site"
    publish(out, "old")

    with only_build(out):
        assert f"process {os.getpid()} is building this folder" in refused(out)
        publish(tmp_path / "other", "new")

    assert whole(out) == "old"
    assert whole(tmp_path / "other") == "new"


def test_two_renames_where_there_is_no_exchange(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Outside Linux the swap is two renames, with the same result."""
    out = tmp_path / "site"
    monkeypatch.setattr("generator.publish.build.swap.exchange", lambda one, other: False)
    publish(out, "old")
    publish(out, "new")

    assert whole(out) == "new"
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_staging_lies_beside_the_site(tmp_path: Path) -> None:
    """So that the swap never crosses from one file system to another."""
    assert staging.staging_folder(tmp_path / "site").parent == tmp_path
