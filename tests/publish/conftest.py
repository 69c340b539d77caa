"""A small publication: two bikes of the demo, its riders and routes, and three short texts."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from generator.publish.build.build import build
from generator.publish.build.summary import Summary
from tests.project import ROOT
from tests.publish.nursery import Nursery

GUIDE = """---
title: Two bikes
summary: What the two bikes of the test have in common.
---

The {{ bike("pellimor-fenno") }} goes {{ figure("pellimor-fenno", "range.rolling") }}.
"""

TERM = """---
title: Range
summary: How far one charge goes.
unit: km
group: battery
---

A number that needs a rider and a route.
"""

ABOUT = """---
title: About
summary: Who wrote this.
---

A test wrote this.
"""

TEXTS = {"guides/two.md": GUIDE, "glossary/range.md": TERM, "pages/about.md": ABOUT}


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """The folder of the publication, not built."""
    return publication(tmp_path / "publication")


@pytest.fixture(scope="session")
def first_build(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Summary, list[float]]:
    """A built publication that nobody may change, its summary, and the progress that was told."""
    folder = publication(tmp_path_factory.mktemp("first") / "publication")
    shares: list[float] = []
    summary = build(folder, progress=lambda share, what: shares.append(share))
    return folder, summary, shares


@pytest.fixture
def built(tmp_path: Path, first_build: tuple[Path, Summary, list[float]]) -> Path:
    """A copy of the built publication, to be changed at will."""
    return shutil.copytree(first_build[0], tmp_path / "publication")


@pytest.fixture(scope="session")
def nursery(
    tmp_path_factory: pytest.TempPathFactory, first_build: tuple[Path, Summary, list[float]]
) -> Iterator[Nursery]:
    """Children of a process that is warm; see there."""
    warm = shutil.copytree(first_build[0], tmp_path_factory.mktemp("warm") / "publication")
    nursery = Nursery(warm)
    yield nursery
    nursery.close()


def publication(folder: Path) -> Path:
    """Write the small publication."""
    for name in ("site.yaml", "riders.yaml", "sources.yaml", "routes"):
        source, target = ROOT / "content" / name, folder / "content" / name
        target.parent.mkdir(parents=True, exist_ok=True)
        (shutil.copytree if source.is_dir() else shutil.copy)(source, target)
    for name, text in TEXTS.items():
        path = folder / "content" / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, "utf-8")
    (folder / "bikes").mkdir()
    spec = (ROOT / "bikes" / "pellimor-fenno.yaml").read_text("utf-8")
    (folder / "bikes" / "pellimor-fenno.yaml").write_text(spec, "utf-8")
    second = spec.replace("name: Fenno", "name: Trial", 1)
    (folder / "bikes" / "pellimor-trial.yaml").write_text(second, "utf-8")
    return folder
