"""What may lie where a file is read: links, pipes, devices, folders. Nothing hangs, nothing from elsewhere is read.

CWE-59 (following links), CWE-67 and CWE-552 (files that are devices, files of others). git keeps links as they are, so a
pull request may bring one; pipes and devices come with archives and shared folders.
"""

import os
import shutil
import socket
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from generator.content.read import read_content
from generator.pages.frame import assets, site_colours
from generator.pages.frame.renderer import make_environment
from generator.publish.vet.check import check_publication
from generator.specs.problems import Problem, ProblemsFound
from generator.specs.read import read_bikes
from tests.content.publication import write_content
from tests.hostile.guarded import guarded
from tests.pages.rendered import built
from tests.project import ROOT

SECRET = "name: the secret of another folder\n"
READ = (
    "bikes/maker-extra.yaml",
    "bikes/bike.schema.json",
    "content/site.yaml",
    "content/riders.yaml",
    "content/sources.yaml",
    "content/links.yaml",
    "content/prices.csv",
    "content/changelog.md",
    "content/routes/routes.yaml",
    "content/routes/flat.csv",
    "content/guides/extra.md",
    "content/glossary/extra.md",
    "content/pages/extra.md",
    "content/lists/extra.md",
    "content/releases/2026-01-01.json",
)
FOLDERS = ("content/guides", "content/glossary", "content/pages", "content/lists")
TEMPLATES = ("styles/tokens.css", "styles/base.css", "scripts/load.js", "icon.svg")


def _pipe(path: Path, outside: Path) -> None:
    os.mkfifo(path)


def _folder(path: Path, outside: Path) -> None:
    path.mkdir()
    (path / "more.yaml").write_text(SECRET, "utf-8")


def _socket(path: Path, outside: Path) -> None:
    here = Path.cwd()
    os.chdir(path.parent)  # the name of a socket is short
    try:
        with socket.socket(socket.AF_UNIX) as made:
            made.bind(path.name)
    finally:
        os.chdir(here)


def _zero(path: Path, outside: Path) -> None:
    path.symlink_to("/dev/zero")


def _standard_input(path: Path, outside: Path) -> None:
    path.symlink_to("/dev/stdin")


def _out(path: Path, outside: Path) -> None:
    path.symlink_to(outside / "secret")


def _dots(path: Path, outside: Path) -> None:
    path.symlink_to(os.path.relpath(outside / "secret", path.parent))


def _nowhere(path: Path, outside: Path) -> None:
    path.symlink_to("nothing/here")


def _circle(path: Path, outside: Path) -> None:
    path.symlink_to(path.name)


THINGS: dict[str, Callable[[Path, Path], None]] = {
    "pipe": _pipe,
    "folder": _folder,
    "socket": _socket,
    "endless device": _zero,
    "standard input": _standard_input,
    "link out": _out,
    "link out by dots": _dots,
    "link to nothing": _nowhere,
    "link in a circle": _circle,
}


@pytest.fixture
def root(tmp_path: Path) -> Path:
    outside = tmp_path / "outside"
    outside.mkdir()
    (outside / "secret").write_text(SECRET, "utf-8")
    root = write_content(tmp_path / "publication")
    (root / "bikes").mkdir()
    for name in ("pellimor-fenno.yaml", "bike.schema.json"):
        shutil.copy(ROOT / "bikes" / name, root / "bikes")
    return root


def put(root: Path, place: str, thing: str) -> None:
    path = root / place
    path.parent.mkdir(parents=True, exist_ok=True)
    if path.is_dir():
        shutil.rmtree(path)
    else:
        path.unlink(missing_ok=True)
    THINGS[thing](path, root.parent / "outside")


def told(problems: list[Problem]) -> list[Any]:
    return [[each.file, each.severity, str(each)] for each in problems]


@pytest.mark.parametrize("thing", THINGS)
@pytest.mark.parametrize("place", READ)
def test_what_lies_in_a_file_s_place(root: Path, place: str, thing: str) -> None:
    """Is an error of that file, at once."""
    put(root, place, thing)
    found = guarded(lambda: told([*read_content(root)[1], *read_bikes(root)[1]])).answer

    errors = {file for file, severity, _ in found if severity == "error"}
    if thing == "folder" and place.startswith("content/") and place.endswith("extra.md"):
        assert [place, "warning"] in [each[:2] for each in found]  # a folder in a folder of texts
    else:
        assert place in errors, found
    assert not any("secret of another" in words for *_, words in found)


@pytest.mark.parametrize("thing", [thing for thing in THINGS if thing != "folder"])
@pytest.mark.parametrize("place", FOLDERS)
def test_what_lies_in_a_folder_s_place(root: Path, place: str, thing: str) -> None:
    """A folder of texts is never passed over in silence because it is none."""
    put(root, place, thing)
    found = guarded(lambda: told(read_content(root)[1])).answer

    assert place in {file for file, severity, _ in found if severity == "error"}, found


@pytest.mark.parametrize("place", ["bikes", "content"])
def test_no_folder_at_all(root: Path, place: str) -> None:
    for thing in THINGS:
        put(root, place, thing)
        found = guarded(lambda: told(check_publication(root))).answer

        assert any(file.split("/")[0] == place for file, *_ in found), thing
        assert not any("secret of another" in words for *_, words in found)


@pytest.mark.parametrize("thing", THINGS)
@pytest.mark.parametrize("place", TEMPLATES)
def test_what_lies_in_a_template_s_place(root: Path, place: str, thing: str) -> None:
    """Styles, scripts and pictures that a publication brings are its own, and are files."""
    put(root, f"templates/{place}", thing)

    def made() -> list[Any]:
        try:
            list(assets.outputs(root))
            site_colours.read_schemes(root)
        except ProblemsFound as found:
            return told(list(found.problems))
        return []

    (problem,) = guarded(made).answer
    assert problem[0] == f"templates/{place}"


def test_a_template_of_others_is_not_rendered(root: Path) -> None:
    """Nor read: the page would hold it."""
    for thing in THINGS:
        put(root, "templates/pages/home.html", thing)
        with pytest.raises(ProblemsFound, match=r"templates/pages/home\.html"):
            make_environment(root).get_template("pages/home.html")


@pytest.mark.parametrize(
    ("name", "text", "line", "what"),
    [
        ("pages/home.html", "a\n{% if %}", 2, "Expected an expression"),
        ("pages/home.html", "a\nb\n{{ nothing_here }}", 3, "'nothing_here' is undefined"),
        ("parts/footer.html", "{{ 1 / 0 }}", 1, "division by zero"),
        ("parts/footer.html", "\n{% include 'parts/none.html' %}", 2, "parts/none.html"),
        ("parts/footer.html", "{% for a in 5 %}{% endfor %}", 1, "not iterable"),
    ],
)
def test_a_template_that_cannot_be_worked_out(
    tmp_path: Path, name: str, text: str, line: int, what: str
) -> None:
    """Is a problem of its file, with its line."""
    path = tmp_path / "templates" / name
    path.parent.mkdir(parents=True)
    path.write_text(text, "utf-8")
    with pytest.raises(ProblemsFound) as found:
        built(root=tmp_path)

    (problem,) = found.value.problems
    assert (problem.file, problem.line) == (f"templates/{name}", line)
    assert what in problem.what


@pytest.mark.parametrize("raw", [b"\xff\xfe", b"\x89PNG\r\n\x1a\n", b"a\x00b", b"x" * 300_000])
def test_a_template_that_is_no_text(root: Path, raw: bytes) -> None:
    path = root / "templates" / "styles" / "base.css"
    path.parent.mkdir(parents=True)
    path.write_bytes(raw)

    with pytest.raises(ProblemsFound, match=r"templates/styles/base\.css"):
        list(assets.outputs(root))


def test_a_hard_link_is_a_file(root: Path) -> None:
    """It cannot be told from one, and only who could read the file anyway can make one; CWE-62 asks no more of a reader."""
    os.link(root / "content/guides/first-guide.md", root / "content/guides/again.md")
    content, problems = read_content(root)

    assert problems == []
    assert content is not None
    assert [guide.slug for guide in content.guides] == ["again", "first-guide"]


def test_a_file_that_goes_between_listing_and_reading(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Such as an editor's file that lives for a moment."""
    (root / "content/guides/extra.md").write_text("---\ntitle: a\nsummary: b\n---\n", "utf-8")
    extra = shutil.copy(root / "bikes/pellimor-fenno.yaml", root / "bikes/maker-extra.yaml")
    real = Path.iterdir

    def listed(folder: Path) -> Any:
        entries = list(real(folder))
        for gone in (root / "content/guides/extra.md", extra):
            if gone.parent == folder:
                gone.unlink(missing_ok=True)
        return iter(entries)

    monkeypatch.setattr(Path, "iterdir", listed)
    files = [each.file for each in (*read_content(root)[1], *read_bikes(root)[1])]

    assert files == ["content/guides/extra.md", "bikes/maker-extra.yaml"]
