"""Where a site must not go, and what may lie where a build puts its own files: nobody loses anything.

CWE-59 (following links), CWE-377 (names that can be foreseen).
"""

import json
import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from generator.pages.frame.output import Output
from generator.publish.build.build import build
from generator.publish.build.paths import MANIFEST
from generator.publish.build.staging import claimed_folder, place_of, write_site
from generator.publish.handout import make_handout
from generator.specs.problems import ProblemsFound
from tests.hostile.guarded import guarded
from tests.publish.conftest import publication
from tests.publish.pretend import pages, publish, whole

FENNO = "pellimor-fenno"


def everything(folder: Path) -> dict[str, str]:
    """Every name below a folder, with what it is and holds."""
    return {
        path.relative_to(folder).as_posix(): os.readlink(path)
        if path.is_symlink()
        else path.read_bytes().hex()
        if path.is_file()
        else "folder"
        for path in folder.rglob("*")
    }


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A person's folder: a publication, other work, a hidden file."""
    publication(tmp_path / "publication")
    (tmp_path / "publication" / ".git").mkdir()
    (tmp_path / "publication" / ".git" / "HEAD").write_text("ref: refs/heads/main\n")
    (tmp_path / "work").mkdir()
    (tmp_path / "work" / "thesis.txt").write_text("dear")
    (tmp_path / "hidden").mkdir()
    (tmp_path / "hidden" / ".diary").write_text("dear")
    (tmp_path / "to-work").symlink_to("work")
    (tmp_path / "to-content").symlink_to("publication/content")
    (tmp_path / "circle").symlink_to("circle")
    (tmp_path / "letter").write_text("dear")
    return tmp_path


@pytest.mark.parametrize(
    "out",
    [
        "publication", "publication/content", "publication/bikes", "publication/content/guides",
        "publication/.git", ".", "work", "hidden", "to-work", "to-content", "circle", "letter",
        "letter/site", "work/thesis.txt/site", "publication/content/../bikes", "w" * 300,
        "/".join(["w" * 200] * 40), "/", "/proc", "/dev/null", "/dev/full/site",
    ],
)  # fmt: skip
@pytest.mark.parametrize("make", ["site", "handout"])
def test_a_place_that_is_not_the_build_s(home: Path, out: str, make: str) -> None:
    """The place is refused in words that name it, and everything is as it was."""
    before = everything(home)
    root, there = home / "publication", home / out
    made = {
        "site": lambda: build(root, there),
        "handout": lambda: make_handout(root, [FENNO], there),
    }
    with pytest.raises(ProblemsFound) as found:
        made[make]()

    (problem,) = found.value.problems
    assert everything(home) == before
    assert problem.mend
    assert "\n" not in str(problem)
    if len(out) > 255:
        assert "too long" in problem.what


def test_a_home_folder_of_hidden_files_only(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """`--out ~` on a new machine: a shell's own files are somebody's too."""
    monkeypatch.setenv("HOME", str(home / "hidden"))
    with pytest.raises(ProblemsFound, match="which the build did not write"):
        build(home / "publication", Path("~").expanduser())

    assert (home / "hidden" / ".diary").read_text() == "dear"


def _file(path: Path, outside: Path) -> None:
    path.write_text("dear")


def _folder(path: Path, outside: Path) -> None:
    path.mkdir()
    (path / "a.txt").write_text("dear")


def _link(path: Path, outside: Path) -> None:
    path.symlink_to(outside)


def _link_to_folder(path: Path, outside: Path) -> None:
    path.symlink_to(outside.parent)


def _link_to_nothing(path: Path, outside: Path) -> None:
    path.symlink_to(outside.parent / "new")


def _hard_link(path: Path, outside: Path) -> None:
    os.link(outside, path)


def _pipe(path: Path, outside: Path) -> None:
    os.mkfifo(path)


def _circle(path: Path, outside: Path) -> None:
    path.symlink_to(path.name)


def _endless(path: Path, outside: Path) -> None:
    path.symlink_to("/dev/zero")


THINGS: dict[str, Callable[[Path, Path], None]] = {
    "file": _file,
    "folder": _folder,
    "link": _link,
    "link to a folder": _link_to_folder,
    "link to nothing": _link_to_nothing,
    "hard link": _hard_link,
    "pipe": _pipe,
    "circle": _circle,
    "endless device": _endless,
}


@pytest.mark.parametrize("stands", [True, False])
@pytest.mark.parametrize("thing", THINGS)
@pytest.mark.parametrize("name", [".site.lock", ".site.previous", ".site.staging-7"])
def test_a_repository_brings_a_name_of_ours(
    tmp_path: Path, name: str, thing: str, stands: bool
) -> None:
    """It is cleared away, or refused by name; what a link leads to stays as it is, and the earlier site too."""
    outside = tmp_path / "elsewhere" / "secret.txt"
    outside.parent.mkdir()
    outside.write_text("secret")
    out = tmp_path / "www" / "site"
    out.parent.mkdir()
    if stands:
        publish(out, "old")
    THINGS[thing](out.parent / name, outside)

    def published() -> list[str]:
        try:
            publish(out, "new")
        except ProblemsFound as found:
            return [str(problem) for problem in found.problems]
        return []

    told = guarded(published).answer
    assert outside.read_text() == "secret"
    assert [path.name for path in outside.parent.iterdir()] == ["secret.txt"]
    if told:
        assert name in told[0] or "a.txt" in told[0], told
        assert not stands or whole(out) == "old"
    else:
        assert whole(out) == "new"
        assert [path.name for path in out.parent.iterdir()] == ["site"]
    if name == ".site.lock" and thing != "file":
        assert told


@pytest.mark.parametrize(
    "text",
    [
        "",
        "[]",
        "null",
        "[" * 100_000,
        '{"a": ' * 50_000,
        "\xff",
        '{"letter.txt": 1}',
        "{" + "x" * 9,
    ],
)
@pytest.mark.parametrize("thing", ["text", *THINGS])
def test_a_repository_brings_a_list_of_what_was_built(
    tmp_path: Path, text: str, thing: str
) -> None:
    """Whatever it is, a folder with a letter in it is not taken for a site, unless the list says so in plain JSON."""
    out = tmp_path / "site"
    out.mkdir()
    (out / "letter.txt").write_text("dear")
    (out / "diary.txt").write_text("dear")
    if thing == "text":
        (out / MANIFEST).write_bytes(text.encode("latin-1"))
    else:
        THINGS[thing](out / MANIFEST, out / "letter.txt")

    def refused() -> str:
        with pytest.raises(ProblemsFound) as found:
            publish(out, "new")
        return str(found.value)

    assert "did not write" in guarded(refused).answer
    assert (out / "letter.txt").read_text() == (out / "diary.txt").read_text() == "dear"


def test_a_list_that_names_places_elsewhere(tmp_path: Path) -> None:
    """Names in it are compared and never opened."""
    out, letter = tmp_path / "site", tmp_path / "letter.txt"
    letter.write_text("dear")
    publish(out, "old")
    listed = json.loads((out / MANIFEST).read_text())
    listed |= {"../letter.txt": "x", str(letter): "x", "": "x", ".": 5, "\x00": None}
    (out / MANIFEST).write_text(json.dumps(listed))
    publish(out, "new")

    assert whole(out) == "new"
    assert letter.read_text() == "dear"


def test_what_others_keep_in_a_site_is_copied_as_it_is(tmp_path: Path) -> None:
    """Links among hidden names stay links, so nothing from elsewhere is published by them."""
    out, letter = tmp_path / "site", tmp_path / "letter.txt"
    letter.write_text("dear")
    publish(out, "old")
    (out / ".well-known").mkdir()
    (out / ".well-known" / "link").symlink_to(letter)
    (out / ".link").symlink_to(tmp_path)
    publish(out, "new")

    assert os.readlink(out / ".well-known" / "link") == str(letter)
    assert os.readlink(out / ".link") == str(tmp_path)


def test_a_pipe_among_hidden_names(tmp_path: Path) -> None:
    """It cannot be copied; that is said, and the earlier site stays."""
    out = tmp_path / "site"
    publish(out, "old")
    os.mkfifo(out / ".pipe")

    def refused() -> str:
        with pytest.raises(ProblemsFound) as found:
            publish(out, "new")
        return str(found.value)

    assert ".pipe" in guarded(refused).answer
    assert whole(out) == "old"
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_a_folder_that_goes_while_a_build_is_at_work(tmp_path: Path) -> None:
    """Somebody deletes the folder around it: words, no traceback, and the next build makes it again."""
    out = tmp_path / "www" / "site"

    def going() -> Iterator[Output]:
        yield from pages("half")
        shutil.rmtree(out.parent)
        yield from [Output("more/index.html", b"x")]

    with pytest.raises(ProblemsFound, match="no such file"), claimed_folder(out):
        write_site(going(), out, lambda output: None)
    publish(out, "new")

    assert whole(out) == "new"
    assert [path.name for path in out.parent.iterdir()] == ["site"]


def test_the_way_to_a_place(tmp_path: Path) -> None:
    """A link to a folder that is not there yet leads there."""
    (tmp_path / "link").symlink_to("deep/site")

    assert place_of(tmp_path / "link") == tmp_path / "deep" / "site"
