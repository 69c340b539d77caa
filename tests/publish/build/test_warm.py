"""A build after an edit makes anew what the edit touches, and nothing else; and what it makes is that of a first build."""

import random
import shutil
from collections.abc import Callable, Sequence
from contextlib import nullcontext
from functools import partial
from pathlib import Path

import pytest

from generator.content.model import Content
from generator.figures.table import tabulate
from generator.publish.build import table
from generator.publish.build.build import build
from generator.specs.bike import Bike
from tests.project import ROOT
from tests.publish.build.test_manifest import own_cache, tree

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


def first_built(root: Path) -> dict[str, bytes]:
    """Build the same publication with nothing kept."""
    fresh = root.parent / "fresh"
    shutil.rmtree(fresh, ignore_errors=True)
    shutil.copytree(root, fresh, ignore=shutil.ignore_patterns("site"))
    with pytest.MonkeyPatch.context() as patch, own_cache(patch, fresh / "cache"):
        build(fresh)
    return tree(fresh / "site")


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
    original = tabulate.compute_bikes

    def noting(bikes: Sequence[Bike], content: Content, *, for_pages: bool = False):
        computed.extend(bike.slug for bike in bikes)
        return original(bikes, content, for_pages=for_pages)

    monkeypatch.setattr(table, "compute_bikes", noting)
    monkeypatch.setattr(table, "start_in_processes", lambda *given: nullcontext(map(*given)))
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

    assert tree(demo / "site") == first_built(demo)


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


def test_a_cache_that_was_tampered_with_changes_nothing(
    built: Path, cache_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with own_cache(monkeypatch, built.parent / "cache"):
        build(built)
        entries = [path for path in (built.parent / "cache").rglob("*") if path.is_file()]
        assert len(entries) > 10
        for path in entries:
            path.write_bytes(path.read_bytes()[:-1] + b"x")
        about = built / "content" / "pages" / "about.md"
        about.write_text(about.read_text("utf-8") + "\nMore.\n", "utf-8")
        build(built)

    assert tree(built / "site") == first_built(built)


def test_what_comes_with_a_publication_is_not_taken_for_the_cache(
    built: Path, cache_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An archive may bring a folder that looks like one, with a script of its own as the chart library."""
    key = "ab" * 32
    for folder in (built / ".cache", built / ".cache" / "charts", built / "bike-guide-generator"):
        (folder / key[:2]).mkdir(parents=True)
        (folder / key[:2] / key).write_bytes(b"alert(1)")
        (folder / f"{key}.js").write_bytes(b"alert(1)")
    with own_cache(monkeypatch, built.parent / "cache"):
        about = built / "content" / "pages" / "about.md"
        about.write_text(about.read_text("utf-8") + "\nMore.\n", "utf-8")
        build(built)

    assert not [path for path, data in tree(built / "site").items() if b"alert(1)" in data]


def test_twenty_builds_to_twenty_places_keep_little(
    built: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Beside figures and drawings, which all share, each place costs its manifest."""
    cache = built.parent / "cache"

    def size() -> int:
        return sum(path.stat().st_size for path in cache.rglob("*") if path.is_file())

    with own_cache(monkeypatch, cache):
        build(built, built.parent / "place-0")
        first = size()
        for number in range(1, 20):
            build(built, built.parent / f"place-{number}")

    assert size() < first + 19 * 60_000


GUIDE = "hub-or-mid"
BIKES, PAIRS, PRICES = "bikes/*/index.html", "compare/*/index.html", "bikes/*/prices/index.html"
LISTS, GUIDES, TERMS = "uses/*/index.html", "guides/*/index.html", "glossary/*/index.html"
PAGES = "about/index.html", "method/index.html"


def added(root: Path, file: str, words: str) -> None:
    """A text with more at its end."""
    path = root / "content" / file
    path.write_text(path.read_text("utf-8") + words, "utf-8")


def put(root: Path, file: str, old: str, new: str) -> None:
    """A text with something else at one place."""
    path = root / "content" / file
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")


@pytest.mark.parametrize(
    ("file", "edit", "stay", "page"),
    [
        (
            f"guides/{GUIDE}.md",
            partial(added, words="\nONE MORE.\n"),
            {BIKES, PAIRS, PRICES, LISTS, TERMS, *PAGES},
            f"guides/{GUIDE}/index.html",
        ),
        (
            "glossary/jerk.md",
            partial(added, words="\nONE MORE.\n"),
            {BIKES, PAIRS, PRICES, LISTS, GUIDES, *PAGES},
            "glossary/jerk/index.html",
        ),
        (
            "glossary/jerk.md",
            partial(put, old="title: ", new="title: ONE MORE "),
            set(),
            "glossary/jerk/index.html",
        ),
        (
            "lists/two-sensors.md",
            partial(added, words="\nONE MORE.\n"),
            {BIKES, PAIRS, PRICES, LISTS, GUIDES, TERMS, *PAGES},
            "lists/two-sensors/index.html",
        ),
        (
            "pages/about.md",
            partial(added, words="\nONE MORE.\n"),
            {BIKES, PAIRS, PRICES, LISTS, GUIDES, TERMS},
            "about/index.html",
        ),
        (
            "changelog.md",
            partial(added, words="\nONE MORE.\n"),
            {BIKES, PAIRS, PRICES, LISTS, GUIDES, TERMS},
            "changelog/index.html",
        ),
        (
            "prices.csv",
            partial(put, old="Quay Wheels", new="ONE MORE"),
            {BIKES, PAIRS, LISTS, GUIDES, TERMS, *PAGES},
            "bikes/lumtarn-izzul/prices/index.html",
        ),
    ],
    ids=["guide", "term", "name of a term", "list", "page", "changelog", "price"],
)
def test_what_does_not_tell_of_a_text_stays(
    demo: Path, file: str, edit: Callable[[Path, str], None], stay: set[str], page: str
) -> None:
    """An edit of a text leaves all pages that say nothing of it the very same files, but the page that holds it."""
    build(demo)
    site = demo / "site"
    pages = [
        found
        for pattern in stay
        for path in site.glob(pattern)
        if (found := path.relative_to(site).as_posix()) != page
    ]
    assert len(pages) >= len(stay)
    before = {found: inode(demo, found) for found in pages}
    edit(demo, file)
    build(demo)

    assert [found for found in pages if inode(demo, found) != before[found]] == []
    assert "ONE MORE" in (site / page).read_text("utf-8")
    assert tree(site) == first_built(demo)


USES = ("city", "commuting", "touring", "cargo", "folding", "mountain", "leisure")
EDITS: dict[str, Callable[[random.Random], str]] = {
    "mass: ": lambda chance: f"mass: {chance.uniform(14.0, 38.0):.1f} kg",
    "  list: ": lambda chance: f"  list: {chance.randrange(500, 7000)} {chance.choice(MONEY)}",
    "uses: ": lambda chance: f"uses: [{', '.join(chance.sample(USES, chance.randrange(1, 4)))}]",
    "status: ": lambda chance: f"status: {chance.choice(('on sale', 'announced', 'withdrawn'))}",
    "name: ": lambda chance: f"name: Other {chance.randrange(1000)}",
}
MONEY = ("EUR", "CHF")
CONTENT: tuple[Callable[[Path], None], ...] = (
    partial(put, file="glossary/torque.md", old="aliases: [", new="aliases: [strong motor, "),
    partial(put, file="lists/climbers-under-2500.md", old="at least 15 %", new="at least 9 %"),
    partial(
        put, file="links.yaml", old="quay-wheels.example/?from", new="quay-wheels.example/new?from"
    ),
    partial(put, file="prices.csv", old="lumtarn-izzul,", new="lumtarn-wend,"),
    partial(added, file=f"guides/{GUIDE}.md", words="\nAnd the {{ term('torque') }}.\n"),
    partial(put, file="riders.yaml", old="power: 80 W", new="power: 82 W"),
    partial(put, file="glossary/torque.md", old="title: Torque", new="title: The torque"),
    partial(put, file="site.yaml", old="stale_price_days: 120", new="stale_price_days: 3"),
)
"""One edit a turn."""


def test_edits_by_chance_end_in_the_site_of_a_first_build(demo: Path) -> None:
    """What lists, the chooser and neighbours read of a bike, bikes that come and go, and texts; always the same edits."""
    chance = random.Random(12)
    bikes = sorted((demo / "bikes").glob("*.yaml"))
    for turn in range(8):
        for begins in chance.sample(sorted(EDITS), 2):
            path = chance.choice(bikes)
            if f"\n{begins}" in path.read_text("utf-8"):
                rewrite(demo, path.stem, begins, EDITS[begins](chance))
        if turn in (2, 5):
            shutil.copy2(chance.choice(bikes), demo / "bikes" / f"{NEW}-{turn}.yaml")
        CONTENT[turn](demo)
        if turn == 6:
            (demo / "bikes" / f"{NEW}-2.yaml").unlink()
        build(demo)

    assert tree(demo / "site") == first_built(demo)
