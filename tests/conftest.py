"""For every test: a cache and a Chromium, one for each process that tests. Hypothesis sets no deadlines, since speed is
measured in the benchmarks and machines are busy."""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings
from playwright.sync_api import Browser, sync_playwright

settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")

FLAGS = [
    "--no-sandbox",  # tests may run as root, where Chromium's sandbox refuses to start
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
    "--hide-scrollbars",
]


@pytest.fixture(scope="session", autouse=True)
def cache_folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """Keep what builds compute in a folder of the tests' own, which they share and nobody else sees."""
    before = os.environ.get("XDG_CACHE_HOME")
    folder = tmp_path_factory.mktemp("cache")
    os.environ["XDG_CACHE_HOME"] = str(folder)
    yield folder / "bike-guide-generator"
    if before is None:
        del os.environ["XDG_CACHE_HOME"]
    else:
        os.environ["XDG_CACHE_HOME"] = before


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    chromium = shutil.which("chromium")
    assert chromium, "install Debian's chromium, or run `python -m tests` as root"
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=chromium, args=FLAGS)
        yield started
        started.close()
