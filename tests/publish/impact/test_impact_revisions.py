"""Git revisions as states of the impact report: read without changing anything, refused with clear messages."""

import os
import shutil
import subprocess
from pathlib import Path

import pytest

from generator.publish.impact.compare import assess_impact
from generator.publish.impact.states.revisions import RevisionError, open_state
from tests.publish.impact.impacts import FENNO, TRIAL, ids, rewrite, spec

SMALLER = ("energy: 504 Wh", "energy: 400 Wh")


def git(folder: Path, *arguments: str) -> str:
    """Run git under an invented name, without the settings of this machine."""
    quiet = {"GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_SYSTEM": os.devnull}
    names = ("-c", "user.name=Nobody", "-c", "user.email=nobody@example.org")
    ended = subprocess.run(
        ["git", *names, "-c", "init.defaultBranch=main", "-C", str(folder), *arguments],
        env={**os.environ, **quiet},
        text=True,
        capture_output=True,
        check=True,
    )
    return ended.stdout


def commit(folder: Path, words: str) -> None:
    git(folder, "add", "-A", "--force", ".")
    git(folder, "commit", "-q", "-m", words)


@pytest.fixture
def clone(root: Path, tmp_path: Path) -> Path:
    """The publication as a folder in a repository with spaces in its path; the tag `first` marks its first state."""
    folder = tmp_path / "a clone" / "our guide"
    folder.parent.mkdir()
    shutil.move(root, folder)
    git(folder.parent, "init", "-q")
    commit(folder.parent, "first")
    git(folder.parent, "tag", "first")
    return folder


def state_of(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_a_revision_against_the_working_tree(clone: Path) -> None:
    """Uncommitted changes count, and no file changes, in the working tree or in `.git`."""
    rewrite(spec(clone), SMALLER)
    before = state_of(clone.parent)
    report = assess_impact(clone, "first")

    assert {"range.rolling", "battery.energy"} <= ids(report.moves)
    assert (report.before, report.after) == ("first", "the working tree")
    assert state_of(clone.parent) == before


def test_two_revisions(clone: Path) -> None:
    """The working tree plays no part. A renamed file is the same bike."""
    rewrite(spec(clone), SMALLER)
    git(clone, "mv", f"bikes/{TRIAL}.yaml", "bikes/pellimor-other.yaml")
    commit(clone, "second")
    rewrite(spec(clone), ("mass: 26.1 kg", "mass: 99 kg"))
    report = assess_impact(clone, "first", "HEAD")

    assert [(each.slug, each.what, each.was) for each in report.bikes] == [
        (FENNO, "changed", ""),
        ("pellimor-other", "renamed", TRIAL),
    ]
    assert "spec.mass" not in ids(report.moves)
    assert "battery.energy" in ids(report.moves)


def test_files_come_as_committed(clone: Path) -> None:
    """Attributes of the repository neither hide nor rewrite a file; names may contain any letters."""
    (clone.parent / ".gitattributes").write_text("*.yaml export-ignore text eol=crlf\n", "utf-8")
    (clone / "content" / "guides" / "größe.txt").write_text("x", "utf-8")
    commit(clone.parent, "attributes")

    with open_state(clone, "HEAD") as place:
        assert spec(place.folder).read_bytes() == spec(clone).read_bytes()
        assert (place.folder / "content" / "guides" / "größe.txt").exists()
        assert not (place.folder / ".gitattributes").exists()
        folder = place.folder
    assert not folder.exists()


def test_links_lead_nowhere(clone: Path, tmp_path: Path) -> None:
    """The reader refuses a link out of the revision, as it does in a working tree."""
    secret = tmp_path / "secret.yaml"
    secret.write_text("name: secret\n", "utf-8")
    (clone / "bikes" / "pellimor-link.yaml").symlink_to(secret)
    commit(clone, "link")
    report = assess_impact(clone, "first", "HEAD")

    assert [problem.file for problem in report.new_problems] == ["bikes/pellimor-link.yaml"]
    assert "secret" not in str(report)


def test_a_large_file_is_not_copied_whole(clone: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("generator.publish.impact.states.revisions.LARGEST_FILE", 300 * 1024)
    spec(clone, "pellimor-large").write_bytes(b"# \n" * 200_000)
    commit(clone, "large")

    with open_state(clone, "HEAD") as place:
        assert spec(place.folder, "pellimor-large").stat().st_size == 300 * 1024
    assert any(
        "larger" in problem.what for problem in assess_impact(clone, "first", "HEAD").new_problems
    )


def test_an_unknown_revision(clone: Path) -> None:
    with pytest.raises(RevisionError, match="there is no revision and no folder 'frist'"):
        assess_impact(clone, "frist")


@pytest.mark.parametrize("name", ["", "--help", "-x", "a\nb", "HEAD:bikes", "..", "a b", "\0"])
def test_a_strange_revision(clone: Path, name: str) -> None:
    """No name is taken for an option, a path or a command of git."""
    with pytest.raises(RevisionError):
        assess_impact(clone, name)


def test_a_shallow_clone(clone: Path, tmp_path: Path) -> None:
    """The message says that the clone is shallow, and how to fetch the rest."""
    rewrite(spec(clone), SMALLER)
    commit(clone, "second")
    git(tmp_path, "clone", "-q", "--depth", "1", clone.parent.as_uri(), "shallow")

    with pytest.raises(RevisionError, match="git fetch --unshallow"):
        assess_impact(tmp_path / "shallow" / clone.name, "HEAD~1")


def test_no_repository(root: Path) -> None:
    with pytest.raises(RevisionError, match="is in no git repository"):
        assess_impact(root, "main")


def test_no_git(clone: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two folders can still be compared."""
    monkeypatch.setenv("PATH", "/nowhere")
    with pytest.raises(RevisionError, match="git is not installed"):
        assess_impact(clone, "first")
    assert assess_impact(clone, str(clone)).moves == ()


def test_a_folder_without_bikes(clone: Path, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    with pytest.raises(RevisionError, match="holds no folder bikes"):
        assess_impact(clone, str(tmp_path / "empty"))


def test_a_revision_without_the_publication(root: Path, tmp_path: Path) -> None:
    """The revision is older than the publication's folder."""
    clone = tmp_path / "clone"
    (clone / "src").mkdir(parents=True)
    (clone / "src" / "read.me").write_text("x", "utf-8")
    git(clone, "init", "-q")
    commit(clone, "before")
    shutil.move(root, clone / "guide")

    with pytest.raises(RevisionError, match="guide/' is not in that revision"):
        assess_impact(clone / "guide", "HEAD")


def test_a_revision_with_errors(clone: Path) -> None:
    """Its problems are reported, and the readable bike is compared."""
    rewrite(spec(clone, TRIAL), ("mass: 26.1 kg", "mass: 26.1 kW"))
    rewrite(spec(clone), SMALLER)
    commit(clone, "broken")
    report = assess_impact(clone, "first", "HEAD")

    assert [problem.file for problem in report.errors] == [f"bikes/{TRIAL}.yaml"]
    assert {move.bike for move in report.moves} == {FENNO}
