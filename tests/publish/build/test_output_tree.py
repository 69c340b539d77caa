"""The next site is made of the one before last: what comes out is what would have come out of nothing."""

import os
import random
import shutil
from pathlib import Path

import pytest

from generator.pages.frame.output import Output, Standing
from generator.publish.build import output_tree
from generator.publish.build.staging import write_site
from generator.publish.build.unchanged import states_in
from tests.publish.site_on_disk import site_of

FOLDERS = ("", "a/", "a/b/", "c/", "c/a/", "c/d/e/")


def spare_in(root: Path) -> Path:
    found = output_tree.spare_of(root, root / "site")
    assert found is not None
    return found.place


def publish(root: Path, files: dict[str, bytes], spare: Path | None) -> None:
    """Build `files`; those that the site of now has alike stay the very same."""
    out = root / "site"
    root.mkdir(exist_ok=True)
    before = site_of(out) if out.exists() else {}
    outputs = []
    for path, data in files.items():
        made = Output(path, data)
        outputs.append(
            Standing(path, made.digest, made.size, 0) if before.get(path) == data else made
        )
    _, states = write_site(
        outputs, out, lambda output: None, output_tree.Spare(spare) if spare else None
    )
    assert states == states_in(out)


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
    chance, spare = random.Random(seed), spare_in(tmp_path)
    (tmp_path / ".cache").mkdir()
    for _ in range(12):
        files = drawn(chance)
        publish(tmp_path, files, spare)
        publish(tmp_path / "fresh", files, None)

        assert site_of(tmp_path / "site") == site_of(tmp_path / "fresh" / "site")
        assert folders(tmp_path / "site") == folders(tmp_path / "fresh" / "site")
        shutil.rmtree(tmp_path / "fresh")


def three(root: Path, spare: Path) -> None:
    """Two sites, so that there is a spare one."""
    for word in (b"1", b"2"):
        publish(root, {"same.html": b"same", "a/other.html": word}, spare)


def test_a_small_change_makes_few_files(tmp_path: Path) -> None:
    spare = spare_in(tmp_path)
    (tmp_path / ".cache").mkdir()
    three(tmp_path, spare)
    same, folder = ((spare / name).stat().st_ino for name in ("same.html", "a"))
    publish(tmp_path, {"same.html": b"same", "a/other.html": b"3"}, spare)

    assert (tmp_path / "site" / "same.html").stat().st_ino == same
    assert (tmp_path / "site" / "a").stat().st_ino == folder
    assert (tmp_path / "site" / "a" / "other.html").read_bytes() == b"3"


def test_a_published_file_is_never_written_into(tmp_path: Path) -> None:
    """The spare site has the same file as the one that stands, so a new text is a new file."""
    spare = spare_in(tmp_path)
    (tmp_path / ".cache").mkdir()
    three(tmp_path, spare)
    standing = (tmp_path / "site" / "same.html").open("rb")
    publish(tmp_path, {"same.html": b"new", "a/other.html": b"2"}, spare)

    assert standing.read() == b"same"
    standing.close()
    assert (tmp_path / "site" / "same.html").read_bytes() == b"new"


def foreign_file(spare: Path, elsewhere: Path) -> None:
    (spare / "a" / "foreign.html").write_text("brought")


def changed_file(spare: Path, elsewhere: Path) -> None:
    (spare / "same.html").unlink()
    (spare / "same.html").write_text("brought")


def link_to_file(spare: Path, elsewhere: Path) -> None:
    (spare / "a" / "other.html").unlink()
    (spare / "a" / "other.html").symlink_to(elsewhere / "kept")


def link_to_folder(spare: Path, elsewhere: Path) -> None:
    shutil.rmtree(spare / "a")
    (spare / "a").symlink_to(elsewhere)


def link_itself(spare: Path, elsewhere: Path) -> None:
    shutil.rmtree(spare)
    spare.symlink_to(elsewhere)


def link_around(spare: Path, elsewhere: Path) -> None:
    shutil.rmtree(spare.parent)
    spare.parent.symlink_to(elsewhere)
    (elsewhere / spare.name).mkdir()
    (elsewhere / spare.name / "kept too").write_text("kept too")


def pipe(spare: Path, elsewhere: Path) -> None:
    os.mkfifo(spare / "pipe")


def file_in_its_place(spare: Path, elsewhere: Path) -> None:
    shutil.rmtree(spare)
    spare.write_text("brought")


@pytest.mark.parametrize(
    "spoil",
    [
        foreign_file,
        changed_file,
        link_to_file,
        link_to_folder,
        link_itself,
        link_around,
        pipe,
        file_in_its_place,
    ],
)
def test_what_others_put_there_is_not_published_and_nothing_elsewhere_is_touched(
    tmp_path: Path, spoil
) -> None:
    spare, elsewhere = spare_in(tmp_path), tmp_path / "elsewhere"
    (tmp_path / ".cache").mkdir()
    elsewhere.mkdir()
    (elsewhere / "kept").write_text("kept")
    three(tmp_path, spare)
    spoil(spare, elsewhere)
    before = site_of(elsewhere)
    for word in (b"3", b"4"):
        files = {"same.html": b"same", "a/other.html": word}
        publish(tmp_path, files, spare)
        site = site_of(tmp_path / "site")
        site.pop(".built.json")

        assert site == files
        assert site_of(elsewhere) == before


def test_what_belongs_to_others_is_taken_over_and_not_kept_twice(tmp_path: Path) -> None:
    """Such as `.nojekyll`: it moves on to every site, and the spare one has none."""
    spare = spare_in(tmp_path)
    (tmp_path / ".cache").mkdir()
    three(tmp_path, spare)
    (tmp_path / "site" / ".well-known").mkdir()
    (tmp_path / "site" / ".well-known" / "theirs").write_text("theirs")
    for word in (b"3", b"4"):
        publish(tmp_path, {"same.html": b"same", "a/other.html": word}, spare)

        assert (tmp_path / "site" / ".well-known" / "theirs").read_text() == "theirs"
        assert [name for name in os.listdir(spare) if name.startswith(".")] == []


def test_there_is_one_spare_site_at_a_time(tmp_path: Path) -> None:
    """Whoever builds to many folders does not fill the disk."""
    spare = spare_in(tmp_path)
    (tmp_path / ".cache").mkdir()
    other = spare.with_name("0" * 64)
    other.mkdir(parents=True)
    (spare.parent / "not ours").write_text("stays")
    three(tmp_path, spare)

    assert sorted(os.listdir(spare.parent)) == sorted([spare.name, "not ours"])
