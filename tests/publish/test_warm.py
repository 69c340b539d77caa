"""A build after an edit makes anew what the edit touches, and nothing else; and what it makes is that of a first build."""

import shutil
from collections.abc import Sequence
from contextlib import nullcontext
from pathlib import Path

import pytest

from generator.figures import tabulate
from generator.publish import worked_out
from generator.publish.build import build
from generator.specs.bike import Bike
from tests.publish.test_unchanged import tree

ROOT = Path(__file__).resolve().parents[2]
EDITED, OTHER, PRICED = "pellimor-quarl", "lumtarn-wend", "oskelm-talli"
COPIED, NEW = "karnoot-dromm", "karnoot-zwoll"


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo, built."""
    root = tmp_path_factory.mktemp("demo") / "guide"
    for name in ("bikes", "content"):
        shutil.copytree(ROOT / name, root / name)
    settings = root / "content" / "site.yaml"
    text = settings.read_text("utf-8")
    assert "untrue_sentences: stop" in text
    settings.write_text(text.replace("untrue_sentences: stop", "untrue_sentences: leave out"))
    build(root)
    return root


def rewrite(root: Path, slug: str, begins: str, line: str) -> None:
    path = root / "bikes" / f"{slug}.yaml"
    lines = path.read_text("utf-8").splitlines()
    (place,) = (at for at, each in enumerate(lines) if each.startswith(begins))
    lines[place] = line
    path.write_text("\n".join(lines) + "\n", "utf-8")


def inode(root: Path, path: str) -> int:
    return (root / "site" / path).stat().st_ino


def test_edits_one_after_another_end_in_the_site_of_a_first_build(
    demo: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A mass that overtakes others, a price that finds other neighbours, a new bike: byte for byte.

    Figures are worked out of the edited bike alone, and the page of another stays the very same file where nothing on it
    is another.
    """
    computed: list[str] = []
    original = tabulate.part

    def noting(bikes: Sequence[Bike], content, pages: bool = False):
        computed.extend(bike.slug for bike in bikes)
        return original(bikes, content, pages)

    monkeypatch.setattr(worked_out, "part", noting)
    monkeypatch.setattr(worked_out, "begun", lambda *given: nullcontext(map(*given)))
    own, other = (f"bikes/{slug}/index.html" for slug in (EDITED, OTHER))
    before = inode(demo, own), inode(demo, other)

    rewrite(demo, EDITED, "mass: 27.2 kg", "mass: 27.2 kg  # weighed twice")
    build(demo)
    assert computed == [EDITED]
    assert inode(demo, own) != before[0]
    assert inode(demo, other) == before[1]
    rewrite(demo, EDITED, "mass: ", "mass: 20.35 kg")
    rewrite(demo, PRICED, "  list: ", "  list: 2590 EUR")
    build(demo)
    assert computed == [EDITED, PRICED, EDITED]
    shutil.copy2(demo / "bikes" / f"{COPIED}.yaml", demo / "bikes" / f"{NEW}.yaml")
    rewrite(demo, NEW, "name: ", "name: Zwoll")
    build(demo)
    assert computed == [EDITED, PRICED, EDITED, NEW]

    fresh = demo.parent / "fresh"
    shutil.copytree(demo, fresh, ignore=shutil.ignore_patterns("site", ".cache"))
    shutil.copytree(demo / ".cache" / "charts", fresh / ".cache" / "charts")
    build(fresh)
    assert tree(demo / "site") == tree(fresh / "site")


def test_a_page_that_was_changed_by_hand_is_made_again(built: Path) -> None:
    """It does not stand as it was written, so it is not taken over."""
    pages = sorted((built / "site" / "bikes").glob("*/index.html"))
    wanted = pages[0].read_bytes()
    build(built)
    pages[0].write_bytes(b"changed by hand")
    about = built / "content" / "pages" / "about.md"
    about.write_text(about.read_text("utf-8") + "\nMore.\n", "utf-8")
    build(built)

    assert pages[0].read_bytes() == wanted


def test_a_store_that_was_tampered_with_changes_nothing(built: Path) -> None:
    build(built)
    for folder in ("worked", "pages"):
        for path in (built / ".cache" / folder).iterdir():
            path.write_bytes(path.read_bytes()[:-1] + b"x")
    about = built / "content" / "pages" / "about.md"
    about.write_text(about.read_text("utf-8") + "\nMore.\n", "utf-8")
    build(built)
    fresh = built.parent / "fresh"
    shutil.copytree(built, fresh, ignore=shutil.ignore_patterns("site", ".cache"))
    build(fresh)

    assert tree(built / "site") == tree(fresh / "site")
