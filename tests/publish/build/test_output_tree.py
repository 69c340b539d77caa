"""The folder of the next site: what comes out is what would have come out of nothing, and no published file is written to."""

import os
import random
import shutil
from pathlib import Path

import pytest

from generator.pages.frame.output import Output, UnchangedFile
from generator.publish.build.paths import MANIFEST, state
from generator.publish.build.staging import write_site
from tests.publish.site_on_disk import site_of

FOLDERS = ("", "a/", "a/b/", "c/", "c/a/", "c/d/e/")


def publish(root: Path, files: dict[str, bytes]) -> None:
    """Build `files`; those that the site of now has alike are taken over."""
    out = root / "site"
    root.mkdir(exist_ok=True)
    before = site_of(out) if out.exists() else {}
    outputs: list[Output | UnchangedFile] = []
    for path, data in files.items():
        made = Output(path, data)
        same = before.get(path) == data
        outputs.append(UnchangedFile(path, made.digest, made.size, 0) if same else made)
    _, states = write_site(outputs, out, lambda output: None)
    assert states == {path: state(os.stat(out / path)) for path in (*files, MANIFEST)}


def folders(top: Path) -> set[str]:
    return {path.relative_to(top).as_posix() for path in top.rglob("*") if path.is_dir()}


def drawn(chance: random.Random) -> dict[str, bytes]:
    """A few files in a few folders; a name may be a file now and a folder then."""
    found: dict[str, bytes] = {}
    for _ in range(chance.randrange(1, 12)):
        path = chance.choice(FOLDERS) + chance.choice("abcde")
        around = {path[:at] for at, sign in enumerate(path) if sign == "/"}
        if not any(other.startswith(f"{path}/") or other in around for other in found):
            found[path] = chance.choice((b"one", b"two"))
    return found


@pytest.mark.parametrize("seed", range(20))
def test_sites_one_after_another(tmp_path: Path, seed: int) -> None:
    """Files that come, go, change, and turn into folders: each site is that which the same files make of nothing."""
    chance = random.Random(seed)
    for _ in range(12):
        files = drawn(chance)
        publish(tmp_path, files)
        publish(tmp_path / "fresh", files)

        assert site_of(tmp_path / "site") == site_of(tmp_path / "fresh" / "site")
        assert folders(tmp_path / "site") == folders(tmp_path / "fresh" / "site")
        shutil.rmtree(tmp_path / "fresh")


def test_an_unchanged_file_stays_the_very_same(tmp_path: Path) -> None:
    publish(tmp_path, {"same.html": b"same", "a/other.html": b"1"})
    same = (tmp_path / "site" / "same.html").stat().st_ino
    publish(tmp_path, {"same.html": b"same", "a/other.html": b"2"})

    assert (tmp_path / "site" / "same.html").stat().st_ino == same
    assert (tmp_path / "site" / "a" / "other.html").read_bytes() == b"2"


def test_without_hard_links_files_are_copied(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*given: object, **more: object) -> None:
        raise PermissionError

    monkeypatch.setattr("os.link", refuse)
    for word in (b"1", b"2"):
        publish(tmp_path, {"same.html": b"same", "a/other.html": word})

    assert (tmp_path / "site" / "same.html").read_bytes() == b"same"


def test_who_holds_the_folder_itself_never_sees_two_sites_mixed(tmp_path: Path) -> None:
    """Such as a server that was started inside of it: it has the old site, or nothing, however many builds follow."""
    files = {"same.html": b"same", "a/other.html": b"1"}
    publish(tmp_path, files)
    held = os.open(tmp_path / "site", os.O_RDONLY)
    try:
        for word in (b"2", b"3", b"4"):
            publish(tmp_path, {"same.html": b"same", "a/other.html": word})
            for path, data in files.items():
                try:
                    with open(os.open(path, os.O_RDONLY, dir_fd=held), "rb") as file:
                        assert file.read() == data
                except FileNotFoundError:
                    pass
    finally:
        os.close(held)


def test_a_published_file_is_never_written_into(tmp_path: Path) -> None:
    """Who reads a page while it is replaced reads the old one to its end."""
    publish(tmp_path, {"same.html": b"same"})
    with (tmp_path / "site" / "same.html").open("rb") as standing:
        publish(tmp_path, {"same.html": b"new"})

        assert standing.read() == b"same"
    assert (tmp_path / "site" / "same.html").read_bytes() == b"new"


def test_what_belongs_to_others_is_taken_over(tmp_path: Path) -> None:
    """Such as `.well-known`: it moves on to every site."""
    publish(tmp_path, {"same.html": b"same"})
    (tmp_path / "site" / ".well-known").mkdir()
    (tmp_path / "site" / ".well-known" / "theirs").write_text("theirs")
    for word in (b"3", b"4"):
        publish(tmp_path, {"same.html": b"same", "a/other.html": word})

        assert (tmp_path / "site" / ".well-known" / "theirs").read_text() == "theirs"


def test_nothing_is_left_beside_the_site(tmp_path: Path) -> None:
    for word in (b"1", b"2"):
        publish(tmp_path, {"page.html": word})

    assert os.listdir(tmp_path) == ["site"]
