"""A build of what was built already: found at once, and never where anything is not as it was."""

import json
import os
import random
import re
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from generator.publish.build.build import build
from generator.publish.build.manifest import Manifest, find_unchanged, read_manifest
from generator.publish.build.paths import state
from generator.publish.build.summary import Changes, Summary
from generator.publish.cache.cache import Cache
from generator.publish.cache.inputs import read_inputs
from generator.publish.report import format_summary
from generator.specs.problems import Problem
from tests.project import ROOT

WARNED = Problem("bikes/a.yaml", 3, 1, "a claim is high", "Check it", "warning")


@pytest.fixture
def built_once(tmp_path: Path) -> tuple[Path, Path]:
    """A publication and its site, small and invented, noted as built."""
    root = tmp_path / "ride ö"
    for name in ("bikes/a.yaml", "bikes/b.yaml", "content/site.yaml", "content/guides/g.md"):
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(f"of {name}\n")
    site = root / "site"
    (site / "bikes").mkdir(parents=True)
    for name in ("index.html", "bikes/a.html"):
        (site / name).write_text(f"page {name}")
    (site / ".built.json").write_text(json.dumps({"index.html": "1", "bikes/a.html": "2"}))
    note(root, site)
    return root, site


def note(root: Path, site: Path) -> None:
    changes = Changes(changed=("index.html",))
    summary = Summary(str(site), 2, 1, 0, 2, 9, 1, 99, 8.5, changes=changes, warnings=(WARNED,))
    inputs = read_inputs(root)
    assert inputs
    Manifest(inputs.whole, "base", summary, states_in(site)).keep(cache_of(root), root, site)


def states_in(site: Path) -> dict[str, list[int]]:
    files = (path for path in site.rglob("*") if path.is_file())
    return {path.relative_to(site).as_posix(): state(path.stat()) for path in files}


def cache_of(root: Path) -> Cache:
    return Cache(root.parent / "cache")


def kept(root: Path, site: Path) -> Summary | None:
    inputs = read_inputs(root)
    manifest = read_manifest(cache_of(root), root, site)
    return find_unchanged(manifest, inputs.whole, site) if inputs else None


def test_nothing_changed(built_once: tuple[Path, Path]) -> None:
    """Its numbers and warnings are told again, and no page as changed."""
    found = kept(*built_once)

    assert found is not None
    assert found.kept
    assert (found.bikes, found.figures, found.bytes) == (2, 9, 99)
    assert found.warnings == (WARNED,)
    assert [line.partition(";")[0] for line in format_summary(found)] == ["Nothing has changed"]


CHANGES: dict[str, Callable[[Path, Path], object]] = {
    "a bike edited": lambda root, site: (root / "bikes/a.yaml").write_text("of bikes/A.yaml\n"),
    "a bike more": lambda root, site: (root / "bikes/c.yaml").write_text("new\n"),
    "a bike less": lambda root, site: (root / "bikes/b.yaml").unlink(),
    "a bike renamed": lambda root, site: (root / "bikes/b.yaml").rename(root / "bikes/d.yaml"),
    "two bikes exchanged": lambda root, site: (
        (root / "bikes/a.yaml").rename(root / "bikes/x"),
        (root / "bikes/b.yaml").rename(root / "bikes/a.yaml"),
        (root / "bikes/x").rename(root / "bikes/b.yaml"),
    ),
    "a text edited": lambda root, site: (root / "content/guides/g.md").write_text("other\n"),
    "a template of its own": lambda root, site: (
        (root / "templates").mkdir(),
        (root / "templates/page.html").write_text("mine"),
    ),
    "a bike became a pipe": lambda root, site: (
        (root / "bikes/a.yaml").unlink(),
        os.mkfifo(root / "bikes/a.yaml"),
    ),
    "a bike became a folder": lambda root, site: (
        (root / "bikes/a.yaml").unlink(),
        (root / "bikes/a.yaml").mkdir(),
    ),
    "a page edited": lambda root, site: (site / "index.html").write_text("PAGE index.html, mine"),
    "a page deleted": lambda root, site: (site / "bikes/a.html").unlink(),
    "a page written anew": lambda root, site: os.utime(site / "index.html", ns=(1, 1)),
    "a page became a link": lambda root, site: (
        (site / "index.html").rename(root / "index.html"),
        (site / "index.html").symlink_to(root / "index.html"),
    ),
    "the list of pages gone": lambda root, site: (site / ".built.json").unlink(),
    "the list of pages edited": lambda root, site: (site / ".built.json").write_text("{}"),
    "the list of pages no list": lambda root, site: (site / ".built.json").write_text("7"),
    "the site gone": lambda root, site: site.rename(root / "elsewhere"),
    "the notes gone": lambda root, site: only_note(root).unlink(),
    "the note cut short": lambda root, site: only_note(root).write_bytes(
        only_note(root).read_bytes()[:-9]
    ),
    "the note edited": lambda root, site: only_note(root).write_bytes(
        only_note(root).read_bytes().replace(b"a claim is high", b"a claim is low!")
    ),
    "the note nonsense": lambda root, site: only_note(root).write_bytes(b"\xff\xfe\n{}"),
    "the note of another program": lambda root, site: cache_of(root).put(
        only_note(root).name, b"\x93\x01\x02\x03"
    ),
}


def only_note(root: Path) -> Path:
    (found,) = (root.parent / "cache").glob("*/*")
    return found


@pytest.mark.parametrize("name", CHANGES)
def test_whatever_changed_is_noticed(built_once: tuple[Path, Path], name: str) -> None:
    """So a build is never left out where it would make something else."""
    CHANGES[name](*built_once)

    assert kept(*built_once) is None


def test_the_day_and_the_program_count(
    built_once: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    root, site = built_once
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1764000000")
    assert kept(root, site) is None
    monkeypatch.undo()
    assert kept(root, site)
    monkeypatch.syspath_prepend(str(tmp_path / "packages"))
    (tmp_path / "packages" / "other-1.0.dist-info").mkdir(parents=True)
    assert kept(root, site) is None
    monkeypatch.undo()
    program = tmp_path / "generator"
    program.mkdir()
    monkeypatch.setattr("generator.specs.program.PACKAGE", program)
    assert kept(root, site) is None


def test_a_note_holds_for_its_own_folder_alone(built_once: tuple[Path, Path]) -> None:
    """Nor does it when it is put in the place of another folder's."""
    root, site = built_once
    other = root / "other"
    other.mkdir()
    for path in sorted(site.rglob("*")):
        target = other / path.relative_to(site)
        if path.is_dir():
            target.mkdir()
        else:
            target.write_bytes(path.read_bytes())
            os.utime(target, ns=(0, path.stat().st_mtime_ns))
    mine = only_note(root)
    assert kept(root, other) is None
    note(root, other)
    (theirs,) = set((root.parent / "cache").glob("*/*")) - {mine}
    assert kept(root, other)
    theirs.write_bytes(mine.read_bytes())
    assert kept(root, other) is None


def test_a_cache_that_takes_nothing_costs_time_alone(built_once: tuple[Path, Path]) -> None:
    root, site = built_once
    shutil.rmtree(root.parent / "cache")
    (root.parent / "cache").write_text("a file stands where the folder should be")
    note(root, site)

    assert kept(root, site) is None


@pytest.mark.parametrize(
    "file", ["content/pages/about.md", "bikes/pellimor-fenno.yaml", "templates/parts/footer.html"]
)
def test_a_file_that_is_edited_during_a_build_and_put_back_is_noticed(
    built: Path, file: str
) -> None:
    """The build says so, and the next one does not take its site for that of the files that stand."""
    path = built / file
    path.parent.mkdir(parents=True, exist_ok=True)
    if not path.exists():
        path.write_text((ROOT / file).read_text("utf-8"), "utf-8")
    before = path.read_text("utf-8")
    new = (
        before.replace("name: Fenno", "name: Strange")
        if "name: Fenno" in before
        else before + "STRANGE"
    )

    spec = built / "bikes" / "pellimor-trial.yaml"
    spec.write_text(spec.read_text("utf-8").replace("name: Trial", "name: Trial2"), "utf-8")
    first = iter([True])

    def disturb(share: float, what: str) -> None:
        if share > 0.0 and next(first, False):
            path.write_text(new, "utf-8")
        if what.endswith("sitemap.xml"):
            path.write_text(before, "utf-8")

    summary = build(built, progress=disturb)
    again = build(built)

    assert [each.file for each in summary.warnings if "was written while" in each.what] == [file]
    assert not again.kept
    build(built, built.parent / "fresh")
    assert tree(built / "site") == tree(built.parent / "fresh")


def test_the_whole_command(built: Path) -> None:
    """The second build leaves every file as it is; after an edit the third makes what a fresh build makes."""
    first = build(built)
    state = state_of(built / "site")
    second = build(built)
    assert (first.kept, second.kept) == (False, True)
    assert state_of(built / "site") == state
    assert second.pages == first.pages

    spec = built / "bikes" / "pellimor-trial.yaml"
    spec.write_text(spec.read_text("utf-8").replace("name: Trial", "name: Trial2"), "utf-8")
    third = build(built)
    fresh = build(built, built.parent / "fresh")
    assert not third.kept
    assert not fresh.kept
    assert tree(built / "site") == tree(built.parent / "fresh")


def state_of(folder: Path) -> dict[Path, tuple[int, int, int]]:
    every = {path: path.stat() for path in folder.rglob("*")}
    return {path: (at.st_ino, at.st_size, at.st_mtime_ns) for path, at in every.items()}


@contextmanager
def own_cache(monkeypatch: pytest.MonkeyPatch, folder: Path) -> Iterator[None]:
    """Build with a cache of its own, which is empty at first."""
    with monkeypatch.context() as changed:
        changed.setenv("XDG_CACHE_HOME", str(folder))
        yield


def tree(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_after_any_change_the_site_is_that_of_a_first_build(
    built: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Edits, deletions and renames by chance, always the same ones: with all that is kept, byte for byte as with nothing."""
    chance = random.Random(7)
    bikes = built / "bikes"
    done: list[str] = []
    for turn in range(6):
        names = sorted(path.name for path in bikes.glob("*.yaml"))
        what = chance.choice(["edit", "add", "rename", "text"] + ["delete"] * (len(names) > 1))
        path = bikes / chance.choice(names)
        if what == "edit":
            text = re.sub(r"(?m)^mass: .*$", f"mass: {20 + turn}.5 kg", path.read_text("utf-8"))
            path.write_text(text, "utf-8")
        elif what == "add":
            shutil.copy2(path, bikes / f"pellimor-new-{turn}.yaml")
        elif what == "rename":
            path.rename(bikes / f"pellimor-other-{turn}.yaml")
        elif what == "delete":
            path.unlink()
        else:
            about = built / "content" / "pages" / "about.md"
            about.write_text(about.read_text("utf-8") + f"\nLine {turn}.\n", "utf-8")
        if "pellimor-fenno.yaml" not in {each.name for each in bikes.glob("*.yaml")}:
            (built / "content" / "guides" / "two.md").unlink(missing_ok=True)  # it names that bike
        done.append(what)
        build(built)
        again = build(built)
        fresh = built.parent / f"fresh-{turn}"
        shutil.copytree(built, fresh, ignore=shutil.ignore_patterns("site"))
        with own_cache(monkeypatch, built.parent / f"cache-{turn}"):
            build(fresh)
        assert again.kept, done
        assert tree(built / "site") == tree(fresh / "site"), done
    assert len(set(done)) >= 4, done
