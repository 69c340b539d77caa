"""The demo, built once by the command that users type, and a Chromium to read it with."""

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.browser.server import serving
from tests.project import ROOT


@pytest.fixture(scope="session")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the built demo."""
    out = tmp_path_factory.mktemp("demo") / "site"
    built = subprocess.run(
        [sys.executable, "-m", "generator", "build", "--root", str(ROOT), "--out", str(out)],
        cwd=ROOT,
        text=True,
        capture_output=True,
        stdin=subprocess.DEVNULL,
        check=False,
    )
    assert built.returncode == 0, built.stderr
    return out


@pytest.fixture(scope="session")
def pages(site: Path) -> list[str]:
    """Every page, as a path in the site."""
    return sorted(path.relative_to(site).as_posix() for path in site.rglob("*.html"))


@pytest.fixture(scope="session")
def one_of_each(site: Path, pages: list[str]) -> list[str]:
    """The longest and the shortest page of every folder of pages, and every page outside them."""
    folders: dict[str, list[str]] = {}
    for page in pages:
        parts = page.split("/")
        folder = parts[0] if len(parts) > 2 else page
        if parts[0] == "bikes" and len(parts) > 3:
            folder = f"bikes/{parts[2]}"  # pages below a bike's own are kinds of their own
        folders.setdefault(folder, []).append(page)
    chosen: set[str] = set()
    for group in folders.values():
        ranked = sorted(group, key=lambda page: (site / page).stat().st_size)
        chosen |= {ranked[0], ranked[-1]}
    return sorted(chosen)


@pytest.fixture(scope="session")
def address(site: Path) -> Iterator[str]:
    """Where the demo is served, under a sub-path of a host."""
    with serving(site) as where:
        yield where
